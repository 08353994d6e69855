//! Where the files of a part lie, and how they come there.

use std::fs;
use std::io::{Read as _, Seek as _, SeekFrom};
use std::path::{Path, PathBuf};

use data_import::hex;
use sha2::{Digest as _, Sha256};

use super::BulkError;
use super::part::Part;
use super::run::BulkRequest;
use crate::problem::Problem;

/// The tables of the output, in the order in which they come to their places.
pub(super) const TABLES: [&str; 2] = ["rejects", "results"];

/// Bytes at the end of a Parquet file that say how long its footer is.
const END: u64 = 8;

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

/// Makes the folder that files go into.
///
/// Errors: a file of that name is in the way; or the system's own.
pub(super) fn make_folder(folder: &Path) -> Result<(), BulkError> {
    if folder.exists() && !folder.is_dir() {
        let what = format!(
            "{} is a file, where a folder to write into is due",
            folder.display()
        );
        let hint = "name another folder, or move that file away";
        return Err(Problem::new(what).hint(hint).into());
    }
    fs::create_dir_all(folder).map_err(|error| BulkError::io("make", folder, error))
}

/// Removes what is written of a part that does not become whole.
pub(super) fn discard(request: &BulkRequest<'_>, part: &Part) {
    for table in TABLES {
        // A file that is not there, or that cannot be removed, does no harm: engines pass over it,
        // and the next run writes it again.
        drop(fs::remove_file(unfinished(request, table, part)));
    }
}

/// The length of a Parquet file, and the SHA-256 of its footer, which names the place of every page
/// and so changes with them; `None` where the file is not there or does not end as a Parquet file
/// does. So it is for the input too: what is done is not read as a whole again.
pub(super) fn fingerprint(path: &Path) -> Option<(u64, String)> {
    let mut file = fs::File::open(path).ok()?;
    let bytes = file.metadata().ok()?.len();
    let start = bytes.checked_sub(END)?;
    file.seek(SeekFrom::Start(start)).ok()?;
    let mut end = [0; 8];
    file.read_exact(&mut end).ok()?;
    let (length, magic) = end.split_first_chunk::<4>()?;
    let length = u64::from(u32::from_le_bytes(*length));
    let footer = start.checked_sub(length).filter(|_| magic == b"PAR1")?;
    file.seek(SeekFrom::Start(footer)).ok()?;
    let mut footer = Vec::new();
    file.take(length).read_to_end(&mut footer).ok()?;
    Some((bytes, hex(&Sha256::digest(&footer))))
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
    for table in TABLES {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_that_is_cut_off_or_overwritten_at_its_end_has_another_fingerprint() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("p.parquet");
        let of = |bytes: &[u8]| {
            fs::write(&path, bytes).unwrap();
            fingerprint(&path)
        };
        let whole = b"PAR1 pages footer\x06\0\0\0PAR1";
        let (bytes, digest) = of(whole).unwrap();
        assert_eq!(bytes, whole.len() as u64);
        assert_eq!(digest, hex(&Sha256::digest(b"footer")));
        let other = of(b"PAR1 pages f00ter\x06\0\0\0PAR1").unwrap();
        assert_ne!(other.1, digest);
        assert_eq!(of(&whole[..10]), None);
        assert_eq!(of(b"x\x06\0\0\0PAR1"), None);
        assert_eq!(of(b""), None);
        assert_eq!(fingerprint(&folder.path().join("none")), None);
    }
}
