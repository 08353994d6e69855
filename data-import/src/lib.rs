//! Food composition datasets, read into one columnar cache.
//!
//! [`import()`] reads a published dataset into a cache folder; [`FoodTable`] opens such a folder, or
//! the one built into the program. The reference tables of the kitchen are CSV files in `data/`,
//! read with [`reference::rows`].

mod cache;
mod digest;
mod error;
mod food;
mod group;
mod import;
mod manifest;
mod measure;
mod nutrient;
pub mod own;
pub mod reference;
pub mod search_index;

pub use cache::{FoodTable, manifest_of};
pub use error::{Error, Place};
pub use food::{Composition, EnergyFactors, Food, FoodId, FoodName};
pub use group::group_name;
pub use import::{ImportRequest, Progress, Stage, import};
pub use manifest::{FileDigest, Manifest, SCHEMA, SourceInfo};
pub use measure::Measure;
pub use nutrient::{Nutrient, NutrientId, nutrient, nutrients};
