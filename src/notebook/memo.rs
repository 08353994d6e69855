//! Values that were worked out of the whole record, such as the tastes of a child. One command asks for them many times, so they are kept
//! until the record changes.

use std::cell::RefCell;
use std::sync::Arc;

use rusqlite::Connection;

/// The state of a record: what others committed, and what this connection changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct RecordState {
    by_others: i64,
    by_this: u64,
}

impl RecordState {
    /// The state that the open transaction reads.
    fn of(connection: &Connection) -> rusqlite::Result<Self> {
        Ok(Self {
            by_others: connection.pragma_query_value(None, "data_version", |row| row.get(0))?,
            by_this: connection.total_changes(),
        })
    }
}

/// Values by what they were asked for.
#[derive(Debug)]
pub(super) struct Memo<K, V> {
    of: RefCell<Option<RecordState>>,
    kept: RefCell<Vec<(K, Arc<V>)>>,
}

impl<K, V> Default for Memo<K, V> {
    fn default() -> Self {
        Self {
            of: RefCell::default(),
            kept: RefCell::default(),
        }
    }
}

impl<K: PartialEq, V> Memo<K, V> {
    /// The value that is kept for this, or else what is read now. The connection is in a transaction.
    pub(super) fn get_or_read(
        &self,
        connection: &Connection,
        key: K,
        read: impl FnOnce(&Connection) -> rusqlite::Result<V>,
    ) -> rusqlite::Result<Arc<V>> {
        let now = RecordState::of(connection)?;
        if self.of.replace(Some(now)) != Some(now) {
            self.kept.borrow_mut().clear();
        }
        if let Some((_, kept)) = self.kept.borrow().iter().find(|(kept, _)| *kept == key) {
            return Ok(Arc::clone(kept));
        }
        let value = Arc::new(read(connection)?);
        self.kept.borrow_mut().push((key, Arc::clone(&value)));
        Ok(value)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn count(connection: &Connection, memo: &Memo<u8, i64>, reads: &RefCell<u32>) -> i64 {
        let moment = connection.unchecked_transaction().unwrap();
        let read = |moment: &Connection| {
            *reads.borrow_mut() += 1;
            moment.query_row("SELECT count(*) FROM one", [], |row| row.get(0))
        };
        *memo.get_or_read(&moment, 1, read).unwrap()
    }

    #[test]
    fn a_value_is_read_again_once_anybody_changed_the_record() {
        let folder = tempfile::tempdir().unwrap();
        let open = || Connection::open(folder.path().join("book.sqlite")).unwrap();
        let (ours, theirs) = (open(), open());
        ours.pragma_update(None, "journal_mode", "wal").unwrap();
        ours.execute("CREATE TABLE one (id)", []).unwrap();
        let (memo, reads) = (Memo::default(), RefCell::new(0));
        assert_eq!(count(&ours, &memo, &reads), 0);
        assert_eq!(count(&ours, &memo, &reads), 0);
        assert_eq!(*reads.borrow(), 1);
        ours.execute("INSERT INTO one VALUES (1)", []).unwrap();
        assert_eq!(count(&ours, &memo, &reads), 1);
        theirs.execute("INSERT INTO one VALUES (2)", []).unwrap();
        assert_eq!(count(&ours, &memo, &reads), 2);
        assert_eq!(*reads.borrow(), 3);
    }
}
