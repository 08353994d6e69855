//! The rows of one entry in every table, as a value: to be compared, kept in a change, and
//! restored.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::types::{Value as Cell, ValueRef};
use rusqlite::{Connection, Transaction, params_from_iter};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Number, Value};

/// A row by column.
pub(super) type RecordRow = Map<String, Value>;

/// The rows of an entry by table. A number is restored to the last digit.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub(super) struct Rows(BTreeMap<String, Vec<RecordRow>>);

/// A column that only one of the two has does not count, since a version that was kept before the
/// column existed says nothing of it.
impl PartialEq for Rows {
    fn eq(&self, other: &Self) -> bool {
        let mut tables = self.0.keys().chain(other.0.keys());
        tables.all(|table| alike(self.of(table), other.of(table)))
    }
}

/// Whether rows are the same in the columns that both have.
fn alike(rows: &[RecordRow], others: &[RecordRow]) -> bool {
    let same = |(row, other): (&RecordRow, &RecordRow)| {
        let mut cells = row.iter();
        cells.all(|(column, cell)| other.get(column).is_none_or(|same| same == cell))
    };
    rows.len() == others.len() && rows.iter().zip(others).all(same)
}

/// The tables in which an entry of a kind has rows beside that in `entry`, each with the column of
/// its number; a table refers only to earlier ones.
fn tables(kind: &str) -> Vec<(&str, &str)> {
    match kind {
        "batch" => vec![
            ("batch", "entry"),
            ("batch_food", "batch"),
            ("batch_nutrient", "batch"),
            ("batch_doubt", "batch"),
        ],
        "feeding" => vec![
            ("feeding", "entry"),
            ("feeding_part", "feeding"),
            ("feeding_food", "feeding"),
        ],
        "milk" => vec![("milk", "entry"), ("milk_part", "milk")],
        "plan" => vec![("planned", "entry"), ("planned_part", "entry")],
        // Every other kind has one table, of its own name.
        own => vec![(own, "entry")],
    }
}

impl Rows {
    /// The rows of an entry; `None` where there is no entry of this number.
    pub(super) fn read(connection: &Connection, id: i64) -> rusqlite::Result<Option<Self>> {
        let head = selected(connection, "entry", "id", id)?;
        let Some(kind) = head.first().and_then(|row| row.get("kind")) else {
            return Ok(None);
        };
        let kind = kind.as_str().unwrap_or_default().to_string();
        let mut rows = BTreeMap::from([("entry".to_string(), head)]);
        for (table, key) in tables(&kind) {
            rows.insert(table.to_string(), selected(connection, table, key, id)?);
        }
        Ok(Some(Self(rows)))
    }

    /// Writes the rows in place of those that the entry has now. What refers to them is checked
    /// when the transaction ends.
    pub(super) fn replace(
        transaction: &Transaction<'_>,
        id: i64,
        rows: Option<&Self>,
    ) -> rusqlite::Result<()> {
        transaction.pragma_update(None, "defer_foreign_keys", true)?;
        transaction.execute("DELETE FROM entry WHERE id = ?1", [id])?;
        let Some(rows) = rows else {
            return Ok(());
        };
        let tables = tables(rows.kind());
        for table in std::iter::once("entry").chain(tables.into_iter().map(|(table, _)| table)) {
            for row in rows.of(table) {
                insert(transaction, table, row)?;
            }
        }
        Ok(())
    }

    /// The rows of a table.
    pub(super) fn of(&self, table: &str) -> &[RecordRow] {
        self.0.get(table).map_or(&[], Vec::as_slice)
    }

    /// The text in a column of the first row of a table; empty where there is none.
    pub(super) fn text(&self, table: &str, column: &str) -> &str {
        let row = self.of(table).first();
        row.and_then(|row| row.get(column))
            .and_then(Value::as_str)
            .unwrap_or("")
    }

    /// A number in a column of the first row of a table.
    pub(super) fn number(&self, table: &str, column: &str) -> Option<f64> {
        self.of(table).first()?.get(column)?.as_f64()
    }

    /// The kind of the entry.
    pub(super) fn kind(&self) -> &str {
        self.text("entry", "kind")
    }

    /// The cells that differ, by table and column; rows of a table that has several count as one
    /// cell.
    pub(super) fn differences(&self, other: &Self) -> BTreeSet<(String, String)> {
        let mut different = BTreeSet::new();
        let tables: BTreeSet<&String> = self.0.keys().chain(other.0.keys()).collect();
        for table in tables {
            match (self.of(table), other.of(table)) {
                (one, same) if alike(one, same) => {}
                ([one], [same]) => {
                    let columns = one.iter().filter(|(column, cell)| {
                        same.get(*column).is_some_and(|same| same != *cell)
                    });
                    different.extend(columns.map(|(column, _)| (table.clone(), column.clone())));
                }
                _ => {
                    different.insert((table.clone(), String::new()));
                }
            }
        }
        different
    }

    /// The value as it is kept in a change.
    pub(super) fn to_json(&self) -> rusqlite::Result<String> {
        serde_json::to_string(self).map_err(unwritten)
    }

    /// Reads a value that was kept in a change.
    pub(super) fn from_json(text: &str) -> rusqlite::Result<Self> {
        serde_json::from_str(text).map_err(unwritten)
    }

    /// Replaces a former name in a column.
    pub(super) fn rename(&mut self, table: &str, column: &str, (from, to): (&str, &str)) {
        for row in self.0.get_mut(table).into_iter().flatten() {
            if let Some(Value::String(name)) = row.get_mut(column)
                && name == from
            {
                *name = to.to_string();
            }
        }
    }
}

fn selected(
    connection: &Connection,
    table: &str,
    key: &str,
    id: i64,
) -> rusqlite::Result<Vec<RecordRow>> {
    let mut select =
        connection.prepare_cached(&format!("SELECT * FROM \"{table}\" WHERE \"{key}\" = ?1"))?;
    let columns: Vec<String> = select.column_names().map(String::from).collect();
    let mut rows = select.query([id])?;
    let mut all = Vec::new();
    while let Some(row) = rows.next()? {
        let mut cells = RecordRow::new();
        for (at, column) in columns.iter().enumerate() {
            cells.insert(column.clone(), json(row.get_ref(at)?)?);
        }
        all.push(cells);
    }
    Ok(all)
}

fn insert(transaction: &Transaction<'_>, table: &str, row: &RecordRow) -> rusqlite::Result<()> {
    let columns: Vec<&str> = row.keys().map(String::as_str).collect();
    let places = vec!["?"; columns.len()].join(", ");
    let columns = columns.join("\", \"");
    let sql = format!("INSERT INTO \"{table}\" (\"{columns}\") VALUES ({places})");
    let cells = row.values().map(cell).collect::<Result<Vec<_>, _>>()?;
    transaction
        .prepare_cached(&sql)?
        .execute(params_from_iter(cells))?;
    Ok(())
}

fn json(cell: ValueRef<'_>) -> rusqlite::Result<Value> {
    Ok(match cell {
        ValueRef::Null => Value::Null,
        ValueRef::Integer(number) => Value::from(number),
        ValueRef::Real(number) => Number::from_f64(number).map_or(Value::Null, Value::Number),
        ValueRef::Text(_) => Value::from(cell.as_str()?),
        ValueRef::Blob(_) => return Err(rusqlite::Error::InvalidQuery),
    })
}

fn cell(value: &Value) -> rusqlite::Result<Cell> {
    Ok(match value {
        Value::Null => Cell::Null,
        Value::String(text) => Cell::Text(text.clone()),
        Value::Number(number) => match number.as_i64() {
            Some(whole) => Cell::Integer(whole),
            None => number.as_f64().map_or(Cell::Null, Cell::Real),
        },
        _ => return Err(rusqlite::Error::InvalidQuery),
    })
}

fn unwritten(error: serde_json::Error) -> rusqlite::Error {
    rusqlite::Error::ToSqlConversionFailure(Box::new(error))
}
