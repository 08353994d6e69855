//! A copy of the record in memory, which is read where nothing can be written: the disk is full, or
//! the file or its folder is read-only.

use std::ffi::OsString;
use std::fs::File;
use std::path::Path;
use std::time::Duration;

use rusqlite::{Connection, OpenFlags, ffi};

use super::BookError;
use super::schema;
use super::store::{PATIENCE, to_book_error};

const READING: OpenFlags = OpenFlags::SQLITE_OPEN_READ_ONLY.union(OpenFlags::SQLITE_OPEN_NO_MUTEX);
/// The endings of SQLite's write-ahead log beside a record, and of the file that all readers share.
const LOG: &str = "-wal";
const SHARED: &str = "-shm";

/// The reason to read a record from a copy in memory.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CopiedFor {
    /// The disk is full.
    FullDisk,
    /// The file or its folder may not be written to.
    ReadOnly,
}

impl CopiedFor {
    /// The error of a write to the copy.
    pub(super) fn refusal(self) -> rusqlite::Error {
        let code = match self {
            Self::FullDisk => ffi::SQLITE_FULL,
            Self::ReadOnly => ffi::SQLITE_READONLY,
        };
        rusqlite::Error::SqliteFailure(ffi::Error::new(code), None)
    }
}

/// An open record as it is now, in memory.
pub(super) fn in_memory(from: &Connection, path: &Path) -> Result<Connection, BookError> {
    let copy = || {
        let mut into = Connection::open_in_memory()?;
        let backup = rusqlite::backup::Backup::new(from, &mut into)?;
        backup.run_to_completion(i32::MAX, Duration::ZERO, None)?;
        drop(backup);
        Ok(into)
    };
    copy().map_err(to_book_error("read", path))
}

/// A copy in memory of a record that may not be written to, as it is now; an empty record where
/// there is none. An older layout is migrated in the copy.
pub(super) fn of_closed(path: &Path) -> Result<Connection, BookError> {
    let mut copy = if !path.exists() {
        Connection::open_in_memory().map_err(to_book_error("read", path))?
    } else if has(path, LOG) && !has(path, SHARED) {
        with_log(path)?
    } else {
        in_memory(
            &where_it_lies(path).map_err(to_book_error("read", path))?,
            path,
        )?
    };
    let migrated = (|| {
        let had = schema::version(&copy)?;
        let transaction = copy.transaction()?;
        schema::migrate(&transaction, had)?;
        transaction.commit()
    })();
    migrated.map_err(to_book_error("read", path))?;
    Ok(copy)
}

/// Opens a record for reading, without a write to its folder.
fn where_it_lies(path: &Path) -> rusqlite::Result<Connection> {
    let connection = Connection::open_with_flags(path, READING)?;
    connection.busy_timeout(PATIENCE)?;
    match schema::version(&connection) {
        // The file that readers share cannot be made. Where nothing waits in the log, it is not
        // needed.
        Err(_) if !has(path, LOG) => {
            let flags = READING | OpenFlags::SQLITE_OPEN_URI;
            Connection::open_with_flags(untouched(path), flags)
        }
        version => version.map(|_| connection),
    }
}

/// A copy in memory of a record whose log holds entries, without the file that readers share:
/// `SQLite` would make that file in the folder, which is read-only, so both are read in a temporary
/// folder. Nobody has a record without that file open, so no write comes between the two copies,
/// and no lock of this process is lost when they are closed.
fn with_log(path: &Path) -> Result<Connection, BookError> {
    let folder = tempfile::tempdir().map_err(BookError::io("copy", path))?;
    let copy = folder.path().join("book.sqlite");
    for part in ["", LOG] {
        // A new file may be written to, whatever holds for the one from which it is copied.
        let copying = || {
            let mut from = File::open(beside(path, part))?;
            std::io::copy(&mut from, &mut File::create(beside(&copy, part))?)
        };
        copying().map_err(BookError::io("copy", path))?;
    }
    let opened = Connection::open(&copy).map_err(to_book_error("read", path))?;
    in_memory(&opened, path)
}

fn beside(path: &Path, ending: &str) -> OsString {
    let mut name = path.as_os_str().to_os_string();
    name.push(ending);
    name
}

/// Whether a file of a record exists and is not empty.
fn has(path: &Path, ending: &str) -> bool {
    std::fs::metadata(beside(path, ending)).is_ok_and(|file| file.len() > 0)
}

/// The address of a file that is only read (`SQLite`, URI filenames).
pub(super) fn untouched(path: &Path) -> String {
    use std::fmt::Write as _;
    let mut address = "file:".to_string();
    for byte in path.as_os_str().as_encoded_bytes() {
        // Writing to a string cannot fail.
        let _ = write!(address, "%{byte:02X}");
    }
    address + "?immutable=1"
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::notebook::{Question, Store};

    fn today() -> jiff::civil::Date {
        jiff::civil::date(2026, 11, 16)
    }

    fn ask(store: &mut Store, words: &str) -> Result<(), BookError> {
        let question = Question::new(today(), words);
        store.ask("Wren", &question).map(|_| ())
    }

    fn questions(store: &Store) -> usize {
        store.questions("Wren", today(), today()).unwrap().len()
    }

    /// As where the folder may not be written to, whoever runs the tests.
    #[test]
    fn a_record_that_may_not_be_written_to_is_read() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("book.sqlite");
        let mut store = Store::open(&path).unwrap();
        ask(&mut store, "Is it?").unwrap();
        let open = Store::read_only(&path).unwrap();
        assert_eq!(
            questions(&open),
            1,
            "while another has it open, and entries wait in the log"
        );
        drop((open, store));
        let mut closed = Store::read_only(&path).unwrap();
        assert_eq!(questions(&closed), 1);
        assert_eq!(closed.copied_for(), Some(CopiedFor::ReadOnly));
        assert!(ask(&mut closed, "And?").unwrap_err().is_closed());
        let nothing = Store::read_only(&folder.path().join("none.sqlite")).unwrap();
        assert_eq!(questions(&nothing), 0);
        assert!(!folder.path().join("none.sqlite").exists());
    }

    #[test]
    fn entries_that_wait_in_a_log_are_read_without_a_file_beside_it() {
        let (whole, left) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
        let mut store = Store::open(&whole.path().join("book.sqlite")).unwrap();
        ask(&mut store, "Is it?").unwrap();
        for name in ["book.sqlite", "book.sqlite-wal"] {
            std::fs::copy(whole.path().join(name), left.path().join(name)).unwrap();
        }
        let path = left.path().join("book.sqlite");
        let unread =
            Connection::open_with_flags(untouched(&path), READING | OpenFlags::SQLITE_OPEN_URI);
        let unread = unread
            .unwrap()
            .query_row("SELECT count(*) FROM question", [], |row| row.get(0));
        assert_eq!(unread, Ok(0), "the entry is in the log alone");
        let read = Store::read_only(&path).unwrap();
        assert_eq!(questions(&read), 1);
        assert_eq!(std::fs::read_dir(left.path()).unwrap().count(), 2);
    }
}
