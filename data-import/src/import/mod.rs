//! Published datasets into a cache folder.

mod abbreviated;
mod assemble;
mod decimal;
mod descriptions;
mod fooddata;
mod gather;
mod input;
mod lines;
mod plausible;
mod rows;
mod source;
mod sr28;
mod table;
mod whole;

use std::fs::File;
use std::path::Path;

use crate::cache::Folder;
use crate::error::Error;
use crate::manifest::{Manifest, SourceInfo};
use assemble::{Gathered, Release};
use gather::Store;
use source::Source;

/// Memory an import may use unless the request says otherwise: 1 GiB.
pub const DEFAULT_MEMORY: u64 = 1 << 30;

/// One part in this many of the memory holds rows, most often 8 bytes a value. Measured: 27 million
/// rows then stay in memory, and the import takes 331 MiB in all.
const HELD: u64 = 4;

/// What to import, and where to.
#[derive(Debug, Clone, Copy)]
pub struct ImportRequest<'a> {
    /// Folder or zip with the files of one dataset as published.
    pub path: &'a Path,
    /// The zip itself where it is open already; `path` is then only what errors call it.
    pub opened: Option<&'a File>,
    /// Cache folder; made if it does not exist.
    pub cache: &'a Path,
    /// Date of the import, ISO 8601; it goes into the manifest.
    pub imported: &'a str,
    /// One of [`formats`]; `None`: recognised from the files.
    pub format: Option<&'a str>,
    /// Memory to stay below, in bytes. A small part of it holds rows; what does not fit there
    /// waits in a file in the cache folder, which the system keeps in memory while there is room.
    pub memory: u64,
}

impl<'a> ImportRequest<'a> {
    /// A request with the format to be recognised and [`DEFAULT_MEMORY`].
    pub const fn new(path: &'a Path, cache: &'a Path, imported: &'a str) -> Self {
        Self {
            path,
            opened: None,
            cache,
            imported,
            format: None,
            memory: DEFAULT_MEMORY,
        }
    }
}

/// What an import did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Imported {
    /// The cache as it now is.
    pub manifest: Manifest,
    /// The sources that are new in it or replaced; each with what a person should know.
    pub sources: Vec<SourceInfo>,
    /// Bytes that waited in a file, since they did not fit into memory.
    pub spilled: u64,
}

/// How far an import has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress<'a> {
    /// What is being done.
    pub stage: Stage,
    /// The file that is read, or the source that is written.
    pub file: &'a str,
    /// Bytes of the file done, or groups of foods written.
    pub done: u64,
    /// Bytes of the file in all, as the folder or the zip states it; 0 if not known. Or groups.
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

/// Receives how far an import has come.
type Watcher<'a> = dyn FnMut(Progress<'_>) + Send + 'a;

/// Reads one layout of one dataset.
trait DatasetReader {
    /// The name a person gives the layout: `sr28-abbreviated`.
    fn format(&self) -> &'static str;

    /// The layout in words, for errors: `USDA SR, abbreviated,`.
    fn layout(&self) -> &'static str;

    /// The files it needs. A folder or zip that holds all of them is taken to be this layout.
    fn files(&self) -> &'static [&'static str];

    /// Reads the files row by row, and gathers what they say in any order: one or more sources of
    /// the cache. Nothing in the cache has changed when it fails.
    fn read<'s>(
        &self,
        source: &mut Source,
        store: &'s Store,
        watcher: &mut Watcher<'_>,
    ) -> Result<Vec<Gathered<'s>>, Error>;
}

/// The layouts that are known. The first one whose files are all there is taken.
const READERS: [&dyn DatasetReader; 3] = [
    &fooddata::FoodData,
    &sr28::Sr28 { core_only: false },
    &abbreviated::Abbreviated,
];

/// The reader of the built-in table. Its files are those of the full SR28 above, so it cannot be
/// recognised by them and must be named; it keeps the nutrients of the program alone.
const CORE: &dyn DatasetReader = &sr28::Sr28 { core_only: true };

/// The layouts that can be asked for by [`ImportRequest::format`].
pub fn formats() -> Vec<&'static str> {
    let known = READERS.into_iter().chain([CORE]);
    known.map(DatasetReader::format).collect()
}

/// Imports a dataset into a cache folder, beside the other datasets it holds and in place of an
/// earlier import of the same one. The layout is recognised from the files. After an error, and if
/// the program is killed, the folder still holds the cache it held before.
pub fn import(
    request: &ImportRequest<'_>,
    progress: &mut (dyn FnMut(Progress<'_>) + Send),
) -> Result<Imported, Error> {
    let mut source = match request.opened {
        Some(zip) => Source::of_zip(request.path, zip),
        None => Source::open(request.path),
    }?;
    let reader = match request.format {
        Some(format) => named(format, &source)?,
        None => recognise(&source)?,
    };
    let folder = Folder::new(request.cache);
    let _lock = folder.lock()?;
    let limit = usize::try_from(request.memory / HELD).unwrap_or(usize::MAX);
    let store = Store::new(folder.spill(), limit);
    let mut imported = Vec::new();
    for gathered in reader.read(&mut source, &store, progress)? {
        imported.push(assemble::write(
            &folder,
            gathered,
            request.imported,
            progress,
        )?);
    }
    let spilled = store.spilled();
    drop(store);
    let mut sources = folder.sources();
    sources.retain(|held| imported.iter().all(|new| new.id != held.id));
    sources.extend(imported.iter().cloned());
    Ok(Imported {
        manifest: folder.swap(sources, request.imported)?,
        sources: imported,
        spilled,
    })
}

fn named(format: &str, source: &Source) -> Result<&'static dyn DatasetReader, Error> {
    let mut known = READERS.into_iter().chain([CORE]);
    let found = known.find(|reader| reader.format() == format);
    let reader = found.ok_or_else(|| Error::NoFormat {
        wanted: format.to_owned(),
        known: formats(),
    })?;
    match missing(reader, source) {
        None => Ok(reader),
        Some(missing) => Err(Error::NotRecognised {
            path: source.path().to_owned(),
            missing: vec![missing.1],
        }),
    }
}

fn recognise(source: &Source) -> Result<&'static dyn DatasetReader, Error> {
    let mut all = Vec::new();
    for reader in READERS {
        match missing(reader, source) {
            None => return Ok(reader),
            Some(missing) => all.push(missing),
        }
    }
    // Where some files of a layout are there, the others are what is of interest.
    let near = all.iter().any(|(found, _)| *found > 0);
    let layouts = all.into_iter().filter(|(found, _)| !near || *found > 0);
    Err(Error::NotRecognised {
        path: source.path().to_owned(),
        missing: layouts.map(|(_, text)| text).collect(),
    })
}

/// How many files of a layout are there, and which are not; `None` if all are there.
fn missing(reader: &dyn DatasetReader, source: &Source) -> Option<(usize, String)> {
    let files = reader.files();
    let absent = files.iter().filter(|file| !source.has(file));
    let absent = absent.copied().collect::<Vec<_>>();
    if absent.is_empty() {
        return None;
    }
    let (layout, needed) = (reader.layout(), list(files));
    let text = match files.len() - absent.len() {
        0 => format!("{layout} needs {needed}"),
        _ => {
            let verb = if absent.len() == 1 { "is" } else { "are" };
            format!(
                "{layout} needs {needed}; {} {verb} not there",
                list(&absent)
            )
        }
    };
    Some((files.len() - absent.len(), text))
}

/// A sentence about a count, in the singular or the plural, after the count.
fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// `a, b and c`.
fn list(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}
