//! `book.sqlite`: opening, writing in whole entries, undoing, checking, copying.

use std::path::{Path, PathBuf};
use std::time::Duration;

use jiff::civil::Date;
use rusqlite::{Connection, ErrorCode, OpenFlags, Transaction, TransactionBehavior};

use super::BookError;
use super::schema;

/// How long a command waits for another that is writing.
const PATIENCE: Duration = Duration::from_secs(20);

/// The record of a household.
#[derive(Debug)]
pub struct Store {
    connection: Connection,
    path: PathBuf,
}

/// What was written at one time: a batch, a feeding, a discard or a purchase.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// Number, in the order of writing.
    pub id: i64,
    /// The day it is about.
    pub day: String,
    /// `batch`, `feeding`, `discard` or `purchase`.
    pub kind: String,
}

impl Store {
    /// Makes a new record; there must be none yet.
    pub fn create(path: &Path) -> Result<Self, BookError> {
        if path.exists() {
            return Err(BookError::Exists(path.to_path_buf()));
        }
        let store = Self::connect(path, OpenFlags::SQLITE_OPEN_CREATE)?;
        store.prepared()
    }

    /// Opens a record. An older layout is brought up to date, after a copy was kept beside it.
    pub fn open(path: &Path) -> Result<Self, BookError> {
        if !path.is_file() {
            return Err(BookError::Missing(path.to_path_buf()));
        }
        let found = recognised(path)?;
        let store = Self::connect(path, OpenFlags::empty())?;
        if found < schema::newest() {
            let copy = path.with_extension(format!("layout-{found}.sqlite"));
            store.backup(&copy)?;
        }
        store.prepared()
    }

    fn connect(path: &Path, flags: OpenFlags) -> Result<Self, BookError> {
        let flags = flags | OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let connection = Connection::open_with_flags(path, flags).map_err(told("open", path))?;
        Ok(Self {
            connection,
            path: path.to_path_buf(),
        })
    }

    /// Sets what must hold in every connection. A confirmed entry is on the disk.
    fn prepared(mut self) -> Result<Self, BookError> {
        let set = |connection: &mut Connection| {
            connection.busy_timeout(PATIENCE)?;
            connection.pragma_update(None, "journal_mode", "wal")?;
            connection.pragma_update(None, "synchronous", "full")?;
            connection.pragma_update(None, "foreign_keys", true)?;
            if schema::version(connection)? < schema::newest() {
                schema::migrate(connection)?;
            }
            Ok(())
        };
        set(&mut self.connection).map_err(told("open", &self.path))?;
        Ok(self)
    }

    /// Where it lies.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Reads.
    pub(super) fn read<T>(
        &self,
        read: impl FnOnce(&Connection) -> rusqlite::Result<T>,
    ) -> Result<T, BookError> {
        read(&self.connection).map_err(told("read", &self.path))
    }

    /// Writes one entry and what belongs to it, or nothing at all. Others wait meanwhile.
    pub(super) fn write<T>(
        &mut self,
        write: impl FnOnce(&Transaction<'_>) -> Result<T, WriteError>,
    ) -> Result<T, BookError> {
        let path = self.path.clone();
        let told = |error| told("write to", &path)(error);
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(told)?;
        let value = write(&transaction).map_err(|error| match error {
            WriteError::Sqlite(source) => told(source),
            WriteError::Book(error) => error,
        })?;
        transaction.commit().map_err(told)?;
        Ok(value)
    }

    /// Takes the last entry back and says what it was; `None` where there is none.
    pub fn undo(&mut self) -> Result<Option<Entry>, BookError> {
        self.write(|transaction| {
            let last = transaction
                .prepare("SELECT id, day, kind FROM entry ORDER BY id DESC LIMIT 1")?
                .query_map([], entry)?
                .next()
                .transpose()?;
            if let Some(last) = &last {
                transaction.execute("DELETE FROM entry WHERE id = ?1", [last.id])?;
            }
            Ok(last)
        })
    }

    /// Everything that SQLite and the book's own rules find wrong; empty where all is well.
    pub fn check(&self) -> Result<Vec<String>, BookError> {
        self.read(|connection| {
            let texts = |sql: &str| -> rusqlite::Result<Vec<String>> {
                connection
                    .prepare(sql)?
                    .query_map([], |row| row.get(0))?
                    .collect()
            };
            let mut wrong: Vec<_> = texts("PRAGMA integrity_check")?
                .into_iter()
                .filter(|line| line != "ok")
                .collect();
            wrong.extend(texts(
                "SELECT 'a row of ' || \"table\" || ' refers to one that is not there'
                 FROM pragma_foreign_key_check",
            )?);
            wrong.extend(texts(
                "SELECT 'batch ' || batch || ' has ' || cubes || ' cubes left' FROM stock
                 WHERE cubes < 0",
            )?);
            wrong.extend(texts(
                "SELECT kind || ' ' || id || ' has no row of its own' FROM entry WHERE id NOT IN
                 (SELECT entry FROM batch UNION ALL SELECT entry FROM feeding
                  UNION ALL SELECT entry FROM discard UNION ALL SELECT entry FROM purchase)",
            )?);
            Ok(wrong)
        })
    }

    /// Copies the record as it is at one moment, while others may go on writing.
    pub fn backup(&self, to: &Path) -> Result<(), BookError> {
        if to.exists() {
            return Err(BookError::Exists(to.to_path_buf()));
        }
        let copied = (|| {
            let mut copy = Connection::open(to)?;
            let backup = rusqlite::backup::Backup::new(&self.connection, &mut copy)?;
            backup.run_to_completion(1024, Duration::from_millis(5), None)
        })();
        copied.map_err(told("copy", to))
    }
}

/// What a write may fail with.
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

/// Writes the head of an entry and gives its number.
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

fn entry(row: &rusqlite::Row<'_>) -> rusqlite::Result<Entry> {
    Ok(Entry {
        id: row.get(0)?,
        day: row.get(1)?,
        kind: row.get(2)?,
    })
}

/// The layout of a file that is a book, found without writing to it.
fn recognised(path: &Path) -> Result<u32, BookError> {
    let look = || {
        let connection = Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_ONLY)?;
        connection.busy_timeout(PATIENCE)?;
        Ok((
            schema::application(&connection)?,
            schema::version(&connection)?,
        ))
    };
    let (application, found) = look().map_err(told("open", path))?;
    let newest = schema::newest();
    if application != schema::APPLICATION {
        Err(BookError::Foreign(path.to_path_buf()))
    } else if found > newest {
        Err(BookError::Newer {
            path: path.to_path_buf(),
            found,
            newest,
        })
    } else {
        Ok(found)
    }
}

/// Turns SQLite's error into ours.
fn told(action: &'static str, path: &Path) -> impl Fn(rusqlite::Error) -> BookError {
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
