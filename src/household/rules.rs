//! Changing the settings of the household as a whole in `book.toml`: rules, trays and jars.

use toml_edit::{Array, Value};

use crate::notebook::{Book, BookError, Setting};
use crate::problem::Problem;
use crate::words::quoted;

/// Changes to the household. `None` leaves what the book says.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct HouseholdChanges {
    /// Days that cubes are kept in the freezer.
    pub freezer_days: Option<u32>,
    /// Days from one new food to the next.
    pub waiting_days: Option<u32>,
    /// The foods after which to wait: `all` new foods, or the major `allergens` alone.
    pub waiting: Option<String>,
    /// The meals of a day, in their order.
    pub meals: Option<Vec<String>>,
    /// Servings a day; 0 to use the last two weeks.
    pub servings_a_day: Option<f64>,
    /// The cup in which amounts are typed: `us` or `metric`.
    pub cup: Option<String>,
    /// Currency of every price.
    pub currency: Option<String>,
}

impl HouseholdChanges {
    /// Whether nothing is to be different.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// A tray to be added, or changed where the book has one of this name.
#[derive(Debug, Clone, PartialEq)]
pub struct NewTray<'a> {
    /// The name.
    pub name: &'a str,
    /// The number of wells.
    pub wells: i64,
    /// The volume of a well, as it is written: `30 ml`.
    pub well: &'a str,
    /// The share of a well that is filled; `None` for what the book says, else nine tenths.
    pub fill: Option<f64>,
}

/// A jar to be added, or changed where the book has one of this name; `None` leaves what the book
/// says.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct NewJar<'a> {
    /// The name.
    pub name: &'a str,
    /// The net mass, as it is written: `4 oz`.
    pub mass: Option<&'a str>,
    /// The price of a jar.
    pub price: Option<&'a str>,
    /// The recipes that the jar is compared with; none for all.
    pub recipes: Option<Vec<String>>,
}

/// Changes the settings of the household in `book.toml`, and returns remarks on the change, each a
/// sentence.
///
/// Errors: the book would not be valid.
pub fn change_household(
    book: &mut Book,
    changes: &HouseholdChanges,
) -> Result<Vec<String>, BookError> {
    let former = book.settings.currency.clone();
    // A record that is opened writes down in which money was paid, before the book says another.
    let is_other = changes.currency.as_ref().is_some_and(|new| *new != former);
    let had_purchases = is_other && book.has_record() && book.store()?.has_purchases()?;
    let mut settings: Vec<Setting<'_>> = Vec::new();
    for (key, number) in [
        ("freezer_days", changes.freezer_days),
        ("waiting_days", changes.waiting_days),
    ] {
        settings.extend(number.map(|number| (key, Some(i64::from(number).into()))));
    }
    for (key, word) in [
        ("waiting", &changes.waiting),
        ("cup", &changes.cup),
        ("currency", &changes.currency),
    ] {
        let word = word.as_deref();
        settings.extend(word.map(|word| (key, Some(Value::from(word)))));
    }
    if let Some(meals) = &changes.meals {
        let names: Array = meals.iter().collect();
        settings.push(("meals", Some(Value::Array(names))));
    }
    if let Some(servings) = changes.servings_a_day {
        let stated = Some(Value::from(servings)).filter(|_| servings > 0.0);
        settings.push(("servings_a_day", stated));
    }
    book.set(&settings)?;
    Ok(after_another_currency(book, &former, had_purchases))
}

/// The remarks on what becomes of the amounts of a former currency, where there are any.
fn after_another_currency(book: &Book, former: &str, had_purchases: bool) -> Vec<String> {
    let currency = &book.settings.currency;
    let mut remarks = Vec::new();
    if currency == former {
        return remarks;
    }
    if had_purchases {
        remarks.push(format!(
            "Nothing is converted: what was paid in {former} stays in {former} and is in no sum of \
             {currency}; a price that is corrected is in {currency}."
        ));
    }
    if !book.settings.ready_made.is_empty() {
        remarks.push(format!(
            "The prices of jars stay as they were typed and are taken as {currency} from now on: \
             correct them."
        ));
    }
    remarks
}

/// Adds a tray, or changes the one of this name.
///
/// Errors: the tray is not valid.
pub fn put_tray(book: &mut Book, tray: &NewTray<'_>) -> Result<(), BookError> {
    /// A new tray is filled to nine tenths, as the usual one is.
    const FILL: f64 = 0.9;
    let known = book.settings.tray(tray.name).is_some();
    let mut settings: Vec<Setting<'_>> = vec![
        ("wells", Some(tray.wells.into())),
        ("well", Some(tray.well.into())),
    ];
    let fill = tray.fill.or((!known).then_some(FILL));
    settings.extend(fill.map(|fill| ("fill", Some(fill.into()))));
    put(book, ("tray", known), tray.name, settings)
}

/// Adds a jar, or changes the one of this name.
///
/// Errors: the jar is not valid.
pub fn put_jar(book: &mut Book, jar: &NewJar<'_>) -> Result<(), BookError> {
    let mut jars = book.settings.ready_made.iter();
    let known = jars.any(|known| known.name == jar.name);
    let mut settings: Vec<Setting<'_>> = Vec::new();
    for (key, text) in [("mass", jar.mass), ("price", jar.price)] {
        settings.extend(text.map(|text| (key, Some(Value::from(text)))));
    }
    if let Some(recipes) = &jar.recipes {
        let names: Array = recipes.iter().collect();
        let names = Some(Value::Array(names)).filter(|_| !recipes.is_empty());
        settings.push(("recipes", names));
    }
    put(book, ("ready_made", known), jar.name, settings)
}

/// Splits the wells and the volume of one, as they are written together: `16x30ml`.
///
/// Errors: the text is not such a pair.
pub fn wells_and_volume(text: &str) -> Result<(i64, &str), Problem> {
    let wrong = || {
        Problem::new(format!("{} is not a tray", quoted(text)))
            .hint("write wells and volume, such as 16x30ml")
    };
    let (wells, well) = text.split_once(['x', 'X']).ok_or_else(wrong)?;
    Ok((wells.trim().parse().map_err(|_| wrong())?, well.trim()))
}

/// Changes the table of this name in a list, or adds it.
fn put<'a>(
    book: &mut Book,
    (list, known): (&str, bool),
    name: &'a str,
    mut settings: Vec<Setting<'a>>,
) -> Result<(), BookError> {
    if known {
        return book.set_in(list, name, &settings);
    }
    settings.insert(0, ("name", Some(name.into())));
    book.add(list, &settings)
}
