//! Taking a source out of a cache, and reading a cache through from end to end.

use std::fs::File;
use std::io;
use std::path::Path;

use super::folder::Folder;
use super::table::FoodTable;
use crate::digest::Digesting;
use crate::error::Error;
use crate::manifest::{Manifest, SourceInfo, TableFile};

/// Takes a source out of a cache. The others stay as they are.
pub fn remove(cache: &Path, source: &str) -> Result<Manifest, Error> {
    let folder = Folder::new(cache);
    let manifest = folder.manifest()?;
    let _lock = folder.lock()?;
    let held = |one: &SourceInfo| one.id == source;
    if !manifest.sources.iter().any(held) {
        let held = manifest.sources.into_iter().map(|one| one.id);
        return Err(Error::NoSource {
            dir: cache.to_owned(),
            wanted: source.to_owned(),
            held: held.collect(),
        });
    }
    let kept = manifest.sources.into_iter().filter(|one| !held(one));
    folder.swap(kept.collect(), &manifest.imported)
}

/// What [`verify`] read.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Verified {
    /// Files whose SHA-256 is that of the file written.
    pub files: usize,
    /// Their bytes.
    pub bytes: u64,
    /// Foods decoded.
    pub foods: usize,
    /// Measures decoded.
    pub measures: usize,
    /// Rows of provenance decoded.
    pub provenance: usize,
}

/// Reads a whole cache: every file against its SHA-256, then every row.
pub fn verify(cache: &Path) -> Result<Verified, Error> {
    let folder = Folder::new(cache);
    let table = FoodTable::open(cache)?;
    let mut verified = Verified::default();
    for file in table.sources().iter().flat_map(|one| one.tables.files()) {
        rehash(&folder, file)?;
        verified.files += 1;
        verified.bytes += file.bytes;
    }
    table.read_through(&mut verified)?;
    Ok(verified)
}

fn rehash(folder: &Folder, table: &TableFile) -> Result<(), Error> {
    let path = folder.table(table)?;
    let read = || -> io::Result<String> {
        let mut reader = Digesting::new(File::open(&path)?);
        io::copy(&mut reader, &mut io::sink())?;
        Ok(reader.sha256())
    };
    let found = read().map_err(|source| Error::io("read", &path, source))?;
    if found == table.sha256 {
        return Ok(());
    }
    let problem = "its SHA-256 is not that of the file written";
    Err(Error::corrupt(&path, &problem))
}
