//! What kind of food a row of the dataset is, as far as the reader must know it.

use data_import::{Food, group};

use crate::food::search::{fold, stem};

/// Milk that was not heated: SR28 01078, "Milk, producer, fluid, 3.7% milkfat".
pub(super) const RAW_MILK: &str = "01078";
/// The food groups whose raw foods are sold dry.
const DRY_WHEN_RAW: [&str; 3] = [
    group::LEGUMES,
    group::NUTS_AND_SEEDS,
    group::GRAINS_AND_PASTA,
];

/// The words of a food's name, in the singular.
pub(super) fn words_of(name: &str) -> Vec<String> {
    fold(name).split_whitespace().map(stem).collect()
}

/// Whether it is milk, or made of it, as it is sold: heated, which raw milk is not.
pub(super) fn is_heated_milk(food: &Food) -> bool {
    food.group == group::DAIRY_AND_EGGS
        && !food.name.starts_with("Egg")
        && food.id.as_str() != RAW_MILK
}

/// Whether it is a vegetable.
pub(super) fn is_vegetable(food: &Food) -> bool {
    food.group == group::VEGETABLES
}

/// Whether it is a pulse as it is bought dry.
pub(super) fn is_dry_pulse(food: &Food) -> bool {
    food.group == group::LEGUMES && food.name.ends_with("raw")
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
