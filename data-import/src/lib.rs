//! Food composition datasets, read into one columnar cache.
//!
//! [`import()`] reads a published dataset into a cache folder, beside those it holds; [`FoodTable`]
//! opens such a folder, or the one built into the program. The reference tables of the kitchen are
//! CSV files in `data/`, read with [`reference::rows`].

mod cache;
mod digest;
mod durable_file;
mod error;
mod food;
pub mod group;
mod import;
mod manifest;
mod measure;
mod nutrient;
pub mod own;
pub mod parquet;
mod provenance;
pub mod reference;
pub mod search_index;

pub use cache::{
    CacheState, FoodTable, GroupNames, NameGroup, NameRow, Verified, is_cache, manifest_of, remove,
    state_of, verify,
};
pub use digest::hex;
pub use durable_file::DurableFile;
pub use error::{Error, Place};
pub use food::{Basis, Composition, EnergyFactors, Food, FoodId, FoodName, Serving};
pub use group::group_name;
pub use import::{DEFAULT_MEMORY, ImportRequest, Imported, Progress, Stage, formats, import};
pub use manifest::{FileDigest, Manifest, SCHEMA, SourceInfo, TableFile, Tables};
pub use measure::Measure;
pub use nutrient::{Nutrient, NutrientId, all_nutrients, nutrient, nutrients};
pub use provenance::{Origin, Provenance};
