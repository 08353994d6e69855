//! What of a run is done: a line for each part in `bulk.jsonl`, written when its files are in their places.

use std::collections::BTreeMap;
use std::fs::{File, OpenOptions};
use std::io::Write as _;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::BulkError;
use super::input::Input;
use super::output::{TABLES, fingerprint, place};
use super::part::{Part, Piece};
use super::run::BulkRequest;
use super::table_file::TableFile;
use crate::problem::Problem;
use crate::whole_file;

/// The name of the file.
const FILE: &str = "bulk.jsonl";

/// A part that is done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct PartEntry {
    pub(super) part: String,
    /// What it was read from.
    pub(super) input: Vec<SourceFile>,
    /// Size and footer digest of the files that the part wrote; empty in a journal of an earlier version.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) output: Vec<SourceFile>,
    pub(super) made: Made,
    pub(super) recipes: u64,
    pub(super) lines: u64,
    pub(super) rejected: u64,
    /// How many recipes have each fault.
    pub(super) faults: BTreeMap<String, u64>,
}

/// A file that was read or written.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct SourceFile {
    file: String,
    bytes: u64,
    sha256: String,
}

/// What besides the input makes the output what it is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Made {
    pub(super) version: String,
    /// SHA-256 of the tables of foods in use, and of the tables of the kitchen.
    pub(super) foods: String,
    pub(super) options: String,
}

impl SourceFile {
    /// The file of a table that a part was written to; `None` where it does not read as Parquet.
    pub(super) fn written(table: &str, part: &Part, at: &Path) -> Option<Self> {
        let (bytes, sha256) = fingerprint(at)?;
        Some(Self {
            file: format!("{table}/{}.parquet", part.name),
            bytes,
            sha256,
        })
    }
}

/// The files that a part is read from.
pub(super) fn sources(input: &Input, part: &Part) -> Vec<SourceFile> {
    let files = |table: &str, files: &[TableFile], pieces: &[Piece]| {
        let mut places: Vec<usize> = pieces.iter().map(|piece| piece.file).collect();
        places.dedup();
        let found = places.into_iter().filter_map(|at| files.get(at));
        let sources = found.map(|file| {
            let name = file.path().file_name().unwrap_or_default();
            let (bytes, sha256) = file.fingerprint();
            SourceFile {
                file: format!("{table}/{}", name.to_string_lossy()),
                bytes,
                sha256,
            }
        });
        sources.collect::<Vec<_>>()
    };
    let mut all = files("lines", &input.lines, &part.lines);
    all.extend(files("recipes", &input.recipes, &part.recipes));
    all
}

/// The journal of an output folder.
#[derive(Debug)]
pub(super) struct Journal {
    path: PathBuf,
    entries: BTreeMap<String, PartEntry>,
}

impl Journal {
    /// Reads what is done; nothing where there is no journal yet, or where the run starts over.
    ///
    /// Errors: the journal does not read; or it is of a run with other options or other foods.
    pub(super) fn open(out: &Path, made: &Made, restart: bool) -> Result<Self, BulkError> {
        let path = out.join(FILE);
        let mut journal = Self {
            entries: BTreeMap::new(),
            path,
        };
        if restart {
            return journal.cleared();
        }
        let text = match std::fs::read_to_string(&journal.path) {
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(journal),
            text => text.map_err(|error| BulkError::io("read", &journal.path, error))?,
        };
        // A line that was cut off when the run was stopped is of no part that is done.
        let whole = text.rfind('\n').map_or("", |end| &text[..end]);
        for (at, line) in whole
            .lines()
            .enumerate()
            .filter(|(_, line)| !line.is_empty())
        {
            let entry: PartEntry = serde_json::from_str(line).map_err(|error| {
                let what = format!("{}:{}: {error}", journal.path.display(), at + 1);
                Problem::new(what).hint("start over with --restart")
            })?;
            journal.refuse_other(&entry.made, made)?;
            journal.entries.insert(entry.part.clone(), entry);
        }
        Ok(journal)
    }

    fn cleared(self) -> Result<Self, BulkError> {
        match std::fs::remove_file(&self.path) {
            Err(error) if error.kind() != std::io::ErrorKind::NotFound => {
                Err(BulkError::io("remove", &self.path, error))
            }
            _ => Ok(self),
        }
    }

    fn refuse_other(&self, was: &Made, is: &Made) -> Result<(), Problem> {
        let other = if was.options != is.options {
            format!("other options ({})", was.options)
        } else if was.foods != is.foods {
            "other food data".to_owned()
        } else if was.version != is.version {
            format!("another version of the program ({})", was.version)
        } else {
            return Ok(());
        };
        let what = format!("{} is of a run with {other}", self.path.display());
        Err(Problem::new(what).hint("write into another folder, or start over with --restart"))
    }

    /// The entry of a part that is done with this input.
    pub(super) fn done(&self, part: &str, input: &[SourceFile]) -> Option<&PartEntry> {
        self.entries.get(part).filter(|entry| entry.input == input)
    }

    /// Whether the files of a part that is done are still as they were written.
    pub(super) fn is_whole(&self, request: &BulkRequest<'_>, part: &Part) -> bool {
        let Some(entry) = self.entries.get(&part.name) else {
            return false;
        };
        let files =
            TABLES.map(|table| SourceFile::written(table, part, &place(request, table, part)));
        let mut files = files.iter();
        match entry.output.as_slice() {
            // A journal of an earlier version does not say how they were.
            [] => files.all(Option::is_some),
            written => files.map(Option::as_ref).eq(written.iter().map(Some)),
        }
    }

    /// Notes that a part is done. Several processes may do so at once.
    pub(super) fn note(&mut self, entry: PartEntry) -> Result<(), BulkError> {
        let failed = |error| BulkError::io("write", &self.path, error);
        let mut line = json(&entry)?;
        let file = OpenOptions::new()
            .create(true)
            .read(true)
            .append(true)
            .open(&self.path);
        let mut file = file.map_err(failed)?;
        file.lock().map_err(failed)?;
        if !ends_with_a_line(&file).map_err(failed)? {
            line.insert(0, '\n');
        }
        let written = file.write_all(line.as_bytes());
        written.and_then(|()| file.sync_all()).map_err(failed)?;
        self.entries.insert(entry.part.clone(), entry);
        Ok(())
    }

    /// Puts the lines in order when all parts are done, so that a run that was stopped leaves the
    /// same bytes as any other.
    pub(super) fn finish(&self) -> Result<(), BulkError> {
        let lines = self.entries.values().map(json);
        let text = lines.collect::<Result<String, _>>()?;
        if std::fs::read_to_string(&self.path).is_ok_and(|former| former == text) {
            return Ok(());
        }
        whole_file::write(&self.path, &text)
            .map_err(|error| BulkError::io("write", &self.path, error))
    }

    /// Forgets parts that the input no longer has.
    pub(super) fn retain(&mut self, parts: &[Part]) {
        self.entries
            .retain(|name, _| parts.iter().any(|part| part.name == *name));
    }
}

fn json(entry: &PartEntry) -> Result<String, BulkError> {
    let text = serde_json::to_string(entry);
    let text = text.map_err(|error| Problem::new(format!("{FILE}: {error}")))?;
    Ok(text + "\n")
}

/// Whether the file is empty or ends with a whole line.
fn ends_with_a_line(mut file: &File) -> std::io::Result<bool> {
    use std::io::{Read as _, Seek as _, SeekFrom};
    if file.metadata()?.len() == 0 {
        return Ok(true);
    }
    let mut last = [0];
    file.seek(SeekFrom::End(-1))?;
    file.read_exact(&mut last)?;
    Ok(last == *b"\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_of_an_earlier_version_reads_and_comes_back_as_it_was() {
        let line = r#"{"part":"p1","input":[],"made":{"version":"0.1.0","foods":"f","options":"o"},"recipes":2,"lines":4,"rejected":1,"faults":{"tray":1}}"#;
        let entry: PartEntry = serde_json::from_str(line).unwrap();
        assert!(entry.output.is_empty());
        assert_eq!(json(&entry).unwrap(), format!("{line}\n"));
        let written = PartEntry {
            output: vec![SourceFile {
                file: "rejects/p1.parquet".into(),
                bytes: 8,
                sha256: "ab".into(),
            }],
            ..entry
        };
        let again: PartEntry = serde_json::from_str(&json(&written).unwrap()).unwrap();
        assert_eq!(again, written);
    }
}
