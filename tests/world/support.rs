//! What the checks share: the tables, read once; recipes; small statistics.

use std::collections::{BTreeMap, HashMap};
use std::path::Path;
use std::sync::LazyLock;

use data_import::{all_nutrients, reference};
use serde::de::DeserializeOwned;
use trayful::cooking::{ClassTable, FoodClass};
use trayful::food::{Food, FoodTable, Pantry};
use trayful::nutrition::{AgeMonths, NutrientId};
use trayful::problem::SourceText;
use trayful::recipe::{Batch, Kitchen, Recipe};

static TABLE: LazyLock<FoodTable> = LazyLock::new(|| FoodTable::builtin().unwrap());

static FOODS: LazyLock<BTreeMap<String, Food>> = LazyLock::new(|| {
    let foods = TABLE.all().unwrap().into_iter();
    foods.map(|food| (food.id.to_string(), food)).collect()
});

/// Every food is at hand, so that a check of many recipes reads the table once.
static PANTRY: LazyLock<Pantry> = LazyLock::new(|| {
    let ids: Vec<_> = FOODS.values().map(|food| food.id.clone()).collect();
    let pantry = Pantry::from(FoodTable::builtin().unwrap());
    pantry.laid_out_for(&ids).unwrap()
});

static KITCHEN: LazyLock<Kitchen<'static>> = LazyLock::new(|| Kitchen {
    foods: &PANTRY,
    classes: ClassTable::builtin().unwrap(),
});

/// A row of a table whose columns are looked up by name.
pub(crate) type Row = HashMap<String, String>;

/// The built-in food table.
pub(crate) fn table() -> &'static FoodTable {
    &TABLE
}

/// The built-in foods to cook with.
pub(crate) fn pantry() -> &'static Pantry {
    &PANTRY
}

/// Every food of the built-in dataset.
pub(crate) fn foods() -> impl Iterator<Item = &'static Food> {
    FOODS.values()
}

/// One food by its NDB number.
pub(crate) fn food(id: &str) -> &'static Food {
    FOODS.get(id).unwrap()
}

/// The built-in table of cooking classes.
pub(crate) fn classes() -> &'static ClassTable {
    KITCHEN.classes
}

/// The class a food is cooked as.
pub(crate) fn class_of(id: &str) -> FoodClass {
    classes().class_of(food(id))
}

/// The rows of a file in `tests/data`.
pub(crate) fn data<T: DeserializeOwned>(file: &str) -> Vec<T> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(file);
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(path)
        .unwrap();
    reader.deserialize().map(Result::unwrap).collect()
}

/// The rows of a built-in reference table.
pub(crate) fn rows(text: &str) -> Vec<Row> {
    reference::rows("built-in table", text).unwrap()
}

/// The nutrient with an INFOODS tagname.
pub(crate) fn tagged(tag: &str) -> NutrientId {
    all_nutrients()
        .unwrap()
        .iter()
        .find(|nutrient| nutrient.tag == tag)
        .unwrap()
        .id
}

/// An age inside an age group of the reference intakes.
pub(crate) fn age_in(band: &str) -> AgeMonths {
    let bands = [("0-5 months", 3), ("6-11 months", 9), ("1-3 years", 24)];
    AgeMonths(bands.iter().find(|(label, _)| *label == band).unwrap().1)
}

/// Calculates a recipe given without its title.
pub(crate) fn batch(recipe: &str) -> Batch {
    let source = SourceText::new("recipe", format!("title = \"a check\"\n{recipe}"));
    let recipe = Recipe::parse(&source).unwrap();
    let prepared = KITCHEN.prepare(&recipe).unwrap().unwrap();
    prepared.calculate().unwrap().unwrap()
}

/// The ingredient of a recipe, its amount without refuse; `rest` holds further lines.
pub(crate) fn ingredient(food: &str, grams: f64, method: &str, rest: &str) -> String {
    format!(
        "[[ingredient]]\nfood = \"{food}\"\namount = \"{grams} g\"\nbasis = \"edible\"\n\
         method = \"{method}\"\n{rest}\n"
    )
}

/// A nutrient in the whole batch; `None` where no food in it has a value.
pub(crate) fn in_batch(batch: &Batch, nutrient: NutrientId) -> Option<f64> {
    batch.total(nutrient).unwrap().batch.known
}

/// A nutrient in 100 g of the purée.
pub(crate) fn per_100_g(batch: &Batch, nutrient: NutrientId) -> Option<f64> {
    in_batch(batch, nutrient).map(|amount| amount / batch.masses.puree.grams() * 100.0)
}

/// The middle of the values.
pub(crate) fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    let middle = values.len() / 2;
    match values.len() % 2 {
        0 => f64::midpoint(values[middle - 1], values[middle]),
        _ => values[middle],
    }
}

/// A part in percent of the whole.
pub(crate) fn percent(part: usize, whole: usize) -> f64 {
    100.0 * part as f64 / whole as f64
}
