//! Reference tables of the kitchen: CSV files with `#` comment lines, embedded in the program.

use csv::{Reader, ReaderBuilder, StringRecord};
use serde::de::DeserializeOwned;

use crate::error::Error;

/// USDA Table of Nutrient Retention Factors, Release 6: percent kept, a column a nutrient number.
pub const RETENTION: &str = include_str!("../data/retention.csv");
/// Which retention row speaks for a class of food and a method.
pub const RETENTION_CHOICE: &str = include_str!("../data/retention-choice.csv");
/// Which class a food is cooked as.
pub const FOOD_CLASSES: &str = include_str!("../data/food-classes.csv");
/// USDA Table of Cooking Yields for Meat and Poultry, Release 2, as published.
pub const MEAT_YIELDS: &str = include_str!("../data/meat-yields.csv");
/// Yields by food and method, published and derived.
pub const YIELDS: &str = include_str!("../data/yields.csv");
/// Yields by class and method, estimated.
pub const CLASS_YIELDS: &str = include_str!("../data/class-yields.csv");
/// Reference intakes for infants and toddlers.
pub const INTAKES: &str = include_str!("../data/intakes.csv");
/// Cautions for feeding infants and toddlers.
pub const CAUTIONS: &str = include_str!("../data/cautions.csv");
/// Densities of liquids and purées.
pub const DENSITIES: &str = include_str!("../data/densities.csv");
/// How a thing is cooked, and the rules of thumb of cube cooking.
pub const KITCHEN_PRACTICE: &str = include_str!("../data/kitchen-practice.csv");
/// Kitchen words and the words the dataset has for them.
pub const KITCHEN_WORDS: &str = include_str!("../data/kitchen-words.csv");

/// Reads an embedded table. `name` is used in errors only.
pub fn rows<T: DeserializeOwned>(name: &str, text: &str) -> Result<Vec<T>, Error> {
    let rows = reader(text).deserialize().collect::<Result<_, _>>();
    rows.map_err(|source| Error::Reference {
        table: name.to_owned(),
        source,
    })
}

/// Reads an embedded table without interpreting its cells: the header, and the rows.
pub fn records(name: &str, text: &str) -> Result<(StringRecord, Vec<StringRecord>), Error> {
    let mut reader = reader(text);
    let wrong = |source| Error::Reference {
        table: name.to_owned(),
        source,
    };
    let header = reader.headers().map_err(wrong)?.clone();
    let rows = reader.records().collect::<Result<_, _>>().map_err(wrong)?;
    Ok((header, rows))
}

fn reader(text: &str) -> Reader<&[u8]> {
    ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes())
}
