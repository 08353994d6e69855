//! Energy of foods, of children, and of purées.
//!
//! Sources: USDA National Nutrient Database for Standard Reference, Release 28 (2015), its energy
//! and its factors (documentation: kcal = protein, fat and carbohydrate by difference, each times
//! its factor); IOM, Dietary Reference Intakes for Energy (2002/2005).

use data_import::EnergyFactors;
use serde::Deserialize;
use trayful::food::{Composition, Food};
use trayful::nutrition::energy::{Requirement, Sex, Stature, atwater};
use trayful::nutrition::{AgeMonths, NutrientId};
use trayful::quantity::Mass;

use crate::support::{Row, data, food, foods, percent};

/// Alcohol gives 6.93 kcal/g by the documentation, and the 46 nutrients do not hold it: drinks with
/// alcohol are left out. What else is further off had fibre or sugar alcohols taken out, energy
/// stated by its maker, or was added up from a recipe's ingredients.
#[test]
fn the_published_energy_of_every_food_with_factors_is_found_again() {
    let alcoholic = |food: &Food| food.name.to_lowercase().contains("alcoholic bev");
    let sober = foods().filter(|food| !alcoholic(food));
    let computed = sober.filter_map(|food| {
        let kcal = atwater(&food.composition, food.energy_factors?)?;
        Some((food, kcal - food.composition.get(NutrientId::ENERGY)?))
    });
    let (near, far): (Vec<_>, Vec<_>) = computed.partition(|(_, off)| off.abs() <= 1.0);
    let all = near.len() + far.len();
    let near = near.len();
    let share = percent(near, all);
    println!("energy by specific factors within 1 kcal: {near} of {all} foods, {share:.2} %");
    let higher = far.iter().filter(|(_, off)| *off > 0.0).count();
    println!(
        "of the {} others {higher} are published below the computed value",
        far.len()
    );
    assert!(all > 4500, "{all} foods have factors");
    assert!(share >= 97.0, "{share} %");
}

#[derive(Deserialize)]
struct Vector {
    food: String,
    protein_g: f64,
    fat_g: f64,
    carbohydrate_g: f64,
    protein_factor: f64,
    fat_factor: f64,
    carbohydrate_factor: f64,
    kcal: f64,
    published_kcal: f64,
}

#[test]
fn eight_foods_by_hand() {
    let vectors: Vec<Vector> = data("atwater.csv");
    assert_eq!(vectors.len(), 8);
    for row in vectors {
        let known = food(&row.food);
        let factors = EnergyFactors {
            protein: row.protein_factor,
            fat: row.fat_factor,
            carbohydrate: row.carbohydrate_factor,
        };
        assert_eq!(known.energy_factors, Some(factors), "{}", row.food);
        let parts = [
            (NutrientId::PROTEIN, row.protein_g),
            (NutrientId::FAT, row.fat_g),
            (NutrientId::CARBOHYDRATE, row.carbohydrate_g),
        ];
        for (nutrient, grams) in parts {
            assert_eq!(
                known.composition.get(nutrient),
                Some(grams),
                "{} {nutrient}",
                row.food
            );
        }
        let kcal = atwater(&Composition::from_iter(parts), factors).unwrap();
        approx::assert_abs_diff_eq!(kcal, row.kcal, epsilon = 0.005_001);
        approx::assert_abs_diff_eq!(kcal, row.published_kcal, epsilon = 0.5);
        assert_eq!(
            known.composition.get(NutrientId::ENERGY),
            Some(row.published_kcal)
        );
    }
}

#[test]
fn a_part_without_a_value_gives_no_energy() {
    let factors = food("11124").energy_factors.unwrap();
    let parts = Composition::from_iter([(NutrientId::PROTEIN, 1.0), (NutrientId::FAT, 1.0)]);
    assert_eq!(atwater(&parts, factors), None);
}

#[test]
fn energy_requirements() {
    let rows: Vec<Row> = data("eer.csv");
    assert_eq!(rows.len(), 11);
    for row in rows {
        let age = AgeMonths(row["age_months"].parse().unwrap());
        let weight = Mass::from_grams(row["weight_kg"].parse::<f64>().unwrap() * 1000.0);
        let stature = |sex| Stature {
            sex,
            centimetres: row["height_cm"].parse().unwrap(),
        };
        let requirement = match row["sex"].as_str() {
            "boy" => Requirement::of_2023(age, weight, stature(Sex::Boy)),
            "girl" => Requirement::of_2023(age, weight, stature(Sex::Girl)),
            _ => Requirement::of_2005(age, weight),
        };
        let kcal = requirement.unwrap().kcal;
        approx::assert_abs_diff_eq!(kcal, row["kcal"].parse().unwrap(), epsilon = 0.01);
    }
}

/// IOM 2002/2005: the term for growth changes after 3, 6 and 12 months, and the equation ends
/// with the third birthday.
#[test]
fn the_term_for_growth_changes_where_the_report_says() {
    let ten_kg = Mass::from_grams(10_000.0);
    let growth =
        |months| Requirement::of_2005(AgeMonths(months), ten_kg).map(|need| need.kcal - 790.0);
    let steps = [
        (0, 175.0),
        (3, 175.0),
        (4, 56.0),
        (6, 56.0),
        (7, 22.0),
        (12, 22.0),
        (13, 20.0),
    ];
    for (months, kcal) in steps.into_iter().chain([(35, 20.0)]) {
        approx::assert_abs_diff_eq!(growth(months).unwrap(), kcal, epsilon = 1e-9);
    }
    assert_eq!(growth(36), None);
}
