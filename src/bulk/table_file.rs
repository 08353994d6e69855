//! A file with a table in it: Parquet of any size, or CSV for a first try.

use std::ops::Range;
use std::path::{Path, PathBuf};

use data_import::hex;
use data_import::parquet::{Bound, Coded, ColumnKind, Field, ParquetReader, Values};
use sha2::{Digest, Sha256};

use super::BulkError;
use super::id::{Ids, RecipeId, without_id};
use crate::problem::Problem;

/// A file with a table in it.
#[derive(Debug)]
pub(super) enum TableFile {
    Parquet(Box<ParquetTable>),
    Csv(CsvTable),
}

/// A Parquet file.
#[derive(Debug)]
pub(super) struct ParquetTable {
    reader: ParquetReader,
    /// Columns that are taken as not there, since no row has a value in them.
    empty: Vec<String>,
}

/// A CSV file, read as a whole.
#[derive(Debug)]
pub(super) struct CsvTable {
    path: PathBuf,
    bytes: u64,
    sha256: String,
    header: Vec<String>,
    columns: Vec<Coded>,
}

/// The most rows of a CSV file, which is meant for a first try.
const MOST_CSV_ROWS: usize = 1_000_000;

impl TableFile {
    /// Opens a file by the ending of its name.
    pub(super) fn open(path: &Path) -> Result<Self, BulkError> {
        if path.extension().is_some_and(|ending| ending == "csv") {
            return CsvTable::read(path).map(Self::Csv);
        }
        Ok(Self::Parquet(Box::new(ParquetTable {
            reader: ParquetReader::open(path)?,
            empty: Vec::new(),
        })))
    }

    /// Takes a column of numbers as not there if no row has a value in it: writers give a column
    /// without a value any type. Returns whether it was so.
    pub(super) fn leave_out_if_empty(&mut self, field: &Field) -> Result<bool, BulkError> {
        let Self::Parquet(file) = self else {
            return Ok(false);
        };
        let name = field.name.as_str();
        let is_whole = match &field.kind {
            ColumnKind::Integer => true,
            ColumnKind::Other(kind) => is_physical_integer(kind),
            ColumnKind::Real => false,
            ColumnKind::Text | ColumnKind::Truth => return Ok(false),
        };
        for (group, rows) in file.reader.groups().into_iter().enumerate() {
            let any = if is_whole {
                any_given(&file.reader.integers(group, name, 0..rows)?)
            } else {
                any_given(&file.reader.reals(group, name, 0..rows)?)
            };
            if any {
                return Ok(false);
            }
        }
        file.empty.push(name.to_owned());
        Ok(true)
    }

    pub(super) fn path(&self) -> &Path {
        match self {
            Self::Parquet(file) => file.reader.path(),
            Self::Csv(file) => &file.path,
        }
    }

    /// Its columns; those of a CSV file are text until they are read as something else.
    pub(super) fn fields(&self) -> Vec<Field> {
        match self {
            Self::Parquet(file) => {
                let mut fields = file.reader.fields();
                fields.retain(|field| !file.empty.contains(&field.name));
                fields
            }
            Self::Csv(file) => {
                let text = |name: &String| Field {
                    name: name.clone(),
                    kind: ColumnKind::Text,
                };
                file.header.iter().map(text).collect()
            }
        }
    }

    pub(super) fn has(&self, column: &str) -> bool {
        self.fields().iter().any(|field| field.name == column)
    }

    /// How many rows each row group has.
    pub(super) fn groups(&self) -> Vec<usize> {
        match self {
            Self::Parquet(file) => file.reader.groups(),
            Self::Csv(file) => vec![file.columns.first().map_or(0, |column| column.codes.len())],
        }
    }

    /// Its length, and the SHA-256 of its footer, or of a whole CSV file: they differ for another
    /// file.
    pub(super) fn fingerprint(&self) -> (u64, String) {
        match self {
            Self::Parquet(file) => (file.reader.bytes(), file.reader.footer_sha256()),
            Self::Csv(file) => (file.bytes, file.sha256.clone()),
        }
    }

    /// The first and the last id of a row group that has rows.
    pub(super) fn bounds(
        &self,
        group: usize,
        rows: usize,
    ) -> Result<(RecipeId, RecipeId), BulkError> {
        // Text may be cut off in a footer, so it is read.
        if let Self::Parquet(file) = self
            && let Some((Bound::Integer(first), Bound::Integer(last))) =
                file.reader.bounds(group, "recipe_id")
        {
            return Ok((RecipeId::Number(first), RecipeId::Number(last)));
        }
        let id = |row: usize| {
            let ids = self.ids(group, row..row + 1)?;
            ids.get(0)
                .ok_or_else(|| without_id(self.path(), self.rows_before(group) + row))
        };
        Ok((id(0)?, id(rows - 1)?))
    }

    /// How many rows lie before a row group.
    fn rows_before(&self, group: usize) -> usize {
        self.groups().iter().take(group).sum()
    }

    /// The ids of some rows of a row group; each has one.
    pub(super) fn ids(&self, group: usize, rows: Range<usize>) -> Result<Ids, BulkError> {
        let is_number = self
            .fields()
            .iter()
            .any(|field| field.name == "recipe_id" && field.kind == ColumnKind::Integer);
        let before = self.rows_before(group) + rows.start;
        if is_number {
            let ids = self.integers(group, "recipe_id", rows)?;
            return Ids::numbers(ids, self.path(), before);
        }
        let ids = self.text(group, "recipe_id", rows)?;
        let whole = matches!(self, Self::Csv(_))
            .then(|| whole_numbers(&ids))
            .flatten();
        match whole {
            Some(numbers) => Ok(Ids::Numbers(numbers)),
            None => Ids::text(ids, self.path(), before),
        }
    }

    pub(super) fn integers(
        &self,
        group: usize,
        column: &str,
        rows: Range<usize>,
    ) -> Result<Values<i64>, BulkError> {
        match self {
            Self::Parquet(file) => Ok(file.reader.integers(group, column, rows)?),
            Self::Csv(file) => file.parsed(column, rows, 0, "a whole number"),
        }
    }

    pub(super) fn reals(
        &self,
        group: usize,
        column: &str,
        rows: Range<usize>,
    ) -> Result<Values<f64>, BulkError> {
        match self {
            Self::Parquet(file) => Ok(file.reader.reals(group, column, rows)?),
            Self::Csv(file) => file.parsed(column, rows, 0.0, "a number"),
        }
    }

    pub(super) fn truths(
        &self,
        group: usize,
        column: &str,
        rows: Range<usize>,
    ) -> Result<Values<bool>, BulkError> {
        match self {
            Self::Parquet(file) => Ok(file.reader.truths(group, column, rows)?),
            Self::Csv(file) => file.parsed(column, rows, false, "true or false"),
        }
    }

    pub(super) fn text(
        &self,
        group: usize,
        column: &str,
        rows: Range<usize>,
    ) -> Result<Coded, BulkError> {
        match self {
            Self::Parquet(file) => Ok(file.reader.text(group, column, rows)?),
            Self::Csv(file) => {
                let whole = file.column(column)?;
                Ok(Coded {
                    words: whole.words.clone(),
                    codes: whole.codes.get(rows).unwrap_or_default().to_vec(),
                })
            }
        }
    }
}

impl CsvTable {
    fn read(path: &Path) -> Result<Self, BulkError> {
        let failed = |source| BulkError::io("read", path, source);
        let bytes = std::fs::read(path).map_err(failed)?;
        let wrong = |error: csv::Error| {
            let what = format!("{}: {error}", path.display());
            Problem::new(what).hint("write one line for each row, as many cells as the header has")
        };
        let mut reader = csv::Reader::from_reader(bytes.as_slice());
        let header = reader.headers().map_err(wrong)?;
        let header: Vec<String> = header.iter().map(String::from).collect();
        if let [all] = header.as_slice()
            && let Some((letter, name)) = separator(all)
        {
            let what = format!(
                "{}: its cells are separated by {name} (“{letter}”), where commas are due",
                path.display()
            );
            let hint = "write commas between the cells, and a point before decimals";
            return Err(Problem::new(what).hint(hint).into());
        }
        let rows = reader.records().collect::<Result<Vec<_>, _>>();
        let rows = rows.map_err(wrong)?;
        if rows.len() > MOST_CSV_ROWS {
            let what = format!(
                "{}: {} rows are too many for CSV",
                path.display(),
                rows.len()
            );
            let hint = "write so large a table as Parquet; CSV is for a first try";
            return Err(Problem::new(what).hint(hint).into());
        }
        let column = |at: usize| {
            let cells = rows.iter().map(|row| row.get(at));
            Coded::of(cells.map(|cell| cell.filter(|cell| !cell.is_empty())))
        };
        Ok(Self {
            path: path.to_owned(),
            bytes: bytes.len() as u64,
            sha256: hex(&Sha256::digest(&bytes)),
            columns: (0..header.len()).map(column).collect(),
            header,
        })
    }

    fn column(&self, name: &str) -> Result<&Coded, BulkError> {
        let at = self.header.iter().position(|column| column == name);
        let found = at.and_then(|at| self.columns.get(at));
        found.ok_or_else(|| {
            Problem::new(format!(
                "{}: it has no column “{name}”",
                self.path.display()
            ))
            .into()
        })
    }

    /// The cells of a column read as what they ought to be; an empty one has no value.
    fn parsed<T: std::str::FromStr + Copy>(
        &self,
        name: &str,
        rows: Range<usize>,
        any: T,
        wanted: &str,
    ) -> Result<Values<T>, BulkError> {
        let column = self.column(name)?;
        let cell = |row: usize| {
            let Some(cell) = column.get(row) else {
                return Ok(None);
            };
            cell.trim().parse().map(Some).map_err(|_| {
                let line = row + 2;
                let place = self.path.display();
                let what = format!("{place}:{line}: “{cell}” in {name} is not {wanted}");
                let with_point = cell.trim().replace(',', ".");
                Problem::new(what).hint(match with_point.parse::<T>() {
                    Ok(_) => format!("write a point before decimals: {with_point}"),
                    Err(_) => "leave the cell empty where nothing is known".to_owned(),
                })
            })
        };
        let cells = rows.map(cell).collect::<Result<Vec<_>, Problem>>()?;
        Ok(Values::of(&cells, any))
    }
}

/// What stands between the cells of a header that has no comma, as some programs write it.
fn separator(header: &str) -> Option<(char, &'static str)> {
    let known = [(';', "semicolons"), ('\t', "tabs"), ('|', "bars")];
    known
        .into_iter()
        .find(|(letter, _)| header.contains(*letter))
}

/// Whether numbers are stored as whole ones, whatever they stand for.
pub(super) fn is_physical_integer(kind: &str) -> bool {
    ["Int32", "Int64"].contains(&kind)
}

fn any_given<T: Copy>(rows: &Values<T>) -> bool {
    (0..rows.values.len()).any(|row| rows.is_given(row))
}

/// Numbers, where every row is one.
fn whole_numbers(ids: &Coded) -> Option<Vec<i64>> {
    let numbers = ids.words.iter().map(|word| word.parse::<i64>().ok());
    let numbers = numbers.collect::<Option<Vec<_>>>()?;
    let rows = ids.codes.iter().map(|code| numbers.get(*code as usize));
    rows.map(Option::<&i64>::copied).collect()
}
