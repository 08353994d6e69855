//! Food groups: their codes, and their names from `data/food-groups.csv`.

use std::sync::OnceLock;

use serde::Deserialize;

use crate::reference;

const TABLE: &str = include_str!("../data/food-groups.csv");

/// Dairy and Egg Products.
pub const DAIRY_AND_EGGS: &str = "0100";
/// Spices and Herbs.
pub const HERBS_AND_SPICES: &str = "0200";
/// Baby Foods.
pub const BABY_FOODS: &str = "0300";
/// Fats and Oils.
pub const FATS_AND_OILS: &str = "0400";
/// Poultry Products.
pub const POULTRY: &str = "0500";
/// Soups, Sauces, and Gravies.
pub const SOUPS_AND_SAUCES: &str = "0600";
/// Sausages and Luncheon Meats.
pub const SAUSAGES: &str = "0700";
/// Breakfast Cereals.
pub const BREAKFAST_CEREALS: &str = "0800";
/// Fruits and Fruit Juices.
pub const FRUITS: &str = "0900";
/// Pork Products.
pub const PORK: &str = "1000";
/// Vegetables and Vegetable Products.
pub const VEGETABLES: &str = "1100";
/// Nut and Seed Products.
pub const NUTS_AND_SEEDS: &str = "1200";
/// Beef Products.
pub const BEEF: &str = "1300";
/// Beverages.
pub const BEVERAGES: &str = "1400";
/// Finfish and Shellfish Products.
pub const FISH_AND_SHELLFISH: &str = "1500";
/// Legumes and Legume Products.
pub const LEGUMES: &str = "1600";
/// Lamb, Veal, and Game Products.
pub const LAMB_VEAL_AND_GAME: &str = "1700";
/// Baked Products.
pub const BAKED_PRODUCTS: &str = "1800";
/// Sweets.
pub const SWEETS: &str = "1900";
/// Cereal Grains and Pasta.
pub const GRAINS_AND_PASTA: &str = "2000";
/// Fast Foods.
pub const FAST_FOODS: &str = "2100";
/// Meals, Entrees, and Side Dishes.
pub const MEALS_AND_SIDE_DISHES: &str = "2200";
/// Snacks.
pub const SNACKS: &str = "2500";
/// American Indian/Alaska Native Foods.
pub const AMERICAN_INDIAN_AND_ALASKA_NATIVE: &str = "3500";
/// Restaurant Foods.
pub const RESTAURANT_FOODS: &str = "3600";
/// Branded Food Products Database.
pub const BRANDED: &str = "4500";

/// The code of a food group as a number; 0, which no group has, for any other text.
#[allow(
    clippy::from_str_radix_10,
    clippy::manual_unwrap_or,
    clippy::manual_unwrap_or_default,
    reason = "neither `parse` nor `unwrap_or` is const"
)]
pub const fn code_number(code: &str) -> u16 {
    match u16::from_str_radix(code, 10) {
        Ok(number) => number,
        Err(_) => 0,
    }
}

/// A food group of the dataset.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
struct Group {
    code: String,
    name: String,
}

/// The name of a food group by its code: `1100` is "Vegetables and Vegetable Products".
pub fn group_name(code: &str) -> Option<&'static str> {
    groups()
        .iter()
        .find(|group| group.code == code)
        .map(|group| group.name.as_str())
}

/// The code of a food group by its name, upper or lower case, or by its code.
pub(crate) fn group_code(text: &str) -> Option<&'static str> {
    groups()
        .iter()
        .find(|group| group.name.eq_ignore_ascii_case(text) || group.code == text)
        .map(|group| group.code.as_str())
}

/// The names of all food groups.
pub(crate) fn group_names() -> impl Iterator<Item = &'static str> {
    groups().iter().map(|group| group.name.as_str())
}

fn groups() -> &'static [Group] {
    static GROUPS: OnceLock<Vec<Group>> = OnceLock::new();
    // The table is part of the program; a test reads it, so it cannot be broken here.
    GROUPS.get_or_init(|| reference::rows("food-groups.csv", TABLE).unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_group_reads() {
        let groups: Vec<Group> = reference::rows("food-groups.csv", TABLE).unwrap();
        assert_eq!(groups.len(), 28);
        assert_eq!(
            group_name(VEGETABLES),
            Some("Vegetables and Vegetable Products")
        );
        assert_eq!(group_name("11"), None);
    }

    #[test]
    fn a_code_is_a_number_too() {
        assert_eq!(code_number(BABY_FOODS), 300);
        assert_eq!(code_number("pulses"), 0);
    }
}
