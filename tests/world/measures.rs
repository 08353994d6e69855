//! Purchased masses and household measures.
//!
//! Source: USDA National Nutrient Database for Standard Reference, Release 28 (2015): the
//! documentation's two formulas, per pound as purchased Y = V x 4.536 x (100 - R) / 100, and per
//! household measure N = V x W / 100; the gram weights W and the refuse R are those of its files.

use trayful::food::{edible_share, mass_of, per_pound_purchased};
use trayful::nutrition::NutrientId;
use trayful::quantity::Amount;
use trayful::recipe::Basis;

use crate::support::{batch, food, in_batch};

/// Food, refuse in percent, and what of it is refuse, as published.
const REFUSE: [(&str, f64); 8] = [
    ("11485", 16.0), // butternut squash: seeds, rind, stem
    ("11124", 11.0), // carrots: crown, tops, scrapings
    ("11090", 39.0), // broccoli: leaves, tough stalks, trimmings
    ("09040", 36.0), // bananas: skin
    ("09003", 10.0), // apples with skin: core, stem
    ("09037", 26.0), // avocado: seed, skin
    ("11457", 28.0), // spinach: large stems, roots
    ("11507", 28.0), // sweet potato: parings, trimmings
];

#[test]
fn a_pound_as_purchased() {
    // The rounding of the formula's pound, 4.536 for 4.5359237 hundred grams.
    let rounding = 4.536 / 4.535_923_7;
    for (id, refuse) in REFUSE {
        let food = food(id);
        assert_eq!(food.refuse_percent, Some(refuse), "{}", food.name);
        let pound = mass_of(&"1 lb".parse().unwrap(), food).unwrap().mass;
        let edible = pound * edible_share(food).unwrap();
        for (_, per_100_g) in food.composition.iter() {
            let by_masses = per_100_g * edible.grams() / 100.0;
            let formula = per_pound_purchased(per_100_g, refuse);
            approx::assert_relative_eq!(formula, by_masses * rounding, max_relative = 1e-12);
        }
    }
}

/// Hand arithmetic with the formula: 358 mg of potassium in 100 g of banana, 36 % skin.
#[test]
fn potassium_in_a_pound_of_bananas() {
    assert_eq!(
        food("09040").composition.get(NutrientId::POTASSIUM),
        Some(358.0)
    );
    approx::assert_abs_diff_eq!(per_pound_purchased(358.0, 36.0), 1039.288, epsilon = 0.001);
}

/// Food, a measure of it, and the grams it weighs, as published.
const MEASURES: [(&str, &str, f64); 12] = [
    ("11485", "1 cup, cubes", 140.0),
    ("11124", "1 cup, chopped", 128.0),
    ("11090", "1 cup, chopped", 91.0),
    ("09040", "1 cup, mashed", 225.0),
    ("09003", "1 cup, quartered or chopped", 125.0),
    ("09037", "1 cup, cubes", 150.0),
    ("11457", "1 cup", 30.0),
    ("11507", "1 cup, cubes", 133.0),
    ("16069", "1 cup", 192.0),
    ("20038", "1 cup", 156.0),
    ("01077", "1 cup", 244.0),
    ("19296", "1 tbsp", 21.0),
];

#[test]
fn a_household_measure_is_of_the_edible_portion() {
    for (id, measure, grams) in MEASURES {
        let recipe = format!(
            "[[ingredient]]\nfood = \"{id}\"\namount = \"{measure}\"\nmethod = \"none\"\n\
             [serving]\nreheat = false\n"
        );
        let batch = batch(&recipe);
        let food = food(id);
        approx::assert_relative_eq!(batch.masses.edible.grams(), grams, max_relative = 1e-12);
        approx::assert_relative_eq!(batch.masses.puree.grams(), grams, max_relative = 1e-12);
        for total in &batch.nutrients {
            let nutrient = total.nutrient.id;
            let expected = food
                .composition
                .get(nutrient)
                .map(|value| value * grams / 100.0);
            match (in_batch(&batch, nutrient), expected) {
                (Some(known), Some(expected)) => {
                    approx::assert_relative_eq!(known, expected, max_relative = 1e-9);
                }
                (known, expected) => assert_eq!(known, expected, "{id} {nutrient}"),
            }
            assert_eq!(
                total.batch.complete(),
                expected.is_some(),
                "{id} {nutrient}"
            );
        }
    }
}

#[test]
fn only_a_mass_as_purchased_loses_its_refuse() {
    let edible = |amount: &str, basis: &str| {
        batch(&format!(
            "[[ingredient]]\nfood = \"11485\"\namount = \"{amount}\"\nbasis = \"{basis}\"\n\
             method = \"none\"\n"
        ))
        .masses
    };
    let close = |masses: trayful::recipe::Masses, purchased: f64, edible: f64| {
        approx::assert_relative_eq!(masses.purchased.grams(), purchased, max_relative = 1e-12);
        approx::assert_relative_eq!(masses.edible.grams(), edible, max_relative = 1e-12);
    };
    close(edible("100 g", "purchased"), 100.0, 84.0);
    close(edible("100 g", "edible"), 100.0 / 0.84, 100.0);
    close(edible("1 cup, cubes", "purchased"), 140.0 / 0.84, 140.0);
}

/// Eight spoons of a food weighed by the cup are half a cup.
#[test]
fn another_volume_goes_by_way_of_the_cup() {
    let amount: Amount = "8 tbsp".parse().unwrap();
    let half_a_cup = mass_of(&amount, food("16069")).unwrap();
    approx::assert_relative_eq!(half_a_cup.mass.grams(), 96.0, max_relative = 1e-9);
    let prepared =
        batch("[[ingredient]]\nfood = \"16069\"\namount = \"8 tbsp\"\nmethod = \"none\"\n")
            .prepared;
    assert_eq!(prepared.ingredients[0].basis, Basis::Edible);
}
