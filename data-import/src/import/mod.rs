//! Published datasets into a cache folder.

mod abbreviated;
mod input;
mod plausible;
mod rows;
mod source;

use std::collections::BTreeSet;
use std::path::Path;

use crate::cache::Folder;
use crate::error::Error;
use crate::food::Food;
use crate::manifest::{FileDigest, Manifest, SourceInfo};
use source::Source;

/// What to import, and where to.
#[derive(Debug, Clone, Copy)]
pub struct ImportRequest<'a> {
    /// Folder or zip with the files of one dataset as published.
    pub path: &'a Path,
    /// Cache folder; made if it does not exist.
    pub cache: &'a Path,
    /// Date of the import, ISO 8601; it goes into the manifest.
    pub imported: &'a str,
}

/// How far an import has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress<'a> {
    /// What is being done.
    pub stage: Stage,
    /// The file it is done to; empty while the cache is written.
    pub file: &'a str,
    /// Bytes of the file done.
    pub done: u64,
    /// Bytes of the file in all, as the folder or the zip states it; 0 if not known.
    pub total: u64,
}

/// The two halves of an import.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// The dataset is read and checked.
    Reading,
    /// The cache is written.
    Writing,
}

/// Told how far an import has come.
type Watcher<'a> = dyn FnMut(Progress<'_>) + 'a;

/// Reads one layout of one dataset.
trait DatasetReader {
    /// The layout in words, for errors: `USDA SR abbreviated`.
    fn layout(&self) -> &'static str;

    /// The files it needs. A folder or zip that holds all of them is taken to be this layout.
    fn files(&self) -> &'static [&'static str];

    /// Reads the files in one pass each, and hands over the foods one by one, in any order.
    fn read(
        &self,
        source: &mut Source,
        foods: &mut dyn FnMut(Food) -> Result<(), Error>,
        watcher: &mut Watcher<'_>,
    ) -> Result<Release, Error>;
}

/// What a reader knows about the dataset once it is read.
struct Release {
    name: &'static str,
    release: &'static str,
    format: &'static str,
    files: Vec<FileDigest>,
}

/// The layouts that are known. The first one whose files are all there is taken.
const READERS: [&dyn DatasetReader; 1] = [&abbreviated::Abbreviated];

/// Imports a dataset into a cache folder, in place of what the folder holds. The layout is
/// recognised from the files. After an error, and if the program is killed, the folder still holds
/// the cache it held before.
///
/// Needs memory for all foods of the dataset at once.
pub fn import(
    request: &ImportRequest<'_>,
    progress: &mut dyn FnMut(Progress<'_>),
) -> Result<Manifest, Error> {
    let mut source = Source::open(request.path)?;
    let reader = recognise(&source)?;
    let folder = Folder::new(request.cache);
    let _lock = folder.lock()?;

    let mut foods = Vec::new();
    let mut keep = |food| {
        foods.push(food);
        Ok(())
    };
    let release = reader.read(&mut source, &mut keep, progress)?;
    foods.sort_by(|a, b| a.id.cmp(&b.id));

    progress(Progress {
        stage: Stage::Writing,
        file: "",
        done: 0,
        total: 0,
    });
    folder.replace(&foods, vec![source_info(release, &foods)], request.imported)
}

fn recognise(source: &Source) -> Result<&'static dyn DatasetReader, Error> {
    let mut missing = Vec::new();
    for reader in READERS {
        let absent = reader.files().iter().filter(|file| !source.has(file));
        let absent = absent.copied().collect::<Vec<_>>();
        if absent.is_empty() {
            return Ok(reader);
        }
        let (layout, needed) = (reader.layout(), reader.files().join(" and "));
        missing.push(format!(
            "{layout} needs {needed}; {} not there",
            list(&absent)
        ));
    }
    Err(Error::NotRecognised {
        path: source.path().to_owned(),
        missing,
    })
}

fn list(names: &[&str]) -> String {
    let verb = if names.len() == 1 { "is" } else { "are" };
    format!("{} {verb}", names.join(" and "))
}

fn source_info(release: Release, foods: &[Food]) -> SourceInfo {
    let compositions = foods.iter().map(|food| &food.composition);
    let nutrients = compositions.flat_map(|c| c.iter().map(|value| value.0));
    SourceInfo {
        name: release.name.to_owned(),
        release: release.release.to_owned(),
        format: release.format.to_owned(),
        foods: foods.len(),
        nutrients: nutrients.collect::<BTreeSet<_>>().len(),
        measures: foods.iter().map(|food| food.measures.len()).sum(),
        files: release.files,
    }
}
