//! Reference tables of the kitchen: CSV files with `#` comment lines, embedded in the program.

mod lines;

use std::str::FromStr;

use csv::StringRecord;
use serde::de::DeserializeOwned;

use crate::error::Error;
use lines::{TableLines, cells};

/// USDA Table of Nutrient Retention Factors, Release 6: percent kept, a column a nutrient number.
pub const RETENTION: &str = include_str!("../../data/retention.csv");
/// Which retention row speaks for a class of food and a method.
pub const RETENTION_CHOICE: &str = include_str!("../../data/retention-choice.csv");
/// Which class a food is cooked as.
pub const FOOD_CLASSES: &str = include_str!("../../data/food-classes.csv");
/// USDA Table of Cooking Yields for Meat and Poultry, Release 2, as published.
pub const MEAT_YIELDS: &str = include_str!("../../data/meat-yields.csv");
/// Yields by food and methods, with the fat that melts out.
pub const YIELDS: &str = include_str!("../../data/yields.csv");
/// Yields by class and method, published or estimated.
pub const CLASS_YIELDS: &str = include_str!("../../data/class-yields.csv");
/// Share of its solids that a drained food keeps, by class and method.
pub const SOLIDS_KEPT: &str = include_str!("../../data/solids-kept.csv");
/// Cans that the dataset lists with their liquid, with the row of the drained food.
pub const DRAINED_CANS: &str = include_str!("../../data/drained-cans.csv");
/// Spread of a nutrient between lots of one food, by food group.
pub const LOT_SPREAD: &str = include_str!("../../data/lot-spread.csv");
/// Spread of a nutrient between sources, and its class.
pub const SOURCE_SPREAD: &str = include_str!("../../data/source-spread.csv");
/// Analyses of foods of SR28 that are newer than it.
pub const NEWER_ANALYSES: &str = include_str!("../../data/newer-analyses.csv");
/// Reference intakes for infants and toddlers.
pub const INTAKES: &str = include_str!("../../data/intakes.csv");
/// Reasons against giving a food to a child, by age, form and amount.
pub const HAZARDS: &str = include_str!("../../data/hazards.csv");
/// The major allergens and the names that give them away.
pub const ALLERGENS: &str = include_str!("../../data/allergens.csv");
/// General kitchen hygiene for feeding infants and toddlers.
pub const CAUTIONS: &str = include_str!("../../data/cautions.csv");
/// How much breast milk a child takes, on average.
pub const BREAST_MILK: &str = include_str!("../../data/breast-milk.csv");
/// Energy and nutrients that complementary food is to bring, by age and breast-feeding.
pub const COMPLEMENTARY_FEEDING: &str = include_str!("../../data/complementary-feeding.csv");
/// Daily Values of US labels for infants and small children.
pub const DAILY_VALUES: &str = include_str!("../../data/daily-values.csv");
/// Which foods are added sugar, hold none, or may hold some.
pub const ADDED_SUGAR: &str = include_str!("../../data/added-sugar.csv");
/// Whether a food holds much phytate.
pub const PHYTATE: &str = include_str!("../../data/phytate.csv");
/// Densities of liquids and purées.
pub const DENSITIES: &str = include_str!("../../data/densities.csv");
/// Which food group of dietary diversity a food counts for.
pub const DIVERSITY_GROUPS: &str = include_str!("../../data/diversity-groups.csv");
/// How long cubes keep, by what is in them.
pub const FREEZER_LIFE: &str = include_str!("../../data/freezer-life.csv");
/// How foods are cooked, and the rules of thumb of cube cooking.
pub const KITCHEN_PRACTICE: &str = include_str!("../../data/kitchen-practice.csv");
/// Sheets of stickers, in millimetres.
pub const LABEL_SHEETS: &str = include_str!("../../data/label-sheets.csv");
/// How coarse a child's food may be, by age.
pub const TEXTURES: &str = include_str!("../../data/textures.csv");
/// The words that households write for an allergen, and the foods that hold those beyond the major ones.
pub const ALLERGY_WORDS: &str = include_str!("../../data/allergy-words.csv");
/// The words and turns by which households write down an allergy, apart from the names of foods.
pub const ALLERGY_PHRASES: &str = include_str!("../../data/allergy-phrases.csv");
/// The words in which parents describe a reaction.
pub const REACTION_WORDS: &str = include_str!("../../data/reaction-words.csv");
/// Kitchen words and the words the dataset has for them.
pub const KITCHEN_WORDS: &str = include_str!("../../data/kitchen-words.csv");
/// Names for foods as parents use them, with the food of the dataset for each context.
pub const SPOKEN_FOODS: &str = include_str!("../../data/spoken-foods.csv");
/// Words that stand beside the name of a food: numbers, units, pieces, ways to cook.
pub const SPOKEN_WORDS: &str = include_str!("../../data/spoken-words.csv");
/// How foods of a class are usually cooked.
pub const USUAL_METHODS: &str = include_str!("../../data/usual-methods.csv");

/// Roles of foods in a puree: how each is cooked for it, and its least and most share.
pub const COMBINE_ROLES: &str = include_str!("../../data/combine-roles.csv");
/// Which foods may be together in a proposed puree.
pub const COMBINE_RULES: &str = include_str!("../../data/combine-rules.csv");
/// Which foods may be proposed for a puree.
pub const COMBINE_CANDIDATES: &str = include_str!("../../data/combine-candidates.csv");
/// Facts about the foods that may be proposed, besides their names.
pub const COMBINE_FOODS: &str = include_str!("../../data/combine-foods.csv");
/// Words for foods in old cookery books.
pub const COOKERY_WORDS: &str = include_str!("../../data/cookery-words.csv");
/// Which of those words stand in recipes together.
pub const COOKERY_PAIRS: &str = include_str!("../../data/cookery-pairs.csv");

/// How long bought food keeps.
pub const STORAGE: &str = include_str!("../../data/storage.csv");
/// When a food is in season, by country.
pub const SEASONS: &str = include_str!("../../data/seasons.csv");
/// Residues of pesticides counted in samples.
pub const RESIDUES: &str = include_str!("../../data/residues.csv");
/// Usual prices in shops of the USA.
pub const US_PRICES: &str = include_str!("../../data/us-prices.csv");
/// Vegetables that shops sell trimmed otherwise than the dataset counts refuse.
pub const TRIMMED_GOODS: &str = include_str!("../../data/trimmed-goods.csv");
/// Amino acids of pulses, grains, and foods that bring what these lack.
pub const AMINO_ACIDS: &str = include_str!("../../data/amino-acids.csv");
/// Which foods bring what another lacks.
pub const COMPLEMENTS: &str = include_str!("../../data/complements.csv");

/// Reads an embedded table. `name` is used in errors only.
pub fn rows<T: DeserializeOwned>(name: &str, text: &str) -> Result<Vec<T>, Error> {
    let read = TableLines::of(text).read_each(|columns, row| row.deserialize(Some(columns)));
    Ok(read.map_err(|source| wrong(name, source))?.1)
}

/// Reads an embedded table without interpreting its cells: the header, and the rows.
pub fn records(name: &str, text: &str) -> Result<(StringRecord, Vec<StringRecord>), Error> {
    let read = TableLines::of(text).read_each(|_, row| Ok(row.clone()));
    read.map_err(|source| wrong(name, source))
}

/// A row of an embedded table, of which each cell is looked up by the name of its column.
#[derive(Debug, Clone, Copy)]
pub struct TableRow<'a> {
    columns: &'a [&'static str],
    cells: &'a [&'static str],
}

impl TableRow<'_> {
    /// The cell under a column's name; empty where the table has no such column.
    pub fn cell(self, name: &str) -> &'static str {
        let at = self.columns.iter().position(|column| *column == name);
        at.and_then(|at| self.cells.get(at)).copied().unwrap_or("")
    }

    /// The number in a cell; `None` in an empty one.
    ///
    /// Errors: the cell holds something else.
    pub fn number<N: FromStr>(self, name: &str) -> Result<Option<N>, String> {
        match self.cell(name) {
            "" => Ok(None),
            cell => match cell.parse() {
                Ok(number) => Ok(Some(number)),
                Err(_) => Err(format!("“{cell}” is not a number for “{name}”")),
            },
        }
    }

    /// The alternatives in a cell, which are joined by `|`.
    pub fn alternatives(self, name: &str) -> impl Iterator<Item = &'static str> {
        let cell = Some(self.cell(name)).filter(|cell| !cell.is_empty());
        let parts = cell.into_iter().flat_map(|cell| cell.split('|'));
        parts.map(str::trim).filter(|part| !part.is_empty())
    }
}

/// Reads an embedded table row by row, each from its cells, of which none has a quote in it.
pub fn read_rows<T>(
    name: &str,
    text: &'static str,
    read: impl Fn(TableRow<'_>) -> T,
) -> Result<Vec<T>, Error> {
    try_read_rows(name, text, |row| Ok(read(row)))
}

/// As [`read_rows`], of rows that may not read.
pub fn try_read_rows<T>(
    name: &str,
    text: &'static str,
    read: impl Fn(TableRow<'_>) -> Result<T, String>,
) -> Result<Vec<T>, Error> {
    let row = |columns: &[_], cells: &[_]| read(TableRow { columns, cells });
    let each = TableLines::of(text).read_each_in_place(row);
    each.map_err(|source| wrong(name, source))
}

/// The rows of an embedded table, cut at their first commas: the last cell is as it is written (see
/// [`unquoted`]), those before it stand without quotes (a test sees to it). For a table that is so
/// long that copying its cells takes longer than what is asked of it.
pub fn split_rows<const N: usize>(text: &'static str) -> impl Iterator<Item = [&'static str; N]> {
    TableLines::of(text).rows().map(|line| {
        let mut cells = line.splitn(N, ',');
        std::array::from_fn(|_| cells.next().unwrap_or_default())
    })
}

/// A cell without the quotes that it is written with.
pub fn unquoted(cell: &str) -> String {
    cells(cell).get(0).unwrap_or_default().into()
}

/// Reads the one row of an embedded table whose first cells are `key`; `None` where there is none.
///
/// The table is sorted by its first cells, and keys are written without quotes (a test sees to
/// both); only the row that is found is read.
pub fn row<T: DeserializeOwned>(name: &str, text: &str, key: &[&str]) -> Result<Option<T>, Error> {
    let start = key.iter().flat_map(|cell| [cell, ","]).collect::<String>();
    let table = TableLines::of(text);
    let mut rows = table.with_key(key.first().copied().unwrap_or_default());
    let line = rows.find(|line| line.starts_with(&start));
    line.map(|line| read(name, &cells(table.header), line))
        .transpose()
}

/// The cells of the one row of an embedded table whose first cell is `key`, under the names of
/// their columns; `None` where there is none. The table is as [`row`] needs it.
pub fn cells_of(text: &str, key: &str) -> Option<(StringRecord, StringRecord)> {
    let table = TableLines::of(text);
    let line = table.with_key(key).next()?;
    Some((cells(table.header), cells(line)))
}

/// Reads the rows of an embedded table whose first cell is `key`. The table is as [`row`] needs it.
pub fn rows_of<T: DeserializeOwned>(name: &str, text: &str, key: &str) -> Result<Vec<T>, Error> {
    let table = TableLines::of(text);
    read_all(name, table, table.with_key(key))
}

/// Reads the rows of an embedded table in whose line some words stand: no other row is read.
pub fn rows_with<T: DeserializeOwned>(
    name: &str,
    text: &str,
    words: &str,
) -> Result<Vec<T>, Error> {
    let table = TableLines::of(text);
    read_all(
        name,
        table,
        table.rows().filter(|line| line.contains(words)),
    )
}

/// Reads some rows of a table; its header only if there are any.
fn read_all<'a, T: DeserializeOwned>(
    name: &str,
    table: TableLines<'_>,
    rows: impl Iterator<Item = &'a str>,
) -> Result<Vec<T>, Error> {
    let mut rows = rows.peekable();
    if rows.peek().is_none() {
        return Ok(Vec::new());
    }
    let header = cells(table.header);
    rows.map(|line| read(name, &header, line)).collect()
}

fn read<T: DeserializeOwned>(name: &str, header: &StringRecord, line: &str) -> Result<T, Error> {
    let row = cells(line).deserialize(Some(header));
    row.map_err(|source| wrong(name, source))
}

fn wrong(table: &str, source: csv::Error) -> Error {
    Error::Reference {
        table: table.to_owned(),
        source,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The tables that are looked up by key, with the number of their key cells.
    const KEYED: [(&str, &str, usize); 7] = [
        ("lot-spread.csv", LOT_SPREAD, 2),
        ("retention.csv", RETENTION, 1),
        ("retention-choice.csv", RETENTION_CHOICE, 2),
        ("yields.csv", YIELDS, 2),
        ("class-yields.csv", CLASS_YIELDS, 2),
        ("drained-cans.csv", DRAINED_CANS, 1),
        ("amino-acids.csv", AMINO_ACIDS, 1),
    ];

    /// The embedded tables: name, and text.
    fn tables() -> impl Iterator<Item = (String, String)> {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/data");
        let files = std::fs::read_dir(folder).unwrap();
        files.map(|file| {
            let path = file.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read_to_string(path).unwrap())
        })
    }

    #[test]
    fn every_table_is_read_as_a_reader_of_csv_reads_it() {
        let mut read = 0;
        for (name, text) in tables() {
            let mut reader = csv::ReaderBuilder::new();
            let mut reader = reader.comment(Some(b'#')).from_reader(text.as_bytes());
            let (header, rows) = records(&name, &text).unwrap();
            let their_header = reader
                .headers()
                .unwrap_or_else(|error| panic!("{name}: {error}"));
            assert_eq!(&header, their_header, "{name}");
            let theirs: Result<Vec<StringRecord>, csv::Error> = reader.records().collect();
            assert_eq!(
                rows,
                theirs.unwrap_or_else(|error| panic!("{name}: {error}")),
                "{name}"
            );
            read += rows.len();
        }
        assert!(read > 7_000, "{read} rows");
    }

    #[test]
    fn tables_with_keys_are_sorted_by_plain_keys_that_do_not_repeat() {
        for (name, text, cells) in KEYED {
            let lines = TableLines::of(text).rows();
            let (_, rows) = records(name, text).unwrap();
            let mut keys = Vec::new();
            for (line, row) in lines.zip(&rows) {
                let cells = row.iter().take(cells).flat_map(|cell| [cell, ","]);
                let key = cells.collect::<String>();
                assert!(line.starts_with(&key), "{name}: {line}");
                keys.push(key);
            }
            assert!(rows.is_sorted_by_key(|row| row[0].to_owned()), "{name}");
            keys.sort();
            keys.dedup();
            assert_eq!(keys.len(), rows.len(), "{name}: a key stands twice");
        }
        let (_, newer) = records("newer-analyses.csv", NEWER_ANALYSES).unwrap();
        assert!(newer.is_sorted_by_key(|row| row[0].to_owned()));
    }

    #[test]
    fn rows_are_cut_where_a_reader_of_csv_cuts_them() {
        let (_, rows) = records("spoken-foods.csv", SPOKEN_FOODS).unwrap();
        let cut: Vec<[&str; 5]> = split_rows(SPOKEN_FOODS).collect();
        assert_eq!(cut.len(), rows.len());
        for ([first @ .., last], row) in cut.iter().zip(&rows) {
            assert!(first.iter().copied().eq(row.iter().take(4)), "{row:?}");
            assert_eq!(unquoted(last), row[4]);
        }
    }

    #[test]
    fn a_row_is_found_by_its_key() {
        let code: Option<Vec<String>> = row("retention.csv", RETENTION, &["3464"]).unwrap();
        assert_eq!(code.unwrap()[2], "VEG,ROOTS,ETC,STEAMED");
        assert!(
            row::<Vec<String>>("retention.csv", RETENTION, &["346"])
                .unwrap()
                .is_none()
        );
    }
}
