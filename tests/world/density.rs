//! Density of foods from what they are made of.
//!
//! Sources: Choi and Okos (1986), the polynomials and what they give for foods of the USDA
//! National Nutrient Database for Standard Reference, Release 28 (2015); the cup weights of that
//! database and handbook values (from memory), as the table of densities marks them.

use data_import::reference;
use serde::Deserialize;
use trayful::food::Food;
use trayful::portion::Constituents;
use trayful::quantity::Amount;

use crate::support::{Row, data, food, foods, median, rows};

#[derive(Deserialize, Debug)]
struct Vector {
    temperature_c: f64,
    water: f64,
    protein: f64,
    fat: f64,
    carbohydrate: f64,
    fibre: f64,
    ash: f64,
    quantity: String,
    value: String,
}

/// The rows on heat and conduction are not used: nothing here is frozen or heated by formula.
#[test]
fn constituents_and_mixtures() {
    let rows: Vec<Vector> = data("choi-okos.csv");
    let mut checked = 0;
    for row in rows {
        let Vector {
            water,
            protein,
            fat,
            carbohydrate,
            fibre,
            ash,
            ..
        } = row;
        let parts = Constituents {
            water,
            protein,
            fat,
            carbohydrate,
            fibre,
            ash,
        };
        let density = parts.density(row.temperature_c).unwrap();
        let computed = match row.quantity.as_str() {
            "density" => density * 1000.0,
            "mass of 30 ml" => density * 30.0,
            _ => continue,
        };
        let printed: f64 = row.value.parse().unwrap();
        let decimals = row
            .value
            .split_once('.')
            .map_or(0, |(_, decimals)| decimals.len());
        let half_a_digit = 0.5001 * 0.1_f64.powi(i32::try_from(decimals).unwrap());
        approx::assert_abs_diff_eq!(computed, printed, epsilon = half_a_digit);
        checked += 1;
    }
    assert_eq!(checked, 18);
}

#[test]
fn nothing_has_no_density_and_the_unit_of_the_shares_is_free() {
    let of = |water, fat| Constituents {
        water,
        protein: 0.0,
        fat,
        carbohydrate: 0.0,
        fibre: 0.0,
        ash: 0.0,
    };
    assert_eq!(of(0.0, 0.0).density(20.0), None);
    let [shares, percents] = [of(0.5, 0.5), of(50.0, 50.0)].map(|it| it.density(20.0).unwrap());
    approx::assert_relative_eq!(shares, percents, max_relative = 1e-12);
}

/// Density in g/ml at 20 degrees Celsius from the published composition; `None` without one.
fn computed(food: &Food) -> Option<f64> {
    let parts = Constituents::of(|nutrient| food.composition.get(nutrient))?;
    parts.density(20.0)
}

#[derive(Deserialize)]
struct Pairing {
    what: String,
    food: String,
    within_percent: f64,
}

#[test]
fn liquids_and_purees_of_the_table_of_densities() {
    let pairings: Vec<Pairing> = data("density-foods.csv");
    let densities = rows(reference::DENSITIES);
    println!("density at 20 C in g/ml, computed and published:");
    for Pairing {
        what,
        food: id,
        within_percent,
    } in &pairings
    {
        let row = densities.iter().find(|row| row["what"] == *what).unwrap();
        let published: f64 = row["grams_per_ml"].parse().unwrap();
        let computed = computed(food(id)).unwrap();
        let off = (computed / published - 1.0) * 100.0;
        println!("{what:32} {computed:.3} {published:.3} {off:+.1} % (held: {within_percent} %)");
        assert!(off.abs() <= *within_percent, "{what}: {off} %");
    }
    let left_out = |row: &&Row| !pairings.iter().any(|pairing| pairing.what == row["what"]);
    let left_out: Vec<_> = densities
        .iter()
        .filter(left_out)
        .map(|row| &row["what"])
        .collect();
    // Neither is a food at room temperature.
    assert_eq!(left_out, ["water at 0 C", "ice"]);
}

/// Cold water, by the polynomial alone: 997.18 for 999.8 kg/m3 (handbook value, from memory).
#[test]
fn water_at_the_freezing_point() {
    let parts = Constituents {
        water: 1.0,
        protein: 0.0,
        fat: 0.0,
        carbohydrate: 0.0,
        fibre: 0.0,
        ash: 0.0,
    };
    approx::assert_relative_eq!(parts.density(0.0).unwrap(), 0.9998, max_relative = 0.003);
}

/// The cups and spoons of bought purées are rounded to whole grams, a spoon by 3 % and more; over
/// all of them the rounding evens out.
#[test]
fn bought_purees_on_the_whole() {
    let is_puree = |food: &&Food| {
        let name = food.name.to_lowercase();
        food.group == "0300" && (name.contains("strained") || name.contains("junior"))
    };
    let mut offs = Vec::new();
    for food in foods().filter(is_puree) {
        for measure in &food.measures {
            let volume = format!("{} {}", measure.amount, measure.unit);
            let volume = volume
                .parse::<Amount>()
                .ok()
                .and_then(|amount| amount.volume().ok());
            if let (Some(volume), Some(density)) = (volume, computed(food)) {
                offs.push(density / (measure.grams / volume.millilitres()) - 1.0);
            }
        }
    }
    let (count, median) = (offs.len(), median(offs) * 100.0);
    println!("{count} cups and spoons of bought purées: computed density {median:+.1} % (median)");
    assert!(count > 80, "{count}");
    assert!(median.abs() < 1.5, "{median} %");
}
