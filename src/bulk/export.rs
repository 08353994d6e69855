//! What another engine needs to do the same calculation: the table of prepared foods, and the statements.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use data_import::parquet::{Cells, Codec, Layout, NOT_GIVEN, ParquetWriter, WrittenColumn};
use data_import::{Nutrient, NutrientId, SourceInfo, hex, nutrients};
use serde::Serialize;
use sha2::{Digest, Sha256};

use super::food::{LANES, PreparedFood, Rising};
use super::food_preparer::{FoodPreparer, method_of};
use super::input::{Input, InputColumn, LINES, RECIPES};
use super::lines::with_zeros;
use super::nutrient_columns::{column_name, nutrient_columns, places_of};
use super::output::make_folder;
use super::results::plain;
use super::sql::{self, ColumnTerms};
use super::{BulkError, Per};
use crate::cooking::Method;
use crate::food::Pantry;
use crate::problem::Problem;
use crate::recipe::TAP_WATER;
use crate::whole_file;

/// What is to be exported.
#[derive(Debug, Clone)]
pub struct ExportRequest<'a> {
    /// The folder for the files.
    pub output: &'a Path,
    /// A folder with recipes: only foods and methods that occur in it are exported; all of the
    /// foods in use where none is named.
    pub input: Option<&'a Path>,
    /// The amount that the figures of nutrients are for.
    pub per: Per,
    /// Their tagnames; all of them where none is named.
    pub nutrients: &'a [String],
    /// The foods in use.
    pub foods: &'a Pantry,
}

/// What `export.json` says.
#[derive(Debug, Serialize)]
struct Export<'a> {
    schema: u32,
    version: &'static str,
    sources: &'a [SourceInfo],
    prepared: PreparedTable,
    columns: Vec<ColumnUnit<'a>>,
}

#[derive(Debug, Serialize)]
struct PreparedTable {
    file: &'static str,
    rows: usize,
    sha256: String,
}

#[derive(Debug, Serialize)]
struct ColumnUnit<'a> {
    column: String,
    unit: &'a str,
    nutrient: NutrientId,
    name: &'a str,
}

/// A food, a method, and what was found.
type PreparedRow = (String, Method, PreparedFood);

/// Rows of a row group of the table.
const ROWS_OF_A_GROUP: usize = 16_384;

/// A column that the statements read, and a table may be without.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OptionalColumn {
    /// Its table: `lines` or `recipes`.
    pub table: &'static str,
    /// Its name.
    pub name: &'static str,
    /// Its type, in the words of SQL.
    pub sql_type: &'static str,
}

/// The result of an export: how large it is, and which optional columns the tables lack.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Exported {
    /// How many foods and methods there are.
    pub rows: usize,
    /// Columns that the statements take as NULL, where tables were named: they are without them.
    pub filled: Vec<OptionalColumn>,
    /// Columns that the tables must have, where none were named: the statements read them.
    pub must_be_there: Vec<OptionalColumn>,
}

/// Writes `prepared.parquet`, `results.sql`, `rejects.sql` and `export.json` into a folder.
///
/// Errors: the tables and the foods do not read; the files cannot be written.
pub fn export(request: &ExportRequest<'_>) -> Result<Exported, BulkError> {
    let nutrients = nutrients()?;
    let wanted = places_of(request.nutrients, nutrients)?;
    let mut foods = FoodPreparer::new(request.foods, false)?;
    let input = request.input.map(Input::open).transpose()?;
    let rows = match &input {
        Some(input) => rows_of(&pairs_in(input)?, &mut foods)?,
        None => rows_of(&all_pairs(request.foods)?, &mut foods)?,
    };
    let lacking = input.as_ref().map(lacking_in).unwrap_or_default();
    let terms = ColumnTerms::of(rows.iter().map(|(.., food)| food));
    let out = request.output;
    make_folder(out)?;
    let table = out.join("prepared.parquet");
    write_prepared(&table, &rows, nutrients, &terms)?;
    let bytes = fs::read(&table).map_err(|error| BulkError::io("read", &table, error))?;
    let columns = nutrient_columns(request.per, &wanted, nutrients);
    let columns = columns.into_iter().map(|(column, nutrient, _)| ColumnUnit {
        column,
        unit: &nutrient.unit,
        nutrient: nutrient.id,
        name: &nutrient.name,
    });
    let export = Export {
        schema: 1,
        version: env!("CARGO_PKG_VERSION"),
        sources: request.foods.sources(),
        prepared: PreparedTable {
            file: "prepared.parquet",
            rows: rows.len(),
            sha256: hex(&Sha256::digest(&bytes)),
        },
        columns: columns.collect(),
    };
    let text = serde_json::to_string_pretty(&export);
    let text = text.map_err(|error| Problem::new(format!("export.json: {error}")))?;
    for (name, text) in [
        (
            "results.sql",
            sql::results(request.per, &wanted, nutrients, &terms, &lacking)?,
        ),
        ("rejects.sql", sql::rejects(&lacking)),
        ("export.json", text + "\n"),
    ] {
        let path = out.join(name);
        whole_file::write(&path, &text).map_err(|error| BulkError::io("write", &path, error))?;
    }
    Ok(Exported {
        rows: rows.len(),
        must_be_there: match input {
            Some(_) => Vec::new(),
            None => optional_columns().collect(),
        },
        filled: lacking,
    })
}

/// The columns that a table may be without.
fn optional_columns() -> impl Iterator<Item = OptionalColumn> {
    let of_tables: [(&str, &[InputColumn]); 2] = [("lines", &LINES), ("recipes", &RECIPES)];
    of_tables.into_iter().flat_map(|(table, columns)| {
        let optional = columns.iter().filter(|column| column.is_optional());
        optional.map(move |column| OptionalColumn {
            table,
            name: column.name,
            sql_type: column.sql_type(),
        })
    })
}

/// The columns that no file of a table has.
fn lacking_in(input: &Input) -> Vec<OptionalColumn> {
    let lacks = |column: &OptionalColumn| {
        let files = match column.table {
            "lines" => &input.lines,
            _ => &input.recipes,
        };
        !files.iter().any(|file| file.has(column.name))
    };
    optional_columns().filter(lacks).collect()
}

/// Every food in use by every method.
fn all_pairs(foods: &Pantry) -> Result<BTreeSet<(String, Method)>, BulkError> {
    let ids = foods.ids()?.into_iter();
    Ok(ids
        .flat_map(|id| Method::all().map(move |method| (id.to_string(), method)))
        .collect())
}

/// The foods and methods that occur in the tables of a folder, and the water.
fn pairs_in(input: &Input) -> Result<BTreeSet<(String, Method)>, BulkError> {
    let mut pairs = BTreeSet::from([(TAP_WATER.to_owned(), Method::None)]);
    for file in &input.lines {
        for (group, rows) in file.groups().into_iter().enumerate() {
            let (food, method) = (
                file.text(group, "food", 0..rows)?,
                file.text(group, "method", 0..rows)?,
            );
            let of_rows = food.codes.iter().zip(&method.codes);
            let occurring: BTreeSet<(u32, u32)> =
                of_rows.map(|(food, method)| (*food, *method)).collect();
            for (food_code, method_code) in occurring {
                let word = method.words.get(method_code as usize);
                let known = word.and_then(|word| method_of(word));
                let Some(food) = food.words.get(food_code as usize) else {
                    continue;
                };
                // The statement for rejects asks whether a food is known without its method, or with zeros before it.
                let by = known.unwrap_or(Method::None);
                let meant = with_zeros(food).map(|meant| (meant, Method::None));
                pairs.extend([(food.to_string(), by)].into_iter().chain(meant));
            }
        }
    }
    for file in input.recipes.iter().filter(|file| file.has("water_food")) {
        for (group, rows) in file.groups().into_iter().enumerate() {
            let water = file.text(group, "water_food", 0..rows)?;
            let occurs = |at: usize| {
                water
                    .codes
                    .iter()
                    .any(|code| *code != NOT_GIVEN && *code as usize == at)
            };
            let words = water.words.iter().enumerate().filter(|(at, _)| occurs(*at));
            pairs.extend(words.map(|(_, word)| (word.to_string(), Method::None)));
        }
    }
    Ok(pairs)
}

fn rows_of(
    pairs: &BTreeSet<(String, Method)>,
    foods: &mut FoodPreparer<'_>,
) -> Result<Vec<PreparedRow>, BulkError> {
    let known = foods.look_up(pairs.iter().map(|(id, _)| id.as_str()))?;
    let mut rows = Vec::with_capacity(pairs.len());
    for ((id, method), known) in pairs.iter().zip(known) {
        if let Some(known) = known {
            let place = foods.place(known, *method)?;
            rows.push((id.clone(), *method, foods.get(place)?.clone()));
        }
    }
    Ok(rows)
}

/// How a column is worked out from a row.
type FoodFigure<'a> = Box<dyn Fn(&PreparedFood) -> Option<f64> + Sync + 'a>;

fn write_prepared(
    path: &Path,
    rows: &[PreparedRow],
    nutrients: &[Nutrient],
    terms: &ColumnTerms,
) -> Result<(), BulkError> {
    let figures = figures(nutrients, terms);
    let few = |name, layout| WrittenColumn {
        few: true,
        ..plain(name, layout)
    };
    let mut columns = vec![few("food", Layout::String), few("method", Layout::String)];
    columns.push(plain("is_water", Layout::Boolean));
    columns.push(few("missing", Layout::Int64));
    columns.extend(figures.iter().map(|(name, _)| few(name, Layout::Double)));
    let mut writer = ParquetWriter::create(path, &columns, Codec::Zstd)?;
    for rows in rows.chunks(ROWS_OF_A_GROUP) {
        let is_water: Vec<bool> = rows.iter().map(|(.., food)| food.is_water).collect();
        let missing: Vec<i64> = rows
            .iter()
            .map(|(.., food)| food.composition.missing.cast_signed())
            .collect();
        let values: Vec<(Vec<f64>, Vec<bool>)> = figures
            .iter()
            .map(|(_, figure)| {
                let found = rows.iter().map(|(.., food)| figure(food));
                found
                    .map(|value| (value.unwrap_or(0.0), value.is_some()))
                    .unzip()
            })
            .collect();
        writer.write(rows.len(), |column| match column {
            0 => Cells::Text(rows.iter().map(|(id, ..)| Some(id.as_str())).collect()),
            1 => Cells::Text(
                rows.iter()
                    .map(|(_, method, _)| Some(method.word()))
                    .collect(),
            ),
            2 => Cells::Truths(&is_water, None),
            3 => Cells::Integers(&missing, None),
            _ => {
                let (values, given) = &values[column - 4];
                Cells::Reals(values, Some(given.iter().copied().collect()))
            }
        })?;
    }
    Ok(writer.finish()?.sync()?)
}

/// The columns of numbers, each with its name.
fn figures<'a>(nutrients: &[Nutrient], terms: &ColumnTerms) -> Vec<(String, FoodFigure<'a>)> {
    let mut figures: Vec<(String, FoodFigure<'a>)> = Vec::new();
    let mut add = |name: &str, figure: FoodFigure<'a>| figures.push((name.to_owned(), figure));
    add("edible_share", Box::new(|food| Some(food.edible_share)));
    add("drained_share", Box::new(|food| Some(food.drained_share)));
    add("yield", Box::new(|food| Some(food.cooked.none)));
    add("yield_used", Box::new(|food| Some(food.cooked.more)));
    let none = |line: Option<Rising>| line.map(|line| line.none);
    let more = |line: Option<Rising>| line.map(|line| line.more);
    add("dry", Box::new(move |food| none(food.dry)));
    add("dry_used", Box::new(move |food| more(food.dry)));
    add("least", Box::new(move |food| none(food.least)));
    add("least_used", Box::new(move |food| more(food.least)));
    for (at, nutrient) in nutrients.iter().enumerate().take(LANES) {
        if nutrient.id == NutrientId::WATER {
            continue;
        }
        let name = column_name(nutrient);
        let value = move |food: &PreparedFood| {
            let known = food.composition.missing >> at & 1 == 0;
            known.then(|| food.composition.values[at])
        };
        add(
            &name,
            Box::new(move |food| Some(value(food)? * food.profile.kept[at])),
        );
        if terms.used[at] {
            let name = format!("{name}_used");
            add(
                &name,
                Box::new(move |food| Some(value(food)? * food.profile.used[at])),
            );
        }
        if terms.both[at] {
            let name = format!("{name}_both");
            add(
                &name,
                Box::new(move |food| Some(value(food)? * food.profile.both[at])),
            );
        }
        if terms.warm[at] {
            let name = format!("{name}_warm");
            add(
                &name,
                Box::new(move |food| Some(food.profile.warm[at] - 1.0)),
            );
        }
    }
    figures
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_columns_that_a_table_may_lack_are_told_with_their_types() {
        let said =
            optional_columns().map(|one| format!("{}.{} {}", one.table, one.name, one.sql_type));
        let said: Vec<String> = said.collect();
        assert_eq!(said.len(), 4 + 7);
        assert_eq!(said[0], "lines.line INT");
        assert_eq!(said[1], "lines.basis STRING");
        assert_eq!(said[10], "recipes.reheat BOOLEAN");
    }
}
