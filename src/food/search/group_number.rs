//! The food groups that the search weighs, by their codes as numbers.

use data_import::group::{self, code_number};

pub(super) const HERBS_AND_SPICES: u16 = code_number(group::HERBS_AND_SPICES);
pub(super) const BABY_FOODS: u16 = code_number(group::BABY_FOODS);
pub(super) const SOUPS_AND_SAUCES: u16 = code_number(group::SOUPS_AND_SAUCES);
pub(super) const SAUSAGES: u16 = code_number(group::SAUSAGES);
pub(super) const BREAKFAST_CEREALS: u16 = code_number(group::BREAKFAST_CEREALS);
pub(super) const NUTS_AND_SEEDS: u16 = code_number(group::NUTS_AND_SEEDS);
pub(super) const BEVERAGES: u16 = code_number(group::BEVERAGES);
pub(super) const LEGUMES: u16 = code_number(group::LEGUMES);
pub(super) const BAKED_PRODUCTS: u16 = code_number(group::BAKED_PRODUCTS);
pub(super) const SWEETS: u16 = code_number(group::SWEETS);
pub(super) const GRAINS_AND_PASTA: u16 = code_number(group::GRAINS_AND_PASTA);
pub(super) const FAST_FOODS: u16 = code_number(group::FAST_FOODS);
pub(super) const MEALS_AND_SIDE_DISHES: u16 = code_number(group::MEALS_AND_SIDE_DISHES);
pub(super) const SNACKS: u16 = code_number(group::SNACKS);
pub(super) const AMERICAN_INDIAN_AND_ALASKA_NATIVE: u16 =
    code_number(group::AMERICAN_INDIAN_AND_ALASKA_NATIVE);
pub(super) const RESTAURANT_FOODS: u16 = code_number(group::RESTAURANT_FOODS);
