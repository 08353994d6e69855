//! The food table in memory: patterns over names, household measures, search.

mod measure;
mod pattern;
pub mod search;

pub use data_import::{Composition, Food, FoodId, FoodName, FoodTable, Measure};
pub use measure::{MeasureError, Resolved, edible_share, mass_of, per_pound_purchased};
pub use pattern::Pattern;
