//! The two tables of a run: where they lie, and whether their columns are those that are known.

use std::fs;
use std::path::{Path, PathBuf};

use data_import::parquet::{ColumnKind, Field};

use super::BulkError;
use super::table_file::{TableFile, is_physical_integer};
use crate::problem::{Problem, nearest};

/// A column that a table may have.
#[derive(Debug, Clone, Copy)]
pub(super) struct InputColumn {
    pub(super) name: &'static str,
    kind: ColumnType,
    required: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum ColumnType {
    Id,
    Whole,
    Number,
    Text,
    Truth,
}

const fn column(name: &'static str, kind: ColumnType, required: bool) -> InputColumn {
    InputColumn {
        name,
        kind,
        required,
    }
}

impl InputColumn {
    /// Its type in the words of SQL, as engines know it.
    pub(super) fn sql_type(self) -> &'static str {
        match self.kind {
            ColumnType::Id => "BIGINT",
            ColumnType::Whole => "INT",
            ColumnType::Number => "DOUBLE",
            ColumnType::Text => "STRING",
            ColumnType::Truth => "BOOLEAN",
        }
    }

    /// Whether a table may be without it.
    pub(super) fn is_optional(self) -> bool {
        !self.required
    }
}

/// The columns of `lines`.
pub(super) const LINES: [InputColumn; 8] = [
    column("recipe_id", ColumnType::Id, true),
    column("line", ColumnType::Whole, false),
    column("food", ColumnType::Text, true),
    column("method", ColumnType::Text, true),
    column("grams", ColumnType::Number, true),
    column("basis", ColumnType::Text, false),
    column("weighed_g", ColumnType::Number, false),
    column("yield", ColumnType::Number, false),
];

/// The columns of `recipes`.
pub(super) const RECIPES: [InputColumn; 11] = [
    column("recipe_id", ColumnType::Id, true),
    column("collected_ml", ColumnType::Number, false),
    column("returned_ml", ColumnType::Number, false),
    column("added_ml", ColumnType::Number, false),
    column("water_food", ColumnType::Text, false),
    column("puree_weighed_g", ColumnType::Number, false),
    column("loss_g", ColumnType::Number, false),
    column("well_ml", ColumnType::Number, true),
    column("fill", ColumnType::Number, true),
    column("cubes_per_serving", ColumnType::Number, true),
    column("reheat", ColumnType::Truth, false),
];

/// The two tables, opened.
#[derive(Debug)]
pub(super) struct Input {
    pub(super) lines: Vec<TableFile>,
    pub(super) recipes: Vec<TableFile>,
    /// Whether the ids are numbers.
    pub(super) numbered: bool,
}

impl Input {
    /// Opens the tables of a folder.
    ///
    /// Errors: a table is not there, does not read, or has other columns than are known.
    pub(super) fn open(folder: &Path) -> Result<Self, BulkError> {
        refuse_no_folder(folder)?;
        let lines = opened(folder, "lines", &LINES)?;
        let recipes = opened(folder, "recipes", &RECIPES)?;
        let ids = lines.iter().chain(&recipes).map(has_numbers);
        let ids = ids.collect::<Result<Vec<_>, _>>()?;
        let numbered = ids.first().copied().unwrap_or(true);
        if ids.iter().any(|one| *one != numbered) {
            let what = "recipe_id is a number in one file and text in another";
            return Err(Problem::new(what)
                .hint("write it as the same type in lines and recipes")
                .into());
        }
        Ok(Self {
            lines,
            recipes,
            numbered,
        })
    }
}

/// Refuses a folder of tables that is not there, or is not a folder.
fn refuse_no_folder(folder: &Path) -> Result<(), Problem> {
    if folder.is_dir() {
        return Ok(());
    }
    let place = folder.display();
    let what = if folder.exists() {
        format!("{place} is a file, where the folder with the tables lines and recipes is due")
    } else {
        format!("there is no folder {place}")
    };
    let hint = "name the folder with the tables lines and recipes; --template FOLDER writes two to begin with";
    Err(Problem::new(what).hint(hint))
}

/// Whether the ids of a file are numbers; those of a CSV file are if each of them reads as one.
fn has_numbers(file: &TableFile) -> Result<bool, BulkError> {
    let rows = file.groups();
    let Some(group) = rows.iter().position(|rows| *rows > 0) else {
        return Ok(file
            .fields()
            .iter()
            .any(|field| field.name == "recipe_id" && field.kind == ColumnKind::Integer));
    };
    let of_csv = matches!(file, TableFile::Csv(_));
    let rows = if of_csv { rows[group] } else { 1 };
    Ok(matches!(
        file.ids(group, 0..rows)?,
        super::id::Ids::Numbers(_)
    ))
}

/// Opens the files of a table, by name.
fn opened(folder: &Path, table: &str, known: &[InputColumn]) -> Result<Vec<TableFile>, BulkError> {
    let files = files_of(folder, table)?;
    let files = files.iter().map(|path| {
        let mut file = TableFile::open(path)?;
        check(&mut file, known)?;
        Ok(file)
    });
    files.collect()
}

/// `TABLE/*.parquet`, else `TABLE.parquet`, else `TABLE.csv`.
fn files_of(folder: &Path, table: &str) -> Result<Vec<PathBuf>, BulkError> {
    let parts = folder.join(table);
    if parts.is_dir() {
        let failed = |source| BulkError::io("read", &parts, source);
        let mut files = Vec::new();
        for entry in fs::read_dir(&parts).map_err(failed)? {
            let path = entry.map_err(failed)?.path();
            let name = path.file_name().and_then(|name| name.to_str());
            // Engines put files of their own beside the parts, whose names begin so.
            let is_part = name
                .is_some_and(|name| name.ends_with(".parquet") && !name.starts_with(['.', '_']));
            if is_part {
                files.push(path);
            }
        }
        files.sort();
        if !files.is_empty() {
            return Ok(files);
        }
    }
    let single = ["parquet", "csv"].map(|ending| folder.join(format!("{table}.{ending}")));
    let found = single.into_iter().find(|path| path.is_file());
    found.map(|path| vec![path]).ok_or_else(|| {
        let what = format!("there is no table of {table} in {}", folder.display());
        let hint = format!(
            "put {table}/*.parquet, {table}.parquet or {table}.csv there; --template FOLDER writes two tables to begin with"
        );
        Problem::new(what).hint(hint).into()
    })
}

fn check(file: &mut TableFile, known: &[InputColumn]) -> Result<(), BulkError> {
    let fields = file.fields();
    let of_csv = matches!(file, TableFile::Csv(_));
    let place = file.path().display().to_string();
    for field in &fields {
        let Some(column) = known.iter().find(|column| column.name == field.name) else {
            let what = format!("{place}: there is no column “{}” in this table", field.name);
            let names: Vec<_> = known.iter().map(|column| column.name).collect();
            let hint = match nearest(&field.name, names.iter().copied()) {
                Some(name) => format!("did you mean “{name}”? known are {}", names.join(", ")),
                None => format!("known are {}", names.join(", ")),
            };
            return Err(Problem::new(what).hint(hint).into());
        };
        if of_csv || fits(column.kind, &field.kind) {
            continue;
        }
        if column.required || !file.leave_out_if_empty(field)? {
            return Err(wrong_type(&place, column, field).into());
        }
    }
    let lacking = known
        .iter()
        .find(|column| column.required && !fields.iter().any(|field| field.name == column.name));
    lacking.map_or(Ok(()), |column| {
        let what = format!("{place}: the column “{}” is lacking", column.name);
        Err(Problem::new(what).hint("add it to the table").into())
    })
}

fn fits(wanted: ColumnType, kind: &ColumnKind) -> bool {
    match wanted {
        ColumnType::Id => matches!(kind, ColumnKind::Integer | ColumnKind::Text),
        ColumnType::Whole => *kind == ColumnKind::Integer,
        ColumnType::Number => matches!(kind, ColumnKind::Real | ColumnKind::Integer),
        ColumnType::Text => *kind == ColumnKind::Text,
        ColumnType::Truth => *kind == ColumnKind::Truth,
    }
}

fn wrong_type(place: &str, column: &InputColumn, field: &Field) -> Problem {
    let is = match &field.kind {
        ColumnKind::Integer => "whole numbers".to_owned(),
        ColumnKind::Real => "numbers".to_owned(),
        ColumnKind::Text => "text".to_owned(),
        ColumnKind::Truth => "booleans".to_owned(),
        ColumnKind::Other(kind) => other_type(kind),
    };
    let due = match column.kind {
        ColumnType::Id => "INT64 or STRING",
        ColumnType::Whole => "INT32 or INT64",
        ColumnType::Number => "DOUBLE, FLOAT, INT32 or INT64",
        ColumnType::Text => "STRING",
        ColumnType::Truth => "BOOLEAN",
    };
    let name = column.name;
    let what = format!("{place}: {name} holds {is}, where {due} is due");
    let is_whole = match &field.kind {
        ColumnKind::Integer => true,
        ColumnKind::Other(kind) => is_physical_integer(kind),
        _ => false,
    };
    let hint = if is_whole && ["food", "water_food"].contains(&name) {
        "a number has lost the zero that ids such as 01123 begin with: write the ids as text"
            .to_owned()
    } else {
        format!(
            "write the column as that type: CAST({name} AS {})",
            column.sql_type()
        )
    };
    Problem::new(what).hint(hint)
}

/// A type that no column of these tables has. The reader of Parquet names the type that is stored,
/// which says little of numbers and bytes that stand for something else.
fn other_type(kind: &str) -> String {
    match kind {
        "Int32" | "Int64" => format!(
            "whole numbers of another type (unsigned, DECIMAL, a date or a time, stored as {})",
            kind.to_uppercase()
        ),
        "ByteArray" => "bytes that are not marked as text".to_owned(),
        kind => kind.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refusal(name: &str, kind: ColumnKind) -> String {
        let all = LINES.iter().chain(&RECIPES);
        let mut named = all.filter(|column| column.name == name);
        let field = Field {
            name: name.to_owned(),
            kind,
        };
        wrong_type("x", named.next().unwrap(), &field).to_string()
    }

    #[test]
    fn a_wrong_type_is_named_with_the_cast_that_mends_it() {
        let stored = |kind: &str| ColumnKind::Other(kind.to_owned());
        assert_eq!(
            refusal("recipe_id", stored("Int64")),
            "x: recipe_id holds whole numbers of another type (unsigned, DECIMAL, a date or a time, stored as INT64), where INT64 or STRING \
             is due (write the column as that type: CAST(recipe_id AS BIGINT))"
        );
        assert!(refusal("grams", stored("Int64")).ends_with("CAST(grams AS DOUBLE))"));
        assert!(refusal("method", ColumnKind::Integer).ends_with("CAST(method AS STRING))"));
        assert!(refusal("food", stored("Int64")).ends_with("write the ids as text)"));
        let bytes = refusal("food", stored("ByteArray"));
        assert!(
            bytes.contains("bytes that are not marked as text"),
            "{bytes}"
        );
    }
}
