//! The search index over the names of the food data in use.

use std::fs::{self, File};
use std::io::{self, BufWriter, ErrorKind, Write};
use std::path::Path;

use data_import::{Manifest, manifest_of, reference, search_index};
use trayful::food::search::{Entry, FoodIndex, IndexBuilder, IndexError};
use trayful::food::{FoodName, FoodTable};

use super::failure::Failure;

/// Kitchen words and what a table calls them.
type Synonyms = Vec<(String, String)>;

/// Opens the index of a cache folder, or of the built-in foods. Where the folder has none for the
/// foods in it, one is made in memory.
pub(super) fn index(cache: Option<&Path>) -> Result<FoodIndex, Failure> {
    let synonyms = synonyms()?;
    let Some(cache) = cache else {
        let index = FoodIndex::open(Box::new(search_index::builtin()), &synonyms);
        return index.map_err(|error| failed(None, error));
    };
    let stamp = manifest_of(cache)?.foods.sha256;
    match open(cache, &synonyms) {
        Ok(Some(index)) if index.stamp() == stamp => Ok(index),
        Ok(_) => of_cache(cache),
        Err(error) => Err(failed(Some(cache), error)),
    }
}

/// Writes the index of a cache folder, in place of the one that is there.
pub(super) fn write(cache: &Path, manifest: &Manifest) -> Result<(), Failure> {
    let names = FoodTable::open(cache)?.names()?;
    let path = search_index::path(cache);
    let beside = search_index::beside(cache);
    let written = File::create(&beside)
        .and_then(|file| build(BufWriter::new(file), &names, &manifest.foods.sha256))
        .and_then(|file| file.get_ref().sync_all())
        .and_then(|()| fs::rename(&beside, &path));
    written.map_err(|error| failed(Some(cache), error.into()))
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

fn of_cache(cache: &Path) -> Result<FoodIndex, Failure> {
    let names = FoodTable::open(cache)?.names()?;
    in_memory(&names)?.map_err(|error| failed(Some(cache), error))
}

/// An index that is made for one search.
pub(super) fn in_memory(names: &[FoodName]) -> Result<Result<FoodIndex, IndexError>, Failure> {
    let synonyms = synonyms()?;
    let index = build(Vec::new(), names, "").map_err(IndexError::from);
    Ok(index.and_then(|bytes| FoodIndex::open(Box::new(bytes), &synonyms)))
}

fn build<W: Write>(sink: W, names: &[FoodName], stamp: &str) -> io::Result<W> {
    let mut builder = IndexBuilder::new(sink);
    for name in names {
        builder.push(&Entry {
            id: name.id.to_string(),
            name: name.name.clone(),
            common_names: name.common_names.clone(),
            manufacturer: name.manufacturer.clone(),
            group: name.group.clone(),
            ..Entry::default()
        })?;
    }
    builder.finish(stamp)
}

fn synonyms() -> Result<Synonyms, Failure> {
    let rows: Vec<(String, String, String)> =
        reference::rows("kitchen-words.csv", reference::KITCHEN_WORDS)?;
    Ok(rows
        .into_iter()
        .map(|(word, means, _)| (word, means))
        .collect())
}

/// Why the index of a cache folder, or of the built-in foods, is of no use.
pub(super) fn failed(cache: Option<&Path>, error: IndexError) -> Failure {
    let place = cache.map_or_else(|| "built-in".into(), search_index::path);
    Failure::Index(place, error)
}
