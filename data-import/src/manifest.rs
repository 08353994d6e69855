//! What a cache folder holds, and where it came from: `manifest.json`.

use serde::{Deserialize, Serialize};

/// Version of the cache layout this program reads and writes.
pub const SCHEMA: u32 = 1;

/// The contents of a cache folder.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Manifest {
    /// Version of the layout, see [`SCHEMA`].
    pub schema: u32,
    /// Date of the import, ISO 8601, as the caller gave it.
    pub imported: String,
    /// The datasets in the cache.
    pub sources: Vec<SourceInfo>,
    /// The table of foods: its file in the folder.
    pub foods: FileDigest,
    /// The table of household measures: its file in the folder.
    pub measures: FileDigest,
}

/// One dataset.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SourceInfo {
    /// Title of the dataset.
    pub name: String,
    /// Release, such as `SR28 (2015)`.
    pub release: String,
    /// The layout it was read from.
    pub format: String,
    /// Foods read.
    pub foods: usize,
    /// Nutrients with at least one value.
    pub nutrients: usize,
    /// Household measures read.
    pub measures: usize,
    /// The files read.
    pub files: Vec<FileDigest>,
}

/// A file, its length and its SHA-256.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FileDigest {
    /// File name without its folder.
    pub name: String,
    /// Length in bytes.
    pub bytes: u64,
    /// SHA-256 in lower-case hexadecimal.
    pub sha256: String,
}
