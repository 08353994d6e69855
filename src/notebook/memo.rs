//! A cache of values that are calculated from the whole record, such as the tastes of a child. One
//! command needs them many times, and one page after another, so they are kept until the record
//! changes.

use std::path::Path;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::SystemTime;

use jiff::civil::Date;
use rusqlite::Connection;

use super::freezer::{FrozenBatch, Stock};
use super::tastes::{TasteHistory, TasteRecord};

/// The most values of a kind that are kept, the last ones that were calculated: the days of a few
/// weeks (judgement).
const MOST: usize = 64;

/// Values that need a walk through the whole record, shared by all connections to it.
#[derive(Debug, Default)]
pub struct KeptValues {
    /// The tastes of a child up to a day.
    pub(super) tastes: Memo<(String, Date), TasteRecord>,
    /// All that is on record about the tastes of a child.
    pub(super) taste_histories: Memo<String, TasteHistory>,
    /// The batches in the freezer, with what they cost in a currency.
    pub(super) stocks: Memo<String, Vec<Stock>>,
    /// Every batch, with what it cost in a currency.
    pub(super) batches: Memo<String, Vec<FrozenBatch>>,
    /// The children with entries in the record.
    pub(super) children: Memo<(), Vec<String>>,
}

/// The state of a record. Everything that is written about meals and the freezer is an entry,
/// changes and undos too, and the number of an entry is never given twice; the time and length of
/// the file show where another file was copied over it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct RecordState {
    newest_entry: i64,
    written: SystemTime,
    bytes: u64,
}

impl RecordState {
    /// The state that the open transaction reads; `None` where the metadata of the file cannot be
    /// read.
    fn of(connection: &Connection, path: &Path) -> rusqlite::Result<Option<Self>> {
        let newest_entry = connection
            .prepare_cached(
                "SELECT coalesce(max(seq), 0) FROM sqlite_sequence WHERE name = 'entry'",
            )?
            .query_row([], |row| row.get(0))?;
        let file = std::fs::metadata(path).ok();
        let state = file.and_then(|file| {
            Some(Self {
                newest_entry,
                written: file.modified().ok()?,
                bytes: file.len(),
            })
        });
        Ok(state)
    }
}

/// Cached values by their keys.
#[derive(Debug)]
pub(super) struct Memo<K, V>(Mutex<KeptOf<K, V>>);

/// The values of one state of a record.
#[derive(Debug)]
struct KeptOf<K, V> {
    state: Option<RecordState>,
    values: Vec<(K, Arc<V>)>,
}

impl<K, V> Default for Memo<K, V> {
    fn default() -> Self {
        let (state, values) = (None, Vec::new());
        Self(Mutex::new(KeptOf { state, values }))
    }
}

impl<K: PartialEq, V> Memo<K, V> {
    /// The value that is kept for a key, else the one that is read now. The connection to the
    /// record at `path` is in a transaction.
    pub(super) fn get_or_read(
        &self,
        (connection, path): (&Connection, &Path),
        key: K,
        read: impl FnOnce(&Connection) -> rusqlite::Result<V>,
    ) -> rusqlite::Result<Arc<V>> {
        let Some(now) = RecordState::of(connection, path)? else {
            return read(connection).map(Arc::new);
        };
        if let Some(value) = self.kept().get(now, &key) {
            return Ok(value);
        }
        // The lock is not held meanwhile, so that other pages need not wait.
        let value = Arc::new(read(connection)?);
        self.kept().keep(now, key, &value);
        Ok(value)
    }

    fn kept(&self) -> MutexGuard<'_, KeptOf<K, V>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl<K: PartialEq, V> KeptOf<K, V> {
    fn get(&self, state: RecordState, key: &K) -> Option<Arc<V>> {
        let mut values = self.values.iter().filter(|_| self.state == Some(state));
        let (_, value) = values.find(|(kept, _)| kept == key)?;
        Some(Arc::clone(value))
    }

    fn keep(&mut self, state: RecordState, key: K, value: &Arc<V>) {
        if self.state != Some(state) {
            self.values.clear();
            self.state = Some(state);
        }
        if self.values.len() == MOST {
            self.values.remove(0);
        }
        self.values.push((key, Arc::clone(value)));
    }
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;

    use super::*;

    struct Record {
        folder: tempfile::TempDir,
        memo: Memo<u8, i64>,
        reads: Cell<u32>,
    }

    impl Record {
        fn new() -> Self {
            let folder = tempfile::tempdir().unwrap();
            let record = Self {
                folder,
                memo: Memo::default(),
                reads: Cell::new(0),
            };
            let connection = record.open();
            connection
                .pragma_update(None, "journal_mode", "wal")
                .unwrap();
            let table = "CREATE TABLE entry (id INTEGER PRIMARY KEY AUTOINCREMENT)";
            connection.execute(table, []).unwrap();
            record
        }

        fn path(&self) -> std::path::PathBuf {
            self.folder.path().join("book.sqlite")
        }

        fn open(&self) -> Connection {
            Connection::open(self.path()).unwrap()
        }

        fn write(&self) {
            let write = "INSERT INTO entry DEFAULT VALUES";
            self.open().execute(write, []).unwrap();
        }

        /// The number of entries, by a connection of its own.
        fn count(&self) -> i64 {
            self.count_by(&self.open())
        }

        fn count_by(&self, connection: &Connection) -> i64 {
            let moment = connection.unchecked_transaction().unwrap();
            let read = |moment: &Connection| {
                self.reads.set(self.reads.get() + 1);
                moment.query_row("SELECT count(*) FROM entry", [], |row| row.get(0))
            };
            let found = self.memo.get_or_read((&moment, &self.path()), 1, read);
            *found.unwrap()
        }
    }

    #[test]
    fn a_value_is_read_once_by_all_connections_until_anybody_changes_the_record() {
        let record = Record::new();
        record.write();
        assert_eq!((record.count(), record.count()), (1, 1));
        assert_eq!(record.reads.get(), 1);
        record.write();
        let held = record.open();
        assert_eq!((record.count_by(&held), record.count()), (2, 2));
        assert_eq!(record.reads.get(), 2);
        // While another connection is open, entries go to SQLite's log beside the file, so that the
        // file itself does not change.
        record.write();
        assert_eq!((record.count_by(&held), record.count()), (3, 3));
        assert_eq!(record.reads.get(), 3);
    }

    #[test]
    fn a_value_of_a_file_that_another_is_copied_over_is_read_again() {
        let record = Record::new();
        record.write();
        record.write();
        record
            .open()
            .execute("DELETE FROM entry WHERE id = 1", [])
            .unwrap();
        let copy = record.folder.path().join("copy.sqlite");
        std::fs::copy(record.path(), &copy).unwrap();
        record.write();
        assert_eq!(record.count(), 2);
        std::fs::copy(&copy, record.path()).unwrap();
        assert_eq!(record.count(), 1);
    }

    #[test]
    fn the_values_that_were_kept_first_make_room_for_later_ones() {
        let record = Record::new();
        let connection = record.open();
        for key in 0..=u8::try_from(MOST).unwrap() {
            let (read, path) = (|_: &Connection| Ok(i64::from(key)), record.path());
            let found = record.memo.get_or_read((&connection, &path), key, read);
            found.unwrap();
        }
        let kept = record.memo.kept();
        assert_eq!(kept.values.len(), MOST);
        assert!(kept.values.iter().all(|(key, _)| *key > 0));
    }
}
