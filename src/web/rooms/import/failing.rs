//! The errors of an import as text with a remedy; never with a path of the disk, which is printed
//! on the terminal.

use std::io;

use data_import::Error;

use crate::food::FoodDataError;
use crate::web::delivery::Lost;
use crate::web::imports::{Failed, Stage};
use crate::words::capital;

/// The remedy for a full disk.
const ROOM: &str = "Make room on it, and send the file again.";
/// The remedy for a file that cannot be read.
const DOWNLOAD: &str = "Download it again from where it is published, and send it as it is.";
/// The remedy for an error whose details only the terminal shows.
const TERMINAL: &str = "The terminal in which the page was started says more.";

/// The error of a file that is not a zip.
pub(super) fn no_zip() -> Stage {
    Stage::failed(
        "This file is not a zip.",
        "Choose the zip of a dataset as it was downloaded, not unpacked.",
    )
}

/// The error of an upload that failed.
pub(super) fn lost(lost: &Lost, tell: fn(&str)) -> Stage {
    match lost {
        Lost::Empty => Stage::failed(
            "No file was chosen, or it is empty.",
            "Choose the zip of a dataset.",
        ),
        Lost::TooLong(most) => Stage::failed(
            format!(
                "The file is longer than {} GB, and no published dataset is.",
                most / 1_000_000_000
            ),
            "Choose the zip of a dataset.",
        ),
        Lost::Slow => Stage::failed("The file stopped coming half-way.", "Send it again."),
        Lost::CutOff => Stage::failed("The file was cut off half-way.", "Send it again."),
        Lost::Disk(error) => disk(
            error,
            &format!("cannot keep the file that was sent: {error}"),
            tell,
        ),
    }
}

/// The error of a dataset that could not be imported.
pub(super) fn failed(error: &FoodDataError, tell: fn(&str)) -> Stage {
    let error = match error {
        FoodDataError::Tables(error) => error,
        FoodDataError::Index(..) => {
            tell(&error.to_string());
            return Stage::Failed(Failed {
                words: "The foods are in use, but the search index could not be written: finding one may be slow.".into(),
                next: "Is the disk full? Make room on it, and do the same again.",
                kept: false,
            });
        }
    };
    match error {
        Error::NotRecognised { missing, .. } => Stage::failed(
            format!(
                "No dataset that can be read is in this zip. {}.",
                sentences(missing)
            ),
            "Choose the zip of one dataset as it was downloaded: USDA SR28, or FoodData Central as CSV.",
        ),
        // A refusal by this program begins with `it`, the zip; every other message is technical.
        Error::Archive { problem, .. } if problem.starts_with("it") => {
            Stage::failed(format!("The zip is not read: {problem}."), DOWNLOAD)
        }
        Error::Archive { .. } => {
            Stage::failed("The zip is damaged, or not all of it is there.", DOWNLOAD)
        }
        Error::Data { place, problem } => Stage::failed(format!("{place}: {problem}."), DOWNLOAD),
        Error::CacheBusy { .. } => Stage::failed(
            "Another import into the same food data is at work, from a command.",
            "Wait until it is done, and send the file then.",
        ),
        Error::NoSource { .. } | Error::NoCache { .. } => {
            Stage::failed("This dataset is not in the food data any more.", "")
        }
        Error::ForeignFolder { found, .. } => Stage::failed(
            format!("The folder for food data holds something else, such as {found}."),
            "Move what lies in the book's folder foods to another place, and send the file again.",
        ),
        Error::Io { source, .. } => disk(source, &error.to_string(), tell),
        error => {
            tell(&error.to_string());
            Stage::failed("It could not be read in.", TERMINAL)
        }
    }
}

/// The error of the disk, as text.
fn disk(error: &io::Error, detail: &str, tell: fn(&str)) -> Stage {
    tell(detail);
    match error.kind() {
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
            Stage::failed("The disk is full.", ROOM)
        }
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
            Stage::failed("The folder of the book may not be written to.", TERMINAL)
        }
        _ => Stage::failed("The disk did not take it.", TERMINAL),
    }
}

fn sentences(words: &[String]) -> String {
    let words = words.iter().map(|words| capital(words));
    words.collect::<Vec<_>>().join(". ")
}
