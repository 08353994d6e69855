//! Which food data is in use, and the household's own foods: patterns over names, household
//! measures, search.

mod data;
mod found;
mod index_writing;
mod measure;
mod newer;
mod own;
mod pantry;
mod pattern;
mod same_food;
pub mod search;
mod short_name;

pub use data::{FoodData, FoodDataError, Foods};
pub use data_import::{Composition, Food, FoodId, FoodName, FoodTable, Measure};
pub use found::{Synonyms, entry, found, own_names, synonyms};
pub use measure::{
    FoodUnit, MeasureError, Resolved, edible_share, mass_of, per_pound_purchased,
    share_without_refuse, units_of,
};
pub(crate) use measure::{described, first_unit, volume_measure};
pub use newer::NewerValue;
pub use own::{OWN_FOODS_FILE, OwnShelf};
pub use pantry::Pantry;
pub use pattern::{DescribedFood, Pattern, begins_a_word, has_whole_word};
pub use same_food::same_food;
pub use short_name::{brief_name, short_name};
