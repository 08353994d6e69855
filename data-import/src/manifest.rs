//! What a cache folder holds, and where it came from: `manifest.json`.

use serde::{Deserialize, Serialize};

/// Version of the cache layout this program reads and writes.
pub const SCHEMA: u32 = 2;

/// The contents of a cache folder.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Manifest {
    /// Version of the layout, see [`SCHEMA`].
    pub schema: u32,
    /// Date of the latest import, ISO 8601, as the caller gave it.
    pub imported: String,
    /// The datasets in the cache, the preferred one first: where two have a food of the same id,
    /// the first of them counts.
    pub sources: Vec<SourceInfo>,
}

impl Manifest {
    /// The stamp of an index over the names of the foods in the cache: the SHA-256 of their tables.
    pub fn stamp(&self) -> String {
        let tables = self
            .sources
            .iter()
            .map(|source| source.tables.foods.sha256.as_str());
        tables.collect::<Vec<_>>().join(" ")
    }
}

/// One dataset.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SourceInfo {
    /// Its name in the cache, such as `sr28`; an import replaces the source of the same name.
    pub id: String,
    /// Title of the dataset.
    pub name: String,
    /// Release, such as `SR28 (2015)`.
    pub release: String,
    /// The layout it was read from.
    pub format: String,
    /// Date of the import, ISO 8601, as the caller gave it.
    pub imported: String,
    /// Foods read.
    pub foods: usize,
    /// Nutrients with at least one value.
    pub nutrients: usize,
    /// Values read, of all foods together.
    pub values: usize,
    /// Household measures read.
    pub measures: usize,
    /// What was left out, dropped or taken from elsewhere, one sentence each.
    pub warnings: Vec<String>,
    /// The files read.
    pub files: Vec<FileDigest>,
    /// Its tables in the folder.
    pub tables: Tables,
}

/// The Parquet files of one dataset.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Tables {
    /// One row a food.
    pub foods: TableFile,
    /// One row a household measure.
    pub measures: TableFile,
    /// One row a value; `None` if the dataset says nothing of where its values come from.
    pub provenance: Option<TableFile>,
}

impl Tables {
    /// The files there are.
    pub fn files(&self) -> impl Iterator<Item = &TableFile> {
        [&self.foods, &self.measures]
            .into_iter()
            .chain(&self.provenance)
    }
}

/// A Parquet file of the cache.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct TableFile {
    /// File name without its folder.
    pub name: String,
    /// Rows in it.
    pub rows: u64,
    /// Length in bytes.
    pub bytes: u64,
    /// SHA-256 of the whole file in lower-case hexadecimal.
    pub sha256: String,
    /// Length of the footer in bytes, its closing length and magic included.
    pub footer_bytes: u64,
    /// SHA-256 of the footer, which in turn holds that of every row group.
    pub footer_sha256: String,
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
