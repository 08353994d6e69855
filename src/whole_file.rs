//! Files that are there whole, or not at all.

use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

/// Writes `text` beside `path` first and then puts it in its place in one step, so that no reader
/// and no power cut ever meets half a file. An older file of that name is replaced: the new one
/// keeps its access rights, and a link stays a link to the file that it leads to.
///
/// Errors: the system's own; `path` is then as it was.
pub fn write(path: &Path, text: impl AsRef<[u8]>) -> io::Result<()> {
    let path = &followed(path)?;
    let folder = folder_of(path);
    let mut beside = beside(folder)?;
    beside.write_all(text.as_ref())?;
    keep_rights(path, &beside)?;
    beside.as_file().sync_all()?;
    beside.persist(path)?;
    sync(folder)
}

/// Writes a whole file, but never over one that is there.
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

/// The file that a link leads to; the path itself where no file is there yet.
pub(crate) fn followed(path: &Path) -> io::Result<PathBuf> {
    match std::fs::canonicalize(path) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(path.to_owned()),
        found => found,
    }
}

/// Gives the new file the rights of the one that it replaces: a book names children and their
/// allergies, so that its owner may have closed it to others.
pub(crate) fn keep_rights(path: &Path, beside: &tempfile::NamedTempFile) -> io::Result<()> {
    match std::fs::metadata(path) {
        Ok(old) if old.is_file() => beside.as_file().set_permissions(old.permissions()),
        _ => Ok(()),
    }
}

pub(crate) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    }
}

/// A new file with the rights that any other file of the person has.
pub(crate) fn beside(folder: &Path) -> io::Result<tempfile::NamedTempFile> {
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
pub(crate) fn sync(folder: &Path) -> io::Result<()> {
    std::fs::File::open(folder)?.sync_all()
}

/// Only Unix opens folders as files.
#[cfg(not(unix))]
pub(crate) fn sync(_folder: &Path) -> io::Result<()> {
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
    #[cfg(unix)]
    fn a_link_and_the_rights_of_its_file_are_kept() {
        use std::os::unix::fs::{PermissionsExt, symlink};
        let folder = tempfile::tempdir().unwrap();
        let [file, link] = ["synced.toml", "book.toml"].map(|name| folder.path().join(name));
        std::fs::write(&file, "old").unwrap();
        std::fs::set_permissions(&file, PermissionsExt::from_mode(0o600)).unwrap();
        symlink(&file, &link).unwrap();
        write(&link, "new").unwrap();
        assert!(std::fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(std::fs::read_to_string(&file).unwrap(), "new");
        let mode = std::fs::metadata(&file).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o600);
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
