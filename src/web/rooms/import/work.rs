//! The import itself, on a thread of its own.

use std::fs::File;
use std::io::{self, Read as _, Seek as _};
use std::path::Path;
use std::thread;

use data_import::{Error, ImportRequest, Progress, SourceInfo, import, manifest_of, remove};

use super::failing;
use crate::food::{FoodData, FoodDataError};
use crate::web::imports::{ImportedDataset, Stage, Turn};

/// The signature of a zip file (PKWARE, APPNOTE.TXT 4.3).
const ZIP: &[u8; 2] = b"PK";
/// The name of the upload in error messages; no file has this name.
const SENT: &str = "the file";
/// The name of the first step of reading.
const LIST: &str = "what is in the zip";

/// A change to the food data.
pub(super) enum Task {
    /// Imports this file.
    ReadIn(File),
    /// The source of this name is dropped.
    Drop(String),
}

/// Starts a task on a thread, which reports through `turn`.
pub(super) fn start(task: Task, data: FoodData, on: String, mut turn: Turn, tell: fn(&str)) {
    let work = move || {
        let done = match task {
            Task::ReadIn(zip) => read_in(zip, &data, &on, &mut turn),
            Task::Drop(source) => drop_source(&source, &data),
        };
        turn.at(done.unwrap_or_else(|error| failing::failed(&error, tell)));
    };
    if let Err(error) = thread::Builder::new().name("import".into()).spawn(work) {
        // The turn was dropped with the closure, which reports the import as given up.
        tell(&format!("cannot start the import: {error}"));
    }
}

fn read_in(
    mut zip: File,
    data: &FoodData,
    on: &str,
    turn: &mut Turn,
) -> Result<Stage, FoodDataError> {
    let unread = |source| {
        FoodDataError::from(Error::Io {
            action: "read",
            path: SENT.into(),
            source,
        })
    };
    turn.at(Stage::Reading(LIST.into(), 0, 0));
    if !is_zip(&mut zip).map_err(unread)? {
        return Ok(failing::no_zip());
    }
    let request = ImportRequest {
        opened: Some(&zip),
        ..ImportRequest::new(Path::new(SENT), data.folder().unwrap_or(Path::new("")), on)
    };
    let imported = import(&request, &mut |progress| turn.at(stage(progress)))?;
    turn.at(Stage::Indexing);
    data.write_index()?;
    Ok(Stage::Done(
        imported.sources.into_iter().map(came_in).collect(),
    ))
}

fn is_zip(file: &mut File) -> io::Result<bool> {
    let mut first = Vec::new();
    file.rewind()?;
    file.take(ZIP.len() as u64).read_to_end(&mut first)?;
    file.rewind()?;
    Ok(first == ZIP)
}

fn stage(progress: Progress<'_>) -> Stage {
    match progress.stage {
        data_import::Stage::Reading => {
            Stage::Reading(progress.file.to_string(), progress.done, progress.total)
        }
        data_import::Stage::Writing => Stage::Writing(progress.done, progress.total),
    }
}

fn came_in(source: SourceInfo) -> ImportedDataset {
    ImportedDataset {
        name: source.name,
        release: source.release,
        foods: source.foods,
    }
}

fn drop_source(source: &str, data: &FoodData) -> Result<Stage, FoodDataError> {
    let folder = data.folder().unwrap_or(Path::new(""));
    let held = manifest_of(folder)?.sources.into_iter();
    let name = held
        .filter(|held| held.id == source)
        .map(|held| held.name)
        .next();
    remove(folder, source)?;
    data.write_index()?;
    Ok(Stage::Dropped(name.unwrap_or_default()))
}
