//! Where the files of a part lie, and how they come there.

use std::fs;
use std::path::{Path, PathBuf};

use super::BulkError;
use super::part::Part;
use super::run::BulkRequest;
use crate::problem::Problem;

/// Where a file of a part belongs.
pub(super) fn place(request: &BulkRequest<'_>, table: &str, part: &Part) -> PathBuf {
    let name = format!("{}.parquet", part.name);
    request.output.join(table).join(name)
}

/// Where it is written; engines pass over names that begin with a point.
pub(super) fn unfinished(request: &BulkRequest<'_>, table: &str, part: &Part) -> PathBuf {
    let name = format!(".{}.unfinished", part.name);
    request.output.join(table).join(name)
}

/// Puts a file that is on the disk in its place, so that it is there after a power cut too.
pub(super) fn settle(from: &Path, to: &Path) -> Result<(), BulkError> {
    let moved = fs::rename(from, to).and_then(|()| match to.parent() {
        #[cfg(unix)]
        Some(folder) => fs::File::open(folder)?.sync_all(),
        _ => Ok(()),
    });
    moved.map_err(|error| BulkError::io("write", to, error))
}

/// Refuses a folder with results of something else, which would be taken for those of this run.
pub(super) fn refuse_strangers(out: &Path, parts: &[Part]) -> Result<(), BulkError> {
    for table in ["results", "rejects"] {
        let folder = out.join(table);
        let Ok(entries) = fs::read_dir(&folder) else {
            continue;
        };
        for entry in entries {
            let path = entry
                .map_err(|error| BulkError::io("read", &folder, error))?
                .path();
            let stem = path.file_stem().unwrap_or_default().to_string_lossy();
            let is_ours = stem.starts_with('.') || parts.iter().any(|part| *part.name == *stem);
            if !is_ours {
                let what = format!("{} is of no part of this input", path.display());
                let hint = "write into another folder, or remove what is left of another run";
                return Err(Problem::new(what).hint(hint).into());
            }
        }
    }
    Ok(())
}
