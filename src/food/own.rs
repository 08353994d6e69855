//! The household's own foods on disk: reading the file, and adding to it.

use std::fs;
use std::io::{self, ErrorKind, Write};
use std::path::Path;
use std::sync::Arc;

use data_import::own::{Finding, LabelFood, OwnFoods, with_added};
use data_import::{Error, FoodId};

use crate::next_step::{NextStep, Remark};
use crate::problem::{Place, Problem, SourceText, nearest};
use crate::whole_file;
use crate::words;

/// The name of the file in the folder of a book.
pub const OWN_FOODS_FILE: &str = "own-foods.csv";

/// A file of own foods, as it was read.
#[derive(Debug)]
pub struct OwnShelf {
    source: Arc<SourceText>,
    foods: OwnFoods,
}

impl OwnShelf {
    /// Reads a file of own foods from disk.
    ///
    /// Errors: a table of the program does not read; or the file cannot be read, or everything
    /// that is wrong in it, each with its place.
    pub fn read(path: &Path) -> Result<Result<Self, Vec<Problem>>, Error> {
        let name = path.display().to_string();
        match fs::read(path) {
            Ok(bytes) => Self::parse(&name, bytes),
            Err(error) => {
                let what = format!("cannot read the own foods {}: {error}", words::file(path));
                let place = Place::whole(&SourceText::new(name, ""));
                Ok(Err(vec![
                    Problem::at(place, what).hint(NextStep::StartOwnFoods),
                ]))
            }
        }
    }

    /// Reads own foods from the bytes of a file; `name` is shown in errors and as their source.
    ///
    /// Errors: as for [`read`](Self::read).
    pub fn parse(name: &str, bytes: Vec<u8>) -> Result<Result<Self, Vec<Problem>>, Error> {
        let text = match String::from_utf8(bytes) {
            Ok(text) => text,
            Err(error) => {
                let at = error.utf8_error().valid_up_to();
                let lossy = String::from_utf8_lossy(error.as_bytes()).into_owned();
                let place = Place::new(&SourceText::new(name, lossy), at..at);
                let problem = Problem::at(place, "this is not UTF-8 text");
                return Ok(Err(vec![problem.hint("save the file as CSV in UTF-8")]));
            }
        };
        let source = SourceText::new(name, text);
        Ok(match OwnFoods::read(name, &source.text)? {
            Ok(foods) => Ok(Self { source, foods }),
            Err(findings) => Err(problems(&source, findings)),
        })
    }

    /// The foods.
    pub fn foods(&self) -> &OwnFoods {
        &self.foods
    }

    /// What is odd about one of the foods, with the place in the file.
    pub fn warnings(&self, food: &LabelFood) -> Vec<Problem> {
        problems(&self.source, food.warnings.clone())
    }

    /// Adds the food that `said` describes (`id=own-oats; name=Oats; per=100 g; iron=4 mg`) to the
    /// file, which is made where there is none. The file is replaced in one step, or not at all.
    ///
    /// Errors: as for [`read`](Self::read); or what is wrong with what was said, or the file
    /// cannot be written.
    pub fn add(path: &Path, said: &str) -> Result<Result<(Self, FoodId), Vec<Problem>>, Error> {
        let name = path.display().to_string();
        let before = match fs::read(path) {
            Ok(bytes) => Some(bytes),
            Err(error) if error.kind() == ErrorKind::NotFound => None,
            Err(error) => return Ok(Err(vec![unwritten(&name, &error)])),
        };
        let shelf = match Self::parse(&name, before.clone().unwrap_or_default())? {
            Ok(shelf) => shelf,
            Err(problems) => return Ok(Err(problems)),
        };
        let (id, text) = match with_added(&shelf.source.text, &shelf.foods, said)? {
            Ok(added) => added,
            Err(findings) => {
                let option = SourceText::new("--add", said);
                return Ok(Err(problems(&option, findings)));
            }
        };
        let after = match Self::parse(&name, text.clone().into_bytes())? {
            Ok(after) => after,
            Err(problems) => return Ok(Err(problems)),
        };
        Ok(match replace(path, before.as_deref(), text.as_bytes()) {
            Ok(()) => Ok((after, id)),
            Err(error) => Err(vec![unwritten(&name, &error)]),
        })
    }
}

/// Findings with their places; where a word was not known, the nearest that is.
fn problems(source: &Arc<SourceText>, findings: Vec<Finding>) -> Vec<Problem> {
    let problem = |finding: Finding| {
        let place = Place::new(source, finding.span.clone());
        let written = source.text.get(finding.span).unwrap_or("");
        let near = nearest(written.trim(), finding.known.iter().copied());
        let hint = match near {
            Some(word) => Some(format!("did you mean “{word}”?")),
            None if finding.known.is_empty() => finding.hint,
            None => Some(format!("known are {}", finding.known.join(", "))),
        };
        let hint = hint.map(Remark::from);
        Problem {
            hint,
            ..Problem::at(place, finding.what)
        }
    };
    findings.into_iter().map(problem).collect()
}

fn unwritten(name: &str, error: &io::Error) -> Problem {
    let hint = match error.kind() {
        ErrorKind::NotFound => "there is no such folder: make it, or name another file",
        ErrorKind::PermissionDenied => "check who may read and write there",
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => "make room on the disk",
        _ => "nothing was changed; try again, or add the line with an editor",
    };
    Problem::new(format!("cannot add to “{name}”: {error}")).hint(hint)
}

/// Puts `after` in the place of a file that held `before`: written beside it, brought to the disk,
/// then renamed, so that no reader ever meets half a file.
fn replace(path: &Path, before: Option<&[u8]>, after: &[u8]) -> io::Result<()> {
    let path = whole_file::followed(path)?;
    let folder = whole_file::folder_of(&path);
    // Asked first, so that the answer speaks of the folder.
    fs::metadata(folder)?;
    let mut beside = whole_file::beside(folder)?;
    beside.write_all(after)?;
    whole_file::keep_rights(&path, &beside)?;
    beside.as_file().sync_all()?;
    match before {
        Some(before) if fs::read(&path)? != before => {
            return Err(io::Error::other("another program has just changed it"));
        }
        Some(_) => beside.persist(&path),
        None => beside.persist_noclobber(&path),
    }
    .map_err(|error| match error.error.kind() {
        ErrorKind::AlreadyExists => io::Error::other("another program has just made it"),
        _ => error.error,
    })?;
    whole_file::sync(folder)
}
