//! Export of the record as plain CSV files, one for each table, and import.

use std::path::{Path, PathBuf};

use jiff::civil::Date;
use rusqlite::types::{Value, ValueRef};
use rusqlite::{Transaction, params_from_iter};

use super::book::write_whole;
use super::error::BookError;
use super::schema::{FIRST_TABLES, TABLES};
use super::sql::rows;
use super::store::{Store, WriteError, faults};
use crate::cooking::Method;
use crate::cost::Money;

impl Store {
    /// Writes every table as `TABLE.csv` into `folder`, and returns the files. A cell is empty
    /// where there is no value.
    pub fn export(&self, folder: &Path) -> Result<Vec<PathBuf>, BookError> {
        std::fs::create_dir_all(folder).map_err(BookError::io("make", folder))?;
        let texts = self.read(|connection| {
            // One transaction, so that all files are of one moment.
            let moment = connection.unchecked_transaction()?;
            TABLES
                .iter()
                .map(|table| table_text(&moment, table))
                .collect::<Result<Vec<_>, _>>()
        })?;
        let mut files = Vec::new();
        for (table, text) in TABLES.iter().zip(texts) {
            let path = folder.join(format!("{table}.csv"));
            write_whole(&path, &text)?;
            files.push(path);
        }
        Ok(files)
    }

    /// Reads the files of an export into a record that has no entries yet; returns the number of
    /// entries. Nothing is written where anything is wrong.
    pub fn import(&mut self, folder: &Path) -> Result<u64, BookError> {
        self.import_after(folder, || Ok(()))
    }

    /// Reads a copy of a record, as [`Store::backup`] makes one, into a record that has no entries
    /// yet; returns the number of entries. The copy stays as it is: one of an earlier layout is
    /// migrated elsewhere.
    pub fn restore(&mut self, copy: &Path) -> Result<u64, BookError> {
        let beside = tempfile::tempdir();
        let beside = beside.map_err(BookError::io("write to", &std::env::temp_dir()))?;
        let record = beside.path().join("record.sqlite");
        std::fs::copy(copy, &record).map_err(BookError::io("read", copy))?;
        let tables = beside.path().join("tables");
        Self::open(&record)?.export(&tables)?;
        self.import(&tables)
    }

    /// Imports as [`Store::import`] does; `before` is called once everything is read, and before it
    /// is committed.
    pub(super) fn import_after(
        &mut self,
        folder: &Path,
        before: impl FnOnce() -> Result<(), BookError>,
    ) -> Result<u64, BookError> {
        let path = self.path().to_path_buf();
        self.write(|transaction| {
            let entries = |transaction: &Transaction<'_>| -> rusqlite::Result<i64> {
                transaction.query_row("SELECT count(*) FROM entry", [], |row| row.get(0))
            };
            if entries(transaction)? > 0 {
                return Err(BookError::NotEmpty(path).into());
            }
            for table in TABLES {
                fill(transaction, table, &folder.join(format!("{table}.csv")))?;
            }
            let faults = faults(transaction)?;
            if !faults.is_empty() {
                let folder = folder.to_path_buf();
                let what = faults.join("; ");
                return Err(BookError::Unfit { folder, what }.into());
            }
            before()?;
            Ok(entries(transaction)?.unsigned_abs())
        })
    }
}

/// A table as CSV, in the order of its keys.
fn table_text(transaction: &Transaction<'_>, table: &str) -> rusqlite::Result<String> {
    let columns: Vec<String> = columns_of(transaction, table)?
        .into_iter()
        .map(|column| column.name)
        .collect();
    let keys: Vec<_> = (1..=columns.len().min(5))
        .map(|at| at.to_string())
        .collect();
    let sql = format!("SELECT * FROM \"{table}\" ORDER BY {}", keys.join(", "));
    let mut select = transaction.prepare(&sql)?;
    let mut csv = csv::Writer::from_writer(Vec::new());
    let unwritten = |error: csv::Error| rusqlite::Error::ToSqlConversionFailure(Box::new(error));
    csv.write_record(&columns).map_err(unwritten)?;
    let mut rows = select.query([])?;
    while let Some(row) = rows.next()? {
        let cells: Result<Vec<String>, _> = (0..columns.len())
            .map(|at| row.get_ref(at).map(cell))
            .collect();
        csv.write_record(cells?).map_err(unwritten)?;
    }
    let bytes = csv
        .into_inner()
        .map_err(|error| rusqlite::Error::ToSqlConversionFailure(Box::new(error.into_error())))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// A value as a cell; reading the cell gives the same value.
fn cell(value: ValueRef<'_>) -> String {
    match value {
        ValueRef::Null => String::new(),
        ValueRef::Integer(number) => number.to_string(),
        // The shortest digits that read back as the same number.
        ValueRef::Real(number) => number.to_string(),
        ValueRef::Text(text) | ValueRef::Blob(text) => String::from_utf8_lossy(text).into_owned(),
    }
}

/// Fills an empty table from its file. An export of an earlier layout lacks the newest tables, and
/// columns at the end of a table.
fn fill(transaction: &Transaction<'_>, table: &str, path: &Path) -> Result<(), WriteError> {
    let wrong = |line: u64, what: String| BookError::Table {
        file: path.to_path_buf(),
        line,
        what,
    };
    if !path.exists() && !FIRST_TABLES.contains(&table) {
        return Ok(());
    }
    let mut columns = columns_of(transaction, table)?;
    let mut csv = csv::Reader::from_path(path).map_err(|error| wrong(1, error.to_string()))?;
    let header = csv.headers().map_err(|error| wrong(1, error.to_string()))?;
    let later = columns.split_off(header.len().min(columns.len()));
    let names: Vec<&str> = columns.iter().map(|column| column.name.as_str()).collect();
    if header != names || !later.iter().all(|column| column.optional) {
        let all = columns.iter().chain(&later);
        let all: Vec<_> = all.map(|column| column.name.as_str()).collect();
        return Err(wrong(1, format!("the columns are not {}", all.join(","))).into());
    }
    let places = vec!["?"; names.len()].join(", ");
    let names = names.join("\", \"");
    let mut insert = transaction.prepare(&format!(
        "INSERT INTO \"{table}\" (\"{names}\") VALUES ({places})"
    ))?;
    for row in csv.records() {
        let row = row.map_err(|error| {
            wrong(
                error.position().map_or(0, csv::Position::line),
                error.to_string(),
            )
        })?;
        let line = row.position().map_or(0, csv::Position::line);
        let values: Result<Vec<Value>, String> = columns
            .iter()
            .zip(&row)
            .map(|(column, cell)| column.value(cell))
            .collect();
        let values = values.map_err(|what| wrong(line, what))?;
        insert
            .execute(params_from_iter(values))
            .map_err(|error| wrong(line, error.to_string()))?;
    }
    Ok(())
}

struct TableColumn {
    name: String,
    kind: String,
    nullable: bool,
    /// Whether a row may leave the column empty.
    optional: bool,
}

impl TableColumn {
    fn value(&self, cell: &str) -> Result<Value, String> {
        let not = |kind: &str| format!("“{cell}” in column {} is not {kind}", self.name);
        match self.kind.as_str() {
            _ if cell.is_empty() && self.nullable => Ok(Value::Null),
            "INTEGER" => cell
                .parse()
                .map(Value::Integer)
                .map_err(|_| not("a whole number")),
            "REAL" => match cell.parse::<f64>() {
                Ok(number) if number.is_finite() => Ok(Value::Real(number)),
                _ => Err(not("a number")),
            },
            _ => match self.name.as_str() {
                "day" | "use_by" if cell.parse::<Date>().is_err() => Err(not("a day")),
                "method" if cell.parse::<Method>().is_err() => Err(not("a way to cook")),
                "price" | "cost" if cell.parse::<Money>().is_err() => Err(not("a price")),
                _ => Ok(Value::Text(cell.to_string())),
            },
        }
    }
}

fn columns_of(transaction: &Transaction<'_>, table: &str) -> rusqlite::Result<Vec<TableColumn>> {
    let sql = "SELECT name, type, \"notnull\" = 0 AND pk = 0, \"notnull\" = 0 OR dflt_value IS NOT NULL \
               FROM pragma_table_info(?1)";
    rows(transaction, sql, [table], |row| {
        Ok(TableColumn {
            name: row.get(0)?,
            kind: row.get(1)?,
            nullable: row.get(2)?,
            optional: row.get(3)?,
        })
    })
}
