//! The numbers of entries. A correction has a number of its own, and both name the same entry.

use rusqlite::{Connection, OptionalExtension as _};

use super::rows::Rows;
use crate::notebook::sql::first;

/// An operation of the history: an entry, or a change.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Operation {
    /// The number of the operation.
    pub(super) number: i64,
    /// The entry that it concerns: the entry itself, or the target of a change.
    pub(super) target: i64,
    pub(super) sort: Sort,
}

/// The sort of an operation.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Sort {
    /// The first writing of an entry.
    Entry,
    /// A correction, with the rows before and after.
    Correction { former: Rows, later: Rows },
    /// An undo, with what it took back and the rows at that moment.
    Undo {
        undoes: i64,
        former: Rows,
        later: Option<Rows>,
    },
    /// A redo of an undo.
    Redo { undo: i64 },
}

/// The operation with this number; `None` where there never was one.
pub(super) fn operation(
    connection: &Connection,
    number: i64,
) -> rusqlite::Result<Option<Operation>> {
    let sql = "SELECT target, act, undoes, former, later FROM change WHERE entry = ?1";
    let change = first(connection, sql, [number], |row| {
        let act: String = row.get(1)?;
        let undoes: Option<i64> = row.get(2)?;
        let rows = |at| -> rusqlite::Result<Option<Rows>> {
            let text: Option<String> = row.get(at)?;
            text.as_deref().map(Rows::from_json).transpose()
        };
        let gone = || rusqlite::Error::QueryReturnedNoRows;
        let sort = match (act.as_str(), undoes) {
            ("redo", Some(undo)) => Sort::Redo { undo },
            ("undo", Some(undoes)) => Sort::Undo {
                undoes,
                former: rows(3)?.ok_or_else(gone)?,
                later: rows(4)?,
            },
            _ => Sort::Correction {
                former: rows(3)?.ok_or_else(gone)?,
                later: rows(4)?.ok_or_else(gone)?,
            },
        };
        Ok(Operation {
            number,
            target: row.get(0)?,
            sort,
        })
    })?;
    if change.is_some() {
        return Ok(change);
    }
    let known = connection
        .prepare_cached(
            "SELECT EXISTS (SELECT 1 FROM entry WHERE id = ?1) OR EXISTS (SELECT 1 FROM change WHERE target = ?1)",
        )?
        .query_row([number], |row| row.get::<_, bool>(0))?;
    Ok(known.then_some(Operation {
        number,
        target: number,
        sort: Sort::Entry,
    }))
}

/// The undo by which an entry or a correction is taken back at present.
pub(super) fn undo_of(connection: &Connection, number: i64) -> rusqlite::Result<Option<i64>> {
    connection
        .prepare_cached("SELECT max(undo) FROM taken_back WHERE entry = ?1")?
        .query_row([number], |row| row.get(0))
}

/// The number of an entry as it is now: that of the last correction in force, else its first.
pub(super) fn version(connection: &Connection, target: i64) -> rusqlite::Result<i64> {
    connection
        .prepare_cached(
            "SELECT coalesce(max(entry), ?1) FROM change WHERE target = ?1 AND act = 'correction' \
             AND NOT EXISTS (SELECT 1 FROM taken_back WHERE taken_back.entry = change.entry)",
        )?
        .query_row([target], |row| row.get(0))
}

/// The last operation that is in force: an entry or a correction; what was redone counts from its
/// redo.
pub(super) fn last(connection: &Connection) -> rusqlite::Result<Option<i64>> {
    connection
        .prepare_cached(
            // The newest entry, the newest correction in force, and the last redo of both: over
            // years of entries, this is found far sooner than the last of all of them in order.
            "WITH corrected (number) AS ( \
               SELECT entry FROM change WHERE act = 'correction' \
                 AND entry NOT IN (SELECT entry FROM taken_back) \
                 AND EXISTS (SELECT 1 FROM entry WHERE id = target)), \
             written (number) AS (SELECT id FROM entry WHERE kind <> 'change'), \
             put_back (number, at) AS ( \
               SELECT undo.undoes, redo.entry FROM change AS redo \
               JOIN change AS undo ON redo.undoes = undo.entry WHERE redo.act = 'redo') \
             SELECT number FROM ( \
               SELECT * FROM (SELECT number, number AS at FROM written ORDER BY number DESC LIMIT 1) \
               UNION ALL SELECT number, number FROM corrected \
               UNION ALL SELECT number, at FROM put_back \
                 WHERE EXISTS (SELECT 1 FROM entry WHERE id = number AND kind <> 'change') \
                   OR number IN corrected) \
             ORDER BY at DESC LIMIT 1",
        )?
        .query_row([], |row| row.get(0))
        .optional()
}

/// The last undo that was not redone.
pub(super) fn last_undo(connection: &Connection) -> rusqlite::Result<Option<i64>> {
    connection
        .prepare_cached("SELECT max(undo) FROM taken_back")?
        .query_row([], |row| row.get(0))
}
