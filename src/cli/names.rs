//! The search index over the names of the food data in use.

use std::fs::{self, File};
use std::io::{self, BufWriter, ErrorKind, Write};
use std::path::Path;

use data_import::{Manifest, manifest_of, search_index};
use trayful::food::search::{Entry, FoodIndex, IndexBuilder, IndexError};
use trayful::food::{FoodTable, Synonyms, entry, synonyms};

use super::failure::Failure;

/// Opens the index of a cache folder, or of the built-in foods. Where the folder has none for the
/// foods in it, one is made in memory.
pub(super) fn index(cache: Option<&Path>) -> Result<FoodIndex, Failure> {
    let synonyms = synonyms()?;
    let Some(cache) = cache else {
        let index = FoodIndex::open(Box::new(search_index::builtin()), &synonyms);
        return index.map_err(|error| failed(None, error));
    };
    let stamp = manifest_of(cache)?.stamp();
    match open(cache, &synonyms) {
        Ok(Some(index)) if index.stamp() == stamp => Ok(index),
        Ok(_) => of_cache(cache, &synonyms),
        Err(error) => Err(failed(Some(cache), error)),
    }
}

/// Writes the index of a cache folder, in place of the one that is there.
pub(super) fn write(cache: &Path, manifest: &Manifest) -> Result<(), Failure> {
    let table = FoodTable::open(cache)?;
    let beside = search_index::beside(cache);
    let failed = |error: io::Error| failed(Some(cache), error.into());
    let file = BufWriter::new(File::create(&beside).map_err(failed)?);
    let file = of_table(file, &table, &manifest.stamp(), Some(cache))?;
    let file = file
        .into_inner()
        .map_err(|error| failed(error.into_error()))?;
    file.sync_all()
        .and_then(|()| fs::rename(&beside, search_index::path(cache)))
        .map_err(failed)
}

/// `None` if there is no index, or none that this version reads.
fn open(cache: &Path, synonyms: &Synonyms) -> Result<Option<FoodIndex>, IndexError> {
    let file = match File::open(search_index::path(cache)) {
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
        file => file?,
    };
    match FoodIndex::open(Box::new(file), synonyms) {
        Err(IndexError::Version) => Ok(None),
        index => index.map(Some),
    }
}

fn of_cache(cache: &Path, synonyms: &Synonyms) -> Result<FoodIndex, Failure> {
    let table = FoodTable::open(cache)?;
    let bytes = of_table(Vec::new(), &table, "", Some(cache))?;
    FoodIndex::open(Box::new(bytes), synonyms).map_err(|error| failed(Some(cache), error))
}

/// Packets from a shop; every other source holds basic foods.
const BRANDED: &str = "branded";

/// Writes the index of a table, food by food.
fn of_table<W: Write>(
    sink: W,
    table: &FoodTable,
    stamp: &str,
    cache: Option<&Path>,
) -> Result<W, Failure> {
    let told = |error: io::Error| failed(cache, error.into());
    let mut builder = IndexBuilder::new(sink);
    table.each_name(&mut |source, name| {
        let branded = table
            .sources()
            .get(source)
            .is_some_and(|source| source.id == BRANDED);
        let rank = u8::try_from(source).unwrap_or(u8::MAX);
        builder
            .push(&Entry {
                branded,
                source_rank: rank,
                ..entry(&name)
            })
            .map_err(told)
    })?;
    builder.finish(stamp).map_err(told)
}

/// Why the index of a cache folder, or of the built-in foods, is of no use.
pub(super) fn failed(cache: Option<&Path>, error: IndexError) -> Failure {
    let place = cache.map_or_else(|| "built-in".into(), search_index::path);
    Failure::Index(place, error)
}
