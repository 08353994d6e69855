//! The cache: foods and measures in two Parquet files sorted by food id, and a manifest.
//!
//! The files are cut into row groups at fixed numbers of foods. The first id of each row group
//! stands in the file's footer, so that a look-up decodes one row group and no more.

mod columns;
mod decode;
mod encode;
mod folder;
mod sorted;
mod table;

pub(crate) use folder::Folder;
pub use folder::manifest_of;
pub use table::FoodTable;
