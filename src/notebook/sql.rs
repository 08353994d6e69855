//! The record row by row: rows that are selected, columns that were written as text, and an entry
//! with the row of its kind.

use jiff::civil::Date;
use rusqlite::types::{ToSql, Type};
use rusqlite::{Connection, Params, Row, Transaction, params_from_iter};

use super::error::BookError;
use super::store::{Store, WriteError, new_entry};

/// The values that `read` makes of the selected rows.
pub(super) fn rows<T, C: FromIterator<T>>(
    connection: &Connection,
    sql: &str,
    parameters: impl Params,
    read: impl FnMut(&Row<'_>) -> rusqlite::Result<T>,
) -> rusqlite::Result<C> {
    let mut select = connection.prepare_cached(sql)?;
    select.query_map(parameters, read)?.collect()
}

/// The value that `read` makes of the first selected row; `None` where there is no row.
pub(super) fn first<T>(
    connection: &Connection,
    sql: &str,
    parameters: impl Params,
    read: impl FnMut(&Row<'_>) -> rusqlite::Result<T>,
) -> rusqlite::Result<Option<T>> {
    let mut select = connection.prepare_cached(sql)?;
    select.query_map(parameters, read)?.next().transpose()
}

/// Writes an entry, and its row in the table that is named as its kind, by columns; returns its
/// number.
pub(super) fn write_entry(
    transaction: &Transaction<'_>,
    day: Date,
    kind: &str,
    columns: &[(&str, &dyn ToSql)],
) -> rusqlite::Result<i64> {
    let id = new_entry(transaction, day, kind)?;
    let names = columns.iter().map(|(name, _)| *name);
    let names: Vec<&str> = std::iter::once("entry").chain(names).collect();
    let places = vec!["?"; names.len()].join(", ");
    let values = columns.iter().map(|(_, value)| *value);
    transaction.execute(
        &format!(
            "INSERT INTO {kind} ({}) VALUES ({places})",
            names.join(", ")
        ),
        params_from_iter(std::iter::once(&id as &dyn ToSql).chain(values)),
    )?;
    Ok(id)
}

impl Store {
    /// [`rows`] of the record.
    pub(super) fn rows<T, C: FromIterator<T>>(
        &self,
        sql: &str,
        parameters: impl Params,
        read: impl FnMut(&Row<'_>) -> rusqlite::Result<T>,
    ) -> Result<C, BookError> {
        self.read(|connection| rows(connection, sql, parameters, read))
    }

    /// [`first`] of the record.
    pub(super) fn first<T>(
        &self,
        sql: &str,
        parameters: impl Params,
        read: impl FnMut(&Row<'_>) -> rusqlite::Result<T>,
    ) -> Result<Option<T>, BookError> {
        self.read(|connection| first(connection, sql, parameters, read))
    }

    /// Writes something of each of some, or nothing of any.
    pub(super) fn write_each<N, T>(
        &mut self,
        each: &[N],
        write: impl Fn(&Transaction<'_>, &N) -> Result<T, WriteError>,
    ) -> Result<Vec<T>, BookError> {
        self.write(|transaction| each.iter().map(|one| write(transaction, one)).collect())
    }

    /// [`write_entry`] as all that is written at once.
    pub(super) fn write_entry(
        &mut self,
        day: Date,
        kind: &str,
        columns: &[(&str, &dyn ToSql)],
    ) -> Result<i64, BookError> {
        self.write(|transaction| Ok(write_entry(transaction, day, kind, columns)?))
    }
}

/// A column that was written as text, or left empty.
pub(super) fn optional<T>(row: &Row<'_>, column: usize) -> rusqlite::Result<Option<T>>
where
    T: std::str::FromStr,
    T::Err: std::error::Error + Send + Sync + 'static,
{
    let text: Option<String> = row.get(column)?;
    text.map(|_| parsed(row, column)).transpose()
}

/// A column that was written as text: a day or an amount of money.
pub(super) fn parsed<T>(row: &Row<'_>, column: usize) -> rusqlite::Result<T>
where
    T: std::str::FromStr,
    T::Err: std::error::Error + Send + Sync + 'static,
{
    let text: String = row.get(column)?;
    text.parse().map_err(|error| {
        rusqlite::Error::FromSqlConversionFailure(column, Type::Text, Box::new(error))
    })
}
