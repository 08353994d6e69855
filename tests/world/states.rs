//! Foods that are cooked, canned or prepared already are warmed, and not cooked again.
//!
//! Source of the foods: USDA National Nutrient Database for Standard Reference, Release 28 (2015).
//! The states are judgement, by their names. Retention in warming: USDA Table of Nutrient Retention
//! Factors, Release 6 (2007).

use serde::Deserialize;
use trayful::nutrition::NutrientId;

use crate::support::{batch, classes, data, food, foods, in_batch, ingredient};

#[derive(Deserialize)]
struct Named {
    food: String,
    state: String,
}

#[test]
fn the_state_of_a_food_is_read_from_its_name() {
    let wrong: Vec<_> = data::<Named>("states.csv")
        .into_iter()
        .filter_map(|one| {
            let found = batch(&ingredient(&one.food, 400.0, "boil", ""));
            let found = found.prepared.ingredients[0].preparation.state.word();
            (found != one.state).then(|| format!("{}: {found}", food(&one.food).name))
        })
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn what_is_cooked_already_keeps_its_mass_and_its_minerals_whatever_is_done_with_it() {
    let ready = ["cooked", "canned", "prepared"];
    let foods = data::<Named>("states.csv").into_iter();
    let foods: Vec<_> = foods
        .filter(|one| ready.contains(&one.state.as_str()))
        .collect();
    assert!(foods.len() >= 60);
    for one in &foods {
        for method in ["steam", "boil", "simmer", "bake", "microwave", "pressure"] {
            let warmed = batch(&ingredient(&one.food, 400.0, method, ""));
            let part = &warmed.prepared.ingredients[0];
            let share = part.drained.as_ref().map_or(1.0, |can| can.share);
            approx::assert_relative_eq!(
                warmed.masses.puree.grams(),
                400.0 * share,
                max_relative = 1e-9
            );
            for mineral in [
                NutrientId::IRON,
                NutrientId::ZINC,
                NutrientId::CALCIUM,
                NutrientId::POTASSIUM,
            ] {
                let per_100_g = part.eaten().composition.get(mineral);
                let expected = per_100_g.map(|value| value * 4.0 * share);
                let found = in_batch(&warmed, mineral);
                assert_eq!(found.is_some(), expected.is_some());
                if let (Some(found), Some(expected)) = (found, expected) {
                    approx::assert_relative_eq!(found, expected, max_relative = 1e-9);
                }
            }
        }
    }
}

/// A can of kidney beans: 277 g, 61 %, of 442 g are beans (weights of SR28 16034 and 16145).
#[test]
fn a_can_with_its_liquid_is_drained_and_in_a_stew_it_is_not() {
    let drained = batch(&ingredient("16034", 400.0, "boil", ""));
    approx::assert_relative_eq!(drained.masses.puree.grams(), 244.0, max_relative = 1e-9);
    let iron = food("16145").composition.get(NutrientId::IRON).unwrap();
    approx::assert_relative_eq!(
        in_batch(&drained, NutrientId::IRON).unwrap(),
        2.44 * iron,
        max_relative = 1e-9
    );
    approx::assert_relative_eq!(drained.masses.purchased.grams(), 400.0, max_relative = 1e-9);
    let stewed = batch(&ingredient("16034", 400.0, "stew", ""));
    approx::assert_relative_eq!(stewed.masses.puree.grams(), 400.0, max_relative = 1e-9);
}

#[test]
fn a_recipe_may_say_the_state() {
    let as_raw = batch(&ingredient("20045", 300.0, "boil", "state = \"dry\""));
    assert!(as_raw.masses.puree.grams() >= 300.0);
    let cooked = batch(&ingredient("20044", 300.0, "boil", "state = \"cooked\""));
    approx::assert_relative_eq!(cooked.masses.puree.grams(), 300.0, max_relative = 1e-9);
}

/// Beef of 20 % fat, browned: 8.37 g of fat melt out of 100 g (20 g less 0.67 times the 17.36 g of SR28 23575).
#[test]
fn melted_fat_is_poured_off_or_kept_as_the_recipe_says() {
    let fat = |rest: &str| {
        let beef = batch(&ingredient("23572", 500.0, "saute", rest));
        let (fat, kcal) = (NutrientId::FAT, NutrientId::ENERGY);
        (
            in_batch(&beef, fat).unwrap(),
            in_batch(&beef, kcal).unwrap(),
            beef.masses.puree.grams(),
        )
    };
    let (poured, half, kept) = (
        fat(""),
        fat("drippings = \"50 %\""),
        fat("drippings = \"kept\""),
    );
    assert_eq!(poured, fat("drippings = \"poured off\""));
    approx::assert_abs_diff_eq!(poured.0, 100.0 - 41.85, epsilon = 1e-6);
    approx::assert_abs_diff_eq!(half.0, 100.0 - 41.85 / 2.0, epsilon = 1e-6);
    approx::assert_abs_diff_eq!(kept.0, 100.0, epsilon = 1e-6);
    approx::assert_abs_diff_eq!(kept.1 - poured.1, 9.02 * 41.85, epsilon = 1e-6);
    approx::assert_abs_diff_eq!(kept.2 - poured.2, 41.85, epsilon = 1e-6);
}

/// What a fish loses in the oven is not in the water of the potatoes.
#[test]
fn the_liquid_of_a_pot_is_that_of_what_is_cooked_in_it() {
    let liquid = "[liquid]\ncollected = \"300 ml\"\nreturned = \"300 ml\"\n";
    let recipe = ingredient("15046", 300.0, "bake", "") + &ingredient("11354", 300.0, "boil", "");
    let both = batch(&format!("{recipe}{liquid}"));
    let [fish, potatoes] = both.prepared.ingredients.as_slice() else {
        panic!("two ingredients")
    };
    assert_eq!((fish.returned, potatoes.returned), (0.0, 1.0));
    let alone = batch(&ingredient("15046", 300.0, "bake", ""));
    let thiamin = NutrientId::THIAMIN;
    let kept = |one: &trayful::recipe::PreparedIngredient| one.share_kept(one.kept(), thiamin);
    approx::assert_relative_eq!(kept(fish), kept(&alone.prepared.ingredients[0]));
    approx::assert_relative_eq!(potatoes.kept().solids, 1.0);
    // Each in a pot of its own.
    let own = "collected = \"300 ml\"\nreturned = \"150 ml\"";
    let separate =
        ingredient("11354", 300.0, "boil", own) + &ingredient("11124", 300.0, "boil", "");
    let separate = batch(&separate);
    let shares: Vec<f64> = separate
        .prepared
        .ingredients
        .iter()
        .map(|one| one.kept().solids)
        .collect();
    approx::assert_relative_eq!(shares[0], 0.96);
    approx::assert_relative_eq!(shares[1], 0.92);
    approx::assert_relative_eq!(separate.masses.liquid.grams(), 150.0);
}

/// Bacon and roasted nuts were lighter than their dry matter by the yields of the tables themselves.
#[test]
fn no_food_is_refused_by_the_yield_of_the_program() {
    let foods = foods().filter(|food| classes().class_of(food).0 != "water");
    for food in foods.step_by(7) {
        for method in ["bake", "saute", "boil", "microwave"] {
            let _ = batch(&ingredient(food.id.as_str(), 100.0, method, ""));
        }
    }
}
