//! What kind of food a row of the dataset is, as far as the reader must know it.

use data_import::Food;

use crate::food::search::{fold, stem};

/// Milk that was not heated: SR28 01078, "Milk, producer, fluid, 3.7% milkfat".
pub(super) const RAW_MILK: &str = "01078";
/// Codes of food groups of SR28: dairy and egg products, pulses, vegetables.
const DAIRY: &str = "0100";
const PULSES: &str = "1600";
const VEGETABLES: &str = "1100";
/// Pulses; nuts and seeds; cereals.
const DRY_WHEN_RAW: [&str; 3] = [PULSES, "1200", "2000"];

/// The words of a food's name, in the singular.
pub(super) fn words_of(name: &str) -> Vec<String> {
    fold(name).split_whitespace().map(stem).collect()
}

/// Whether it is milk, or made of it, as it is sold: heated, which raw milk is not.
pub(super) fn is_heated_milk(food: &Food) -> bool {
    food.group == DAIRY && !food.name.starts_with("Egg") && food.id.as_str() != RAW_MILK
}

/// Whether it is a vegetable.
pub(super) fn is_vegetable(food: &Food) -> bool {
    food.group == VEGETABLES
}

/// Whether it is a pulse as it is bought dry.
pub(super) fn is_dry_pulse(food: &Food) -> bool {
    food.group == PULSES && food.name.ends_with("raw")
}

/// Whether it is sold dry: pulses, nuts and grain raw too.
pub(super) fn is_dry(food: &Food) -> bool {
    let name = fold(&food.name);
    let says = |word: &str| name.contains(word);
    ["dried", "dry", "dehydrated", "powder", "ground"]
        .into_iter()
        .any(says)
        || DRY_WHEN_RAW.contains(&food.group.as_str()) && says("raw")
}
