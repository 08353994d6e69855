//! Where the search index over the names of foods is kept. Its format belongs to its reader.

use std::path::{Path, PathBuf};

/// Name of the file in a cache folder.
pub(crate) const FILE: &str = "search.index";

/// The index of the built-in foods.
pub fn builtin() -> &'static [u8] {
    include_bytes!("../builtin/search.index")
}

/// The file with the index of a cache folder. It is good if it is stamped with the SHA-256 of the
/// foods in the manifest.
pub fn path(cache: &Path) -> PathBuf {
    cache.join(FILE)
}

/// Where that file is written before it is moved into its place; the next import removes what is
/// left of it.
pub fn beside(cache: &Path) -> PathBuf {
    cache.join(".import-search.index")
}
