//! `book.sqlite`: opening, writing in whole entries, undoing, checking, copying.

use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use jiff::civil::Date;
use rusqlite::{
    Connection, ErrorCode, OpenFlags, OptionalExtension as _, Transaction, TransactionBehavior,
};
use tempfile::NamedTempFile;

use super::BookError;
use super::memo::KeptValues;
use super::memory_copy::{CopiedFor, in_memory, of_closed, untouched};
use super::schema;

/// The time that a command waits for another one to finish writing.
pub(super) const PATIENCE: Duration = Duration::from_secs(20);

/// The number of attempts to open a record that another command is creating, and the pause between
/// them.
const ATTEMPTS: u32 = 300;
const PAUSE: Duration = Duration::from_millis(10);

/// The record of a household.
#[derive(Debug)]
pub struct Store {
    connection: Connection,
    path: PathBuf,
    /// Why the store is a copy in memory, to which nothing is written; `None` where it is the
    /// record itself.
    copied_for: Option<CopiedFor>,
    /// The key of the form whose entry is recorded; `None` for an entry that comes from no form.
    key: Option<String>,
    /// The currency of the book, in which purchases are recorded and costs added up; empty where
    /// the record was opened without its book.
    pub(super) currency: String,
    /// Tastes, stock and other values of the whole record, read once.
    pub(super) kept: Arc<KeptValues>,
}

impl Store {
    /// Opens a record, and creates it where there is none. An older layout is migrated, after a
    /// copy was saved beside it. A file of another program is left as it is.
    pub fn open(path: &Path) -> Result<Self, BookError> {
        recognised(path)?;
        match Self::among_others(path, "normal") {
            // The files shared by open connections need space of their own.
            Err(error) if error.lacks_room() => {
                let alone = Self::among_others(path, "exclusive")?;
                let copy = in_memory(&alone.connection, path)?;
                Ok(Self::of(copy, path, Some(CopiedFor::FullDisk)))
            }
            // A record that may not be written to can be read; where not even that is possible, the
            // first error says more.
            Err(error) if error.is_closed() => Self::read_only(path).map_err(|_| error),
            opened => opened,
        }
    }

    /// Opens a record that may not be written to.
    pub(super) fn read_only(path: &Path) -> Result<Self, BookError> {
        of_closed(path).map(|copy| Self::of(copy, path, Some(CopiedFor::ReadOnly)))
    }

    fn of(connection: Connection, path: &Path, copied_for: Option<CopiedFor>) -> Self {
        Self {
            connection,
            path: path.to_path_buf(),
            copied_for,
            key: None,
            currency: String::new(),
            kept: Arc::default(),
        }
    }

    /// The reason why nothing can be written to the record at this moment, so that it is read from
    /// a copy; `None` where it can.
    pub fn copied_for(&self) -> Option<CopiedFor> {
        self.copied_for
    }

    /// Opens a record with a locking mode, which decides whether others may have it open at the
    /// same time.
    fn among_others(path: &Path, locking: &str) -> Result<Self, BookError> {
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE
            | OpenFlags::SQLITE_OPEN_CREATE
            | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let connect = || {
            let connection = Connection::open_with_flags(path, flags)?;
            connection.pragma_update(None, "locking_mode", locking)?;
            Ok(connection)
        };
        let connection = connect().map_err(to_book_error("open", path))?;
        let mut store = Self::of(connection, path, None);
        // SQLite does not wait for every lock: it gives up at once when it turns a new file to WAL.
        for _ in 0..ATTEMPTS {
            match store.prepare() {
                Err(error) if error.is_busy() => std::thread::sleep(PAUSE),
                done => return done.map(|()| store),
            }
        }
        store.prepare()?;
        Ok(store)
    }

    /// Sets the pragmas of a connection. A confirmed entry is on the disk.
    fn prepare(&mut self) -> Result<(), BookError> {
        let path = self.path.clone();
        let to_book_error = to_book_error("open", &path);
        let set = |connection: &Connection| {
            connection.busy_timeout(PATIENCE)?;
            connection.pragma_update(None, "synchronous", "full")?;
            // A step may replace a table to which rows refer meanwhile.
            connection.pragma_update(None, "foreign_keys", false)?;
            schema::version(connection)
        };
        let found = set(&self.connection).map_err(&to_book_error)?;
        known_layout(&path, found)?;
        if found < schema::newest() {
            self.migrate()?;
        }
        self.connection
            .pragma_update(None, "foreign_keys", true)
            .map_err(&to_book_error)?;
        // The journal mode is set last, so that the mark of the file is in its head from the first
        // moment on.
        self.connection
            .pragma_update(None, "journal_mode", "wal")
            .map_err(&to_book_error)
    }

    /// Takes the steps that are still to be taken, all of them or none. Nobody else writes
    /// meanwhile, so that the copy holds all that the book held.
    fn migrate(&mut self) -> Result<(), BookError> {
        let path = self.path.clone();
        self.write(|transaction| {
            let had = schema::version(transaction)?;
            // The file is an older book, and not one that was made just now.
            if had < schema::newest() && schema::application(transaction)? == schema::APPLICATION {
                let from = Connection::open_with_flags(&path, OpenFlags::SQLITE_OPEN_READ_ONLY)?;
                let beside = path.with_extension(format!("layout-{had}.sqlite"));
                let copy = copied(&from, &beside)?;
                let kept = copy.persist(&beside).map_err(|error| error.error);
                kept.map_err(BookError::io("write", &beside))?;
            }
            schema::migrate(transaction, had)?;
            match faults(transaction)?.first() {
                Some(what) => Err(BookError::Damaged {
                    path: path.clone(),
                    what: what.clone(),
                }
                .into()),
                None => Ok(()),
            }
        })
    }

    /// The path of the record.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Reads from the record.
    pub(super) fn read<T>(
        &self,
        read: impl FnOnce(&Connection) -> rusqlite::Result<T>,
    ) -> Result<T, BookError> {
        read(&self.connection).map_err(to_book_error("read", &self.path))
    }

    /// Writes one entry with its rows, or nothing at all. Others wait meanwhile.
    pub(super) fn write<T>(
        &mut self,
        write: impl FnOnce(&Transaction<'_>) -> Result<T, WriteError>,
    ) -> Result<T, BookError> {
        let path = self.path.clone();
        let to_book_error = |error| to_book_error("write to", &path)(error);
        if let Some(reason) = self.copied_for {
            return Err(to_book_error(reason.refusal()));
        }
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(to_book_error)?;
        let before = self.key.as_ref().map(|_| newest_entry(&transaction));
        let before = before.transpose().map_err(to_book_error)?;
        let value = write(&transaction).map_err(|error| match error {
            WriteError::Sqlite(source) => to_book_error(source),
            WriteError::Book(error) => error,
        })?;
        if let Some((key, before)) = self.key.as_ref().zip(before) {
            mark(&transaction, before, key).map_err(to_book_error)?;
        }
        forget_failure(&transaction).map_err(to_book_error)?;
        transaction.commit().map_err(to_book_error)?;
        Ok(value)
    }

    /// Marks the next entry with the key of the form from which it comes, so that the form is
    /// recognised when it is sent again.
    #[must_use]
    pub fn with_key(self, key: Option<String>) -> Self {
        Self { key, ..self }
    }

    /// Shares the values of the whole record that other connections have read before.
    #[must_use]
    pub fn sharing(self, kept: &Arc<KeptValues>) -> Self {
        let kept = Arc::clone(kept);
        Self { kept, ..self }
    }

    /// Whether a form with this key was recorded before.
    pub fn has_key(&self, key: &str) -> Result<bool, BookError> {
        self.read(|connection| {
            let sql = "SELECT EXISTS (SELECT 1 FROM entry WHERE key = ?1)";
            connection.query_row(sql, [key], |row| row.get(0))
        })
    }

    /// Stores the words of a command that recorded nothing, until something is recorded.
    pub fn note_failure(&mut self, command: &str) -> Result<(), BookError> {
        let path = self.path.clone();
        let note = || {
            self.connection.execute("DELETE FROM failed_command", [])?;
            let sql = "INSERT INTO failed_command (words) VALUES (?1)";
            self.connection.execute(sql, [command])
        };
        note().map(|_| ()).map_err(to_book_error("write to", &path))
    }

    /// The last command, if it was meant to record something and failed.
    pub fn failed_command(&self) -> Result<Option<String>, BookError> {
        self.read(|connection| {
            connection
                .query_row("SELECT words FROM failed_command", [], |row| row.get(0))
                .optional()
        })
    }

    /// Everything that SQLite and the rules of the book find wrong; empty where all is well.
    pub fn check(&self) -> Result<Vec<String>, BookError> {
        self.read(faults)
    }

    /// Copies the record as it is at one moment, while others may go on writing. The copy is there
    /// whole, or not at all.
    pub fn backup(&self, to: &Path) -> Result<(), BookError> {
        let copy = copied(&self.connection, to)?;
        match copy.persist_noclobber(to) {
            Ok(_) => Ok(()),
            Err(refused) if refused.error.kind() == ErrorKind::AlreadyExists => {
                Err(BookError::InTheWay(to.to_path_buf()))
            }
            Err(refused) => Err(BookError::io("write", to)(refused.error)),
        }
    }
}

/// Everything that is wrong with an open record; empty where all is well.
pub(super) fn faults(connection: &Connection) -> rusqlite::Result<Vec<String>> {
    let mut faults = Vec::new();
    for sql in schema::CHECKS {
        let mut select = connection.prepare(sql)?;
        for fault in select.query_map([], |row| row.get::<_, String>(0))? {
            faults.push(fault?);
        }
    }
    Ok(faults)
}

/// A whole copy of a record, in a temporary file beside `to` that is deleted unless it is kept.
fn copied(from: &Connection, to: &Path) -> Result<NamedTempFile, BookError> {
    // The folder of a bare file name is the current one.
    let folder = to.parent().filter(|folder| *folder != Path::new(""));
    let folder = folder.unwrap_or(Path::new("."));
    if !folder.is_dir() {
        return Err(BookError::io("write", to)(ErrorKind::NotFound.into()));
    }
    let copy = NamedTempFile::new_in(folder).map_err(BookError::io("write", to))?;
    let copying = || {
        let mut into = Connection::open(copy.path())?;
        rusqlite::backup::Backup::new(from, &mut into)?.run_to_completion(
            1024,
            Duration::from_millis(5),
            None,
        )
    };
    copying().map_err(to_book_error("copy", to))?;
    copy.as_file()
        .sync_all()
        .map_err(BookError::io("write", to))?;
    Ok(copy)
}

/// The number of the newest entry.
fn newest_entry(transaction: &Transaction<'_>) -> rusqlite::Result<i64> {
    transaction.query_row("SELECT coalesce(max(id), 0) FROM entry", [], |row| {
        row.get(0)
    })
}

/// Marks the first entry after another with the key of the form from which it came.
fn mark(transaction: &Transaction<'_>, before: i64, key: &str) -> rusqlite::Result<()> {
    let sql = "UPDATE entry SET key = ?1 WHERE id = (SELECT min(id) FROM entry WHERE id > ?2)";
    transaction.execute(sql, (key, before)).map(|_| ())
}

/// Forgets the failed command, once something is recorded.
fn forget_failure(transaction: &Transaction<'_>) -> rusqlite::Result<()> {
    transaction
        .execute("DELETE FROM failed_command", [])
        .map(|_| ())
}

/// The errors of a write.
#[derive(Debug)]
pub(super) enum WriteError {
    Sqlite(rusqlite::Error),
    Book(BookError),
}

impl From<rusqlite::Error> for WriteError {
    fn from(error: rusqlite::Error) -> Self {
        Self::Sqlite(error)
    }
}

impl From<BookError> for WriteError {
    fn from(error: BookError) -> Self {
        Self::Book(error)
    }
}

impl From<crate::problem::Problem> for WriteError {
    fn from(problem: crate::problem::Problem) -> Self {
        Self::Book(problem.into())
    }
}

/// Writes the head of an entry and returns its number.
pub(super) fn new_entry(
    transaction: &Transaction<'_>,
    day: Date,
    kind: &str,
) -> rusqlite::Result<i64> {
    transaction.execute(
        "INSERT INTO entry (day, kind) VALUES (?1, ?2)",
        rusqlite::params![day.to_string(), kind],
    )?;
    Ok(transaction.last_insert_rowid())
}

/// Checks the head of a file before `SQLite` opens it, which would change a file of another
/// program. A file that is missing or empty will be a new record.
///
/// `SQLite` itself reads the head, in immutable mode, so that it changes nothing. Were the file
/// opened by other means, closing it would release the locks of those who have the book open in
/// this process (<https://www.sqlite.org/howtocorrupt.html>, section 2.2).
fn recognised(path: &Path) -> Result<(), BookError> {
    match path.metadata() {
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(()),
        Ok(file) if file.is_dir() => {
            return Err(BookError::io("read", path)(ErrorKind::IsADirectory.into()));
        }
        Ok(file) if file.len() == 0 => return Ok(()),
        file => file.map_err(BookError::io("read", path))?,
    };
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY
        | OpenFlags::SQLITE_OPEN_URI
        | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let head = || -> rusqlite::Result<_> {
        let file = Connection::open_with_flags(untouched(path), flags)?;
        Ok((schema::application(&file)?, schema::version(&file)?))
    };
    match head() {
        Ok((schema::APPLICATION, layout)) => known_layout(path, layout),
        Ok(_) => Err(BookError::Foreign(path.to_path_buf())),
        // A concurrent writer writes the first page first, so that the file may be shorter than its
        // head says. Whether it is damaged is checked when it is opened.
        Err(error) if error.sqlite_error_code() == Some(ErrorCode::DatabaseCorrupt) => Ok(()),
        Err(error) => Err(to_book_error("read", path)(error)),
    }
}

fn known_layout(path: &Path, found: u32) -> Result<(), BookError> {
    let newest = schema::newest();
    if found <= newest {
        return Ok(());
    }
    Err(BookError::Newer {
        path: path.to_path_buf(),
        found,
        newest,
    })
}

/// Converts an error of `SQLite`.
pub(super) fn to_book_error(
    action: &'static str,
    path: &Path,
) -> impl Fn(rusqlite::Error) -> BookError {
    move |source| {
        let path = path.to_path_buf();
        match source.sqlite_error_code() {
            Some(ErrorCode::NotADatabase) => BookError::Foreign(path),
            Some(ErrorCode::DatabaseCorrupt) => BookError::Damaged {
                path,
                what: source.to_string(),
            },
            _ => BookError::Sqlite {
                action,
                path,
                source,
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_record_that_grows_at_this_moment_is_recognised() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a b?#%.sqlite");
        drop(Store::open(&path).unwrap());
        let file = std::fs::File::options().write(true).open(&path).unwrap();
        file.set_len(file.metadata().unwrap().len() - 4096).unwrap();
        recognised(&path).unwrap();
        assert!(
            matches!(Store::open(&path), Err(BookError::Damaged { .. })),
            "it does not grow, and is damaged"
        );
    }
}
