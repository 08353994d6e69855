//! Files that are there whole, or not at all.

use std::io::{self, Write as _};
use std::path::Path;

/// Writes `text` beside `path` first and then puts it in its place in one step, so that no reader
/// and no power cut ever meets half a file. An older file of that name is replaced.
///
/// Errors: the system's own; `path` is then as it was.
pub fn write(path: &Path, text: impl AsRef<[u8]>) -> io::Result<()> {
    let folder = folder_of(path);
    let mut beside = beside(folder)?;
    beside.write_all(text.as_ref())?;
    beside.as_file().sync_all()?;
    beside.persist(path)?;
    sync(folder)
}

/// The same, but never over a file that is there.
///
/// Errors: the system's own, of the kind `AlreadyExists` where there is one of that name.
pub fn write_new(path: &Path, text: &str) -> io::Result<()> {
    let folder = folder_of(path);
    let mut beside = beside(folder)?;
    beside.write_all(text.as_bytes())?;
    beside.as_file().sync_all()?;
    beside.persist_noclobber(path)?;
    sync(folder)
}

fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    }
}

/// A new file with the rights that any other file of the person has.
fn beside(folder: &Path) -> io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".whole-");
    #[cfg(unix)]
    let everyone = std::os::unix::fs::PermissionsExt::from_mode(0o666); // less the umask
    #[cfg(unix)]
    builder.permissions(everyone);
    // Nobody asked for the name beside, so an error does not speak of it.
    let made = builder.tempfile_in(folder);
    made.map_err(|error| io::Error::from(error.kind()))
}

/// Makes the new name as lasting as the file.
#[cfg(unix)]
fn sync(folder: &Path) -> io::Result<()> {
    std::fs::File::open(folder)?.sync_all()
}

/// Only Unix opens folders as files.
#[cfg(not(unix))]
fn sync(_folder: &Path) -> io::Result<()> {
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_replaced_and_nothing_lies_beside_it() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("page.html");
        write(&path, "old").unwrap();
        write(&path, "new").unwrap();
        assert_eq!(std::fs::read_to_string(&path).unwrap(), "new");
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn a_write_that_fails_leaves_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let taken = folder.path().join("taken");
        std::fs::create_dir_all(taken.join("inside")).unwrap();
        assert!(write(&taken, "text").is_err());
        assert!(taken.join("inside").is_dir());
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
    }
}
