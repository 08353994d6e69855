//! Units of mass and volume, and the equivalents of vitamins.
//!
//! Sources: the exact definitions of 1959 and of the US gallon, as `tests/data/units.csv` marks
//! them; USDA National Nutrient Database for Standard Reference, Release 28 (2015), documentation
//! (vitamin D: 40 IU to the µg; DFE = food folate + 1.7 x folic acid; 1 µg RAE = 1 µg retinol =
//! 12 µg beta-carotene = 24 µg alpha-carotene or beta-cryptoxanthin; 1 IU of vitamin A = 0.3 µg
//! retinol = 0.6 µg beta-carotene = 1.2 µg of the others) and its figures, against each other.
//!
//! The library converts no vitamins: a food brings each unit as a value of its own. So the rules
//! are held against the dataset, where both sides are published, each rounded to its last digit.
//! Niacin equivalents need tryptophan, which the abbreviated file does not give.

use rust_decimal::Decimal;
use trayful::food::Food;
use trayful::nutrition::NutrientId;
use trayful::quantity::{Amount, Unit, UnitKind};

use crate::support::{Row, data, food, foods, percent};

fn rows_of(kind: &str) -> Vec<Row> {
    data::<Row>("units.csv")
        .into_iter()
        .filter(|row| row["what"] == kind)
        .collect()
}

#[test]
fn masses_and_volumes_are_exact() {
    let rows = [rows_of("mass"), rows_of("volume")].concat();
    // No recipe is written in gallons.
    let rows = rows
        .iter()
        .filter(|row| row["unit"] != "gal")
        .collect::<Vec<_>>();
    assert_eq!(rows.len(), 12);
    for row in rows {
        let unit = Unit::named(&row["unit"]).unwrap();
        let exact: Decimal = row["gives"].parse().unwrap();
        assert_eq!(
            row["amount"].parse::<Decimal>().unwrap() * unit.size(),
            exact,
            "{row:?}"
        );
        let amount: Amount = format!("{} {}", row["amount"], row["unit"])
            .parse()
            .unwrap();
        let size = match unit.kind {
            UnitKind::Mass => amount.mass().unwrap().grams(),
            UnitKind::Volume => amount.volume().unwrap().millilitres(),
        };
        assert_eq!(Some(size), row["gives"].parse().ok(), "{row:?}");
    }
}

/// 231 cubic inches of 2.54 cm, in 128 fluid ounces, 16 cups, 256 spoons or 768 small ones.
#[test]
fn a_gallon_is_231_cubic_inches() {
    let inch = Decimal::new(254, 2);
    let gallon = Decimal::from(231) * inch * inch * inch;
    assert_eq!(gallon.normalize().to_string(), "3785.411784");
    for (unit, to_the_gallon) in [("fl oz", 128), ("cup", 16), ("tbsp", 256), ("tsp", 768)] {
        let size = Unit::named(unit).unwrap().size();
        assert_eq!(size * Decimal::from(to_the_gallon), gallon, "{unit}");
    }
}

/// How often `computed` is the published value, both sides being rounded.
struct Agreement {
    within: usize,
    all: usize,
}

fn agreement(
    published: NutrientId,
    rounding: f64,
    computed: impl Fn(&dyn Fn(NutrientId) -> Option<f64>) -> Option<f64>,
) -> Agreement {
    let offs = foods().filter_map(|food: &Food| {
        let value = |nutrient| food.composition.get(nutrient);
        Some((computed(&value)? - value(published)?).abs())
    });
    let offs = offs.collect::<Vec<_>>();
    let within = offs.iter().filter(|off| **off <= rounding + 1e-9).count();
    Agreement {
        within,
        all: offs.len(),
    }
}

fn hold(what: &str, found: &Agreement, least_foods: usize, least_percent: f64) {
    let Agreement { within, all } = *found;
    let share = percent(within, all);
    println!("{what}: {within} of {all} foods within rounding, {share:.2} %");
    assert!(all >= least_foods, "{what}: {all} foods");
    assert!(share >= least_percent, "{what}: {share} %");
}

#[test]
fn vitamin_d_has_forty_units_to_the_microgram() {
    // µg to one decimal, IU to a whole number.
    let found = agreement(NutrientId::VITAMIN_D_IU, 0.05 * 40.0 + 0.5, |value| {
        Some(value(NutrientId::VITAMIN_D)? * 40.0)
    });
    hold("vitamin D, IU = 40 x µg", &found, 5500, 100.0);
}

#[test]
fn folate_equivalents_count_folic_acid_more() {
    let found = agreement(NutrientId::FOLATE_DFE, 0.5 + 0.5 + 1.7 * 0.5, |value| {
        Some(value(NutrientId::FOOD_FOLATE)? + 1.7 * value(NutrientId::FOLIC_ACID)?)
    });
    hold(
        "folate, DFE = food folate + 1.7 x folic acid",
        &found,
        6700,
        100.0,
    );
}

#[test]
fn retinol_equivalents_count_carotenoids_less() {
    let found = agreement(
        NutrientId::VITAMIN_A_RAE,
        0.5 + 0.5 + 0.5 / 12.0 + 1.0 / 24.0,
        |value| {
            let twelfth = value(NutrientId::BETA_CAROTENE)? / 12.0;
            let others =
                value(NutrientId::ALPHA_CAROTENE)? + value(NutrientId::BETA_CRYPTOXANTHIN)?;
            Some(value(NutrientId::RETINOL)? + twelfth + others / 24.0)
        },
    );
    hold(
        "vitamin A, RAE from retinol and carotenoids",
        &found,
        5300,
        99.7,
    );
}

#[test]
fn vitamin_a_units_count_carotenoids_more() {
    let rounding = 0.5 + 0.5 / 0.3 + 0.5 / 0.6 + 1.0 / 1.2;
    let found = agreement(NutrientId::VITAMIN_A_IU, rounding, |value| {
        let beta = value(NutrientId::BETA_CAROTENE)? / 0.6;
        let others = value(NutrientId::ALPHA_CAROTENE)? + value(NutrientId::BETA_CRYPTOXANTHIN)?;
        Some(value(NutrientId::RETINOL)? / 0.3 + beta + others / 1.2)
    });
    hold(
        "vitamin A, IU from retinol and carotenoids",
        &found,
        5300,
        97.9,
    );
}

/// The rows of the file that speak of vitamins, by the rules above.
#[test]
fn worked_conversions() {
    for row in rows_of("vitamin D") {
        let [amount, gives] = [&row["amount"], &row["gives"]].map(|n| n.parse::<f64>().unwrap());
        approx::assert_relative_eq!(gives * 40.0, amount);
    }
    let carrots = &food("11124").composition;
    assert_eq!(carrots.get(NutrientId::VITAMIN_A_IU), Some(16_706.0));
    assert_eq!(
        carrots.get(NutrientId::VITAMIN_A_RAE),
        Some((16_706.0_f64 / 20.0).round())
    );
    assert_eq!(carrots.get(NutrientId::RETINOL), Some(0.0));
}
