//! A file with a table in it: Parquet of any size, or CSV for a first try.

use std::ops::Range;
use std::path::{Path, PathBuf};

use data_import::parquet::{Bound, Coded, ColumnKind, Field, ParquetReader, Values};
use sha2::{Digest, Sha256};

use super::BulkError;
use super::id::{Ids, RecipeId, without_id};
use crate::problem::Problem;

/// A file with a table in it.
#[derive(Debug)]
pub(super) enum TableFile {
    Parquet(Box<ParquetReader>),
    Csv(CsvTable),
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

/// More rows than this are no first try.
const MOST_CSV_ROWS: usize = 1_000_000;

impl TableFile {
    /// Opens a file by the ending of its name.
    pub(super) fn open(path: &Path) -> Result<Self, BulkError> {
        if path.extension().is_some_and(|ending| ending == "csv") {
            return CsvTable::read(path).map(Self::Csv);
        }
        Ok(Self::Parquet(Box::new(ParquetReader::open(path)?)))
    }

    pub(super) fn path(&self) -> &Path {
        match self {
            Self::Parquet(file) => file.path(),
            Self::Csv(file) => &file.path,
        }
    }

    /// Its columns; those of a CSV file are text until they are read as something else.
    pub(super) fn fields(&self) -> Vec<Field> {
        match self {
            Self::Parquet(file) => file.fields(),
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
            Self::Parquet(file) => file.groups(),
            Self::Csv(file) => vec![file.columns.first().map_or(0, |column| column.codes.len())],
        }
    }

    /// Its length, and what tells whether it is another: the SHA-256 of its footer, or of a whole CSV file.
    pub(super) fn fingerprint(&self) -> (u64, String) {
        match self {
            Self::Parquet(file) => (file.bytes(), file.footer_sha256()),
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
                file.bounds(group, "recipe_id")
        {
            return Ok((RecipeId::Number(first), RecipeId::Number(last)));
        }
        let id = |row: usize| {
            let ids = self.ids(group, row..row + 1)?;
            ids.get(0).ok_or_else(|| without_id(self.path()))
        };
        Ok((id(0)?, id(rows - 1)?))
    }

    /// The ids of some rows of a row group; each has one.
    pub(super) fn ids(&self, group: usize, rows: Range<usize>) -> Result<Ids, BulkError> {
        let is_number = self
            .fields()
            .iter()
            .any(|field| field.name == "recipe_id" && field.kind == ColumnKind::Integer);
        if !is_number {
            let ids = self.text(group, "recipe_id", rows)?;
            let whole = matches!(self, Self::Csv(_))
                .then(|| whole_numbers(&ids))
                .flatten();
            return Ok(whole.map_or(Ids::Text(ids), Ids::Numbers));
        }
        let ids = self.integers(group, "recipe_id", rows)?;
        if ids.all_given() {
            Ok(Ids::Numbers(ids.values))
        } else {
            Err(without_id(self.path()))
        }
    }

    pub(super) fn integers(
        &self,
        group: usize,
        column: &str,
        rows: Range<usize>,
    ) -> Result<Values<i64>, BulkError> {
        match self {
            Self::Parquet(file) => Ok(file.integers(group, column, rows)?),
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
            Self::Parquet(file) => Ok(file.reals(group, column, rows)?),
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
            Self::Parquet(file) => Ok(file.truths(group, column, rows)?),
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
            Self::Parquet(file) => Ok(file.text(group, column, rows)?),
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
                Problem::new(what).hint("leave the cell empty where nothing is known")
            })
        };
        let cells = rows.map(cell).collect::<Result<Vec<_>, Problem>>()?;
        Ok(Values::of(&cells, any))
    }
}

/// Numbers, where every row is one.
fn whole_numbers(ids: &Coded) -> Option<Vec<i64>> {
    let numbers = ids.words.iter().map(|word| word.parse::<i64>().ok());
    let numbers = numbers.collect::<Option<Vec<_>>>()?;
    let rows = ids.codes.iter().map(|code| numbers.get(*code as usize));
    rows.map(Option::<&i64>::copied).collect()
}

/// Bytes in hexadecimal digits.
pub(super) fn hex(bytes: &[u8]) -> String {
    use std::fmt::Write as _;
    bytes.iter().fold(String::new(), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}
