//! Three worked recipes.
//!
//! Sources: the mixed method of recipe calculation (European Food Information Resource network,
//! 2008: retention per ingredient, one weight for the dish) on figures of the USDA National Nutrient
//! Database for Standard Reference, Release 28 (2015), and the USDA Table of Nutrient Retention
//! Factors, Release 6 (2007); worked out apart from the program, in
//! `tests/data/recipe-vectors.csv`.

use serde::Deserialize;
use trayful::nutrition::{AgeMonths, IntakeTable, NutrientId};
use trayful::recipe::Batch;

use crate::support::{batch, data, in_batch, ingredient, per_100_g, tagged};

const DRAINED: &str = "retention = \"3455\"";
const USED: &str = "retention = \"3456\"";

fn carrots(retention: &str) -> String {
    ingredient("11124", 500.0, "boil", retention)
}

fn drained_carrots() -> Batch {
    batch(&format!(
        "{}[puree]\nweighed = \"450 g\"\n",
        carrots(DRAINED)
    ))
}

fn returned_water() -> Batch {
    let liquid =
        "[liquid]\ncollected = \"300 ml\"\nreturned = \"300 ml\"\n[puree]\nweighed = \"760 g\"\n";
    batch(&format!("{}{liquid}", carrots(USED)))
}

fn mixed_method() -> Batch {
    let ingredients = [
        ("11507", 400.0, "3709"),
        ("16069", 100.0, "0502"),
        ("05332", 150.0, "0856"),
    ]
    .map(|(food, grams, code)| ingredient(food, grams, "stew", &format!("retention = \"{code}\"")))
    .concat();
    batch(&format!(
        "{ingredients}[liquid]\nadded = \"400 ml\"\n[puree]\nweighed = \"945 g\"\n"
    ))
}

#[derive(Deserialize)]
struct Vector {
    vector: String,
    quantity: String,
    value: String,
}

/// The figure a row asks for.
fn figure(batch: &Batch, quantity: &str) -> f64 {
    let Some((tag, kind)) = quantity.split_once(' ') else {
        assert_eq!(quantity, "energy_density");
        return batch.energy_density().unwrap();
    };
    let nutrient = tagged(tag);
    let of_puree = |grams: f64| per_100_g(batch, nutrient).unwrap() * grams / 100.0;
    match kind {
        "per_batch" => in_batch(batch, nutrient).unwrap(),
        "per_100g" => of_puree(100.0),
        "per_28g" => of_puree(28.0),
        "per_84g" => of_puree(84.0),
        "from_water" => in_batch(batch, nutrient).unwrap() - without_water(nutrient),
        _ => {
            assert_eq!(kind, "share_of_11mg");
            let eight_months = IntakeTable::builtin()
                .unwrap()
                .intake(nutrient, AgeMonths(8));
            of_puree(28.0) / eight_months.unwrap().amount * 100.0
        }
    }
}

/// The second recipe without its water.
fn without_water(nutrient: NutrientId) -> f64 {
    in_batch(&batch(&carrots(USED)), nutrient).unwrap()
}

#[test]
fn worked_recipes_come_out_to_the_printed_digits() {
    let batches = [
        ("drained carrots", drained_carrots()),
        ("returned water", returned_water()),
        ("mixed method", mixed_method()),
    ];
    let vectors: Vec<Vector> = data("recipe-vectors.csv");
    assert_eq!(vectors.len(), 58);
    for Vector {
        vector,
        quantity,
        value,
    } in vectors
    {
        let (_, batch) = batches.iter().find(|(name, _)| *name == vector).unwrap();
        let printed: f64 = value.parse().unwrap();
        let decimals = value
            .split_once('.')
            .map_or(0, |(_, decimals)| decimals.len());
        let half_a_digit = 0.5001 * 0.1_f64.powi(i32::try_from(decimals).unwrap());
        let off = (figure(batch, &quantity) - printed).abs();
        assert!(
            off <= half_a_digit,
            "{vector}, {quantity}: off by {off}, printed {value}"
        );
    }
}

/// The same two recipes as a cook writes them, without naming a row of the retention table.
#[test]
fn the_method_and_the_liquid_choose_the_same_rows() {
    let poured_away = "[liquid]\ncollected = \"300 ml\"\n[puree]\nweighed = \"450 g\"\n";
    let returned =
        "[liquid]\ncollected = \"300 ml\"\nreturned = \"300 ml\"\n[puree]\nweighed = \"760 g\"\n";
    for (liquid, worked) in [
        (poured_away, drained_carrots()),
        (returned, returned_water()),
    ] {
        let written = batch(&format!("{}{liquid}", carrots("")));
        for total in &worked.nutrients {
            let (one, other) = (
                &total.batch,
                &written.total(total.nutrient.id).unwrap().batch,
            );
            assert_eq!(one, other, "{}", total.nutrient.tag);
        }
    }
}
