//! The cache: per source, foods, measures and provenance in Parquet files sorted by food id; and a
//! manifest.
//!
//! The files are cut into row groups at the same foods. A line for each row group stands in the
//! footer: its first id, so that a look-up decodes one row group and no more, and its SHA-256,
//! so that it is checked before it is decoded, and no more than it.

pub(crate) mod columns;
mod decode;
mod folder;
mod read_rows;
pub(crate) mod shape;
mod sorted;
mod table;
mod upkeep;
mod writer;

pub use folder::{CacheState, is_cache, manifest_of, state_of};
pub(crate) use folder::{Folder, NewTable};
pub use table::{FoodTable, GroupNames, NameGroup, NameRow};
pub use upkeep::{Verified, remove, verify};
