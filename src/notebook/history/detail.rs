//! The details of an entry by its kind, from its rows.

use data_import::NutrientId;
use jiff::civil::Date;
use rusqlite::Connection;
use serde_json::Value;

use super::rows::{RecordRow, Rows};
use crate::cost::Money;
use crate::notebook::feeding::How;
use crate::notebook::sql::first as first_row;
use crate::portion::CubeCount;
use crate::quantity::Mass;

/// The details of an entry by its kind.
#[derive(Debug, Clone, PartialEq)]
#[expect(
    missing_docs,
    reason = "the fields are those of the entries, where they are described"
)]
pub enum EntryDetail {
    Batch {
        name: String,
        title: String,
        cubes: u32,
        cube: Mass,
        use_by: String,
    },
    Meal {
        meal: String,
        how: How,
        share: Option<f64>,
        reaction: String,
        parts: Vec<EntryPart>,
    },
    Discard {
        parts: Vec<EntryPart>,
        why: String,
    },
    Purchase {
        food: String,
        name: String,
        mass: Mass,
        price: Option<Money>,
        currency: String,
        store: String,
    },
    Milk {
        one_day: bool,
        parts: Vec<EntryPart>,
    },
    /// The days and meals that are planned, cooking apart.
    Plan {
        days: Vec<Date>,
        meals: usize,
        cooking: usize,
        parts: Vec<EntryPart>,
    },
    Question {
        words: String,
    },
    Answer {
        question: i64,
        words: String,
    },
    Clearance {
        name: String,
        words: String,
    },
    Reaction {
        meal: i64,
        words: String,
    },
    Known {
        food: String,
        name: String,
        reaction: String,
        words: String,
    },
    Measure {
        what: String,
        value: f64,
    },
    Supplement {
        product: String,
        nutrient: NutrientId,
        amount: f64,
        one_day: bool,
    },
    Note {
        topic: String,
        words: String,
    },
    WholeDay,
    /// The cubes of a batch were counted again.
    Count {
        title: String,
        batch: i64,
        was: u32,
        now: u32,
    },
    Texture {
        stage: String,
    },
    Rename {
        former: String,
        later: String,
    },
    Visit {
        words: String,
    },
}

/// A part of an entry.
#[derive(Debug, Clone, PartialEq)]
pub enum EntryPart {
    /// Cubes of a batch, with its title and number.
    Cubes(CubeCount, String, i64),
    /// A mass of a food.
    Food {
        /// The mass.
        mass: Mass,
        /// The name of the food.
        name: String,
        /// The id of the food.
        id: String,
        /// The typed words for it; empty where an id says all.
        typed: String,
    },
    /// A number of feeds at the breast.
    Feeds(u32, String),
    /// As much as the child wants, or an amount that is not given.
    Wanted(String),
    /// A number of trays to be cooked, with the name of the recipe.
    Trays(u32, String),
}

impl EntryDetail {
    /// The kind of the entry, as it is shown.
    fn kind(&self) -> &'static str {
        match self {
            Self::Batch { .. } => "batch",
            Self::Meal { .. } => "meal",
            Self::Discard { .. } => "discard",
            Self::Purchase { .. } => "purchase",
            Self::Milk { .. } => "milk",
            Self::Plan { .. } => "plan",
            Self::Question { .. } => "question",
            Self::Answer { .. } => "answer",
            Self::Clearance { .. } => "clearance",
            Self::Reaction { .. } => "reaction",
            Self::Known { .. } => "known",
            Self::Measure { what, .. } if what == "weight" => "weight",
            Self::Measure { .. } => "measure",
            Self::Supplement { .. } => "supplement",
            Self::Note { .. } => "note",
            Self::Texture { .. } => "texture",
            Self::WholeDay => "day",
            Self::Count { .. } => "count",
            Self::Rename { .. } => "rename",
            Self::Visit { .. } => "visit",
        }
    }
}

/// Kind, child and details of an entry.
pub(super) fn detail(
    connection: &Connection,
    rows: &Rows,
) -> rusqlite::Result<(&'static str, String, EntryDetail)> {
    let detail = details(connection, rows)?;
    let of = |table| format!("SELECT child FROM {table} WHERE entry = ?1");
    let child = match &detail {
        EntryDetail::Plan { .. } => planned_child(rows),
        EntryDetail::Answer { question, .. } => text_of(connection, &of("question"), *question)?,
        EntryDetail::Reaction { meal, .. } => text_of(connection, &of("feeding"), *meal)?,
        _ => rows.text(rows.kind(), "child").to_string(),
    };
    Ok((detail.kind(), child, detail))
}

fn details(connection: &Connection, rows: &Rows) -> rusqlite::Result<EntryDetail> {
    let kind = rows.kind();
    let text = |column: &str| rows.text(kind, column).to_string();
    let figure = |column| rows.number(kind, column).ok_or_else(|| lacking(column));
    let number = |column| whole(first(rows, kind)?, column);
    let one_day = || rows.number(kind, "one_day") == Some(1.0);
    let words = text("words");
    Ok(match kind {
        "batch" => EntryDetail::Batch {
            name: text("name"),
            title: text("title"),
            cubes: count(first(rows, kind)?, "cubes")?,
            cube: Mass::from_grams(figure("cube_g")?),
            use_by: text("use_by"),
        },
        "feeding" => EntryDetail::Meal {
            meal: text("meal"),
            how: How::from_word(rows.text(kind, "how")),
            share: rows.number(kind, "share"),
            reaction: text("reaction"),
            parts: [
                parts(connection, rows.of("feeding_part"))?,
                parts(connection, rows.of("feeding_food"))?,
            ]
            .concat(),
        },
        "discard" => EntryDetail::Discard {
            parts: parts(connection, rows.of(kind))?,
            why: text("why"),
        },
        "purchase" => EntryDetail::Purchase {
            food: text("food"),
            name: text("name"),
            mass: Mass::from_grams(figure("grams")?),
            price: rows.text(kind, "price").parse().ok(),
            currency: text("currency"),
            store: text("store"),
        },
        "milk" => EntryDetail::Milk {
            one_day: one_day(),
            parts: parts(connection, rows.of("milk_part"))?,
        },
        "plan" => plan(connection, rows)?,
        "question" => EntryDetail::Question { words },
        "answer" => {
            let question = number("question")?;
            EntryDetail::Answer { question, words }
        }
        "clearance" => {
            let food = rows.text(kind, "food");
            let name = named(connection, food)?.unwrap_or_else(|| food.to_string());
            EntryDetail::Clearance { name, words }
        }
        "reaction" => {
            let meal = number("feeding")?;
            EntryDetail::Reaction { meal, words }
        }
        "known" => EntryDetail::Known {
            food: text("food"),
            name: text("name"),
            reaction: text("reaction"),
            words,
        },
        "measure" => {
            let (what, value) = (text("what"), figure("value")?);
            EntryDetail::Measure { what, value }
        }
        "supplement" => {
            let nutrient = u16::try_from(number("number")?).map_err(|_| lacking("number"))?;
            EntryDetail::Supplement {
                product: text("product"),
                nutrient: NutrientId::new(nutrient),
                amount: figure("amount")?,
                one_day: one_day(),
            }
        }
        "note" => {
            let topic = text("topic");
            EntryDetail::Note { topic, words }
        }
        "texture" => {
            let stage = text("stage");
            EntryDetail::Texture { stage }
        }
        "whole_day" => EntryDetail::WholeDay,
        "rename" => {
            let (former, later) = (text("former"), text("later"));
            EntryDetail::Rename { former, later }
        }
        "visit" => EntryDetail::Visit { words },
        _ => return Err(rusqlite::Error::InvalidQuery),
    })
}

/// The parts of a meal, a milk, or cubes thrown away, which are distinguished by their columns.
fn parts(connection: &Connection, rows: &[RecordRow]) -> rusqlite::Result<Vec<EntryPart>> {
    let mut parts = Vec::new();
    for row in rows {
        if row.contains_key("batch") {
            let batch = whole(row, "batch")?;
            let title = text_of(
                connection,
                "SELECT title FROM batch WHERE entry = ?1",
                batch,
            )?;
            parts.push(EntryPart::Cubes(cubes(row)?, title, batch));
            continue;
        }
        let number = whole(row, "food")?;
        let name = text_of(connection, "SELECT name FROM food WHERE id = ?1", number)?;
        let feeds = row.get("feeds").and_then(Value::as_u64);
        parts.push(match (row.get("grams").and_then(Value::as_f64), feeds) {
            (Some(grams), _) => {
                let id = text_of(connection, "SELECT food FROM food WHERE id = ?1", number)?;
                EntryPart::Food {
                    mass: Mass::from_grams(grams),
                    name,
                    id,
                    typed: typed(row),
                }
            }
            (None, Some(_)) => EntryPart::Feeds(count(row, "feeds")?, name),
            (None, None) => EntryPart::Wanted(name),
        });
    }
    Ok(parts)
}

/// The typed words for a food; a row that was kept before the column existed has none.
fn typed(row: &RecordRow) -> String {
    let typed = row.get("typed").and_then(Value::as_str);
    typed.unwrap_or_default().to_string()
}

fn plan(connection: &Connection, rows: &Rows) -> rusqlite::Result<EntryDetail> {
    let slots = rows.of("planned");
    let of_child = |row: &&RecordRow| row.get("child").and_then(Value::as_str) != Some("");
    let meals = slots.iter().filter(of_child).count();
    let mut days: Vec<Date> = slots
        .iter()
        .filter_map(|row| row.get("day")?.as_str()?.parse().ok())
        .collect();
    days.sort();
    days.dedup();
    let mut parts = Vec::new();
    for row in rows.of("planned_part") {
        let what = row.get("what").and_then(Value::as_str).unwrap_or_default();
        let number = |column: &str| row.get(column).is_some_and(Value::is_number);
        parts.push(if number("cubes") {
            EntryPart::Cubes(cubes(row)?, what.to_string(), 0)
        } else if number("trays") {
            EntryPart::Trays(count(row, "trays")?, what.to_string())
        } else {
            let grams = row.get("grams").and_then(Value::as_f64);
            let name = named(connection, what)?.unwrap_or_else(|| what.to_string());
            grams.map_or(EntryPart::Wanted(name.clone()), |grams| EntryPart::Food {
                mass: Mass::from_grams(grams),
                name,
                id: what.to_string(),
                typed: typed(row),
            })
        });
    }
    Ok(EntryDetail::Plan {
        days,
        meals,
        cooking: slots.len() - meals,
        parts,
    })
}

/// The child of a plan, if it is of one child alone.
fn planned_child(rows: &Rows) -> String {
    let children = rows
        .of("planned")
        .iter()
        .filter_map(|row| row.get("child")?.as_str());
    let mut children: Vec<&str> = children.filter(|child| !child.is_empty()).collect();
    children.dedup();
    match children.as_slice() {
        [child] => (*child).to_string(),
        _ => String::new(),
    }
}

/// The name of a food by its id; `None` where the record does not have it.
fn named(connection: &Connection, food: &str) -> rusqlite::Result<Option<String>> {
    let sql = "SELECT name FROM (SELECT name FROM food WHERE food = ?1 UNION ALL \
               SELECT name FROM batch_food WHERE food = ?1 UNION ALL \
               SELECT name FROM known WHERE food = ?1) LIMIT 1";
    first_row(connection, sql, [food], |row| row.get(0))
}

/// A text by a number; empty where it is gone.
fn text_of(connection: &Connection, sql: &str, id: i64) -> rusqlite::Result<String> {
    let found = first_row(connection, sql, [id], |row| row.get(0))?;
    Ok(found.unwrap_or_default())
}

/// The row that every entry of a kind has in the table of that name.
fn first<'a>(rows: &'a Rows, table: &str) -> rusqlite::Result<&'a RecordRow> {
    rows.of(table).first().ok_or_else(|| lacking(table))
}

fn whole(row: &RecordRow, column: &str) -> rusqlite::Result<i64> {
    let number = row.get(column).and_then(Value::as_i64);
    number.ok_or_else(|| lacking(column))
}

fn count(row: &RecordRow, column: &str) -> rusqlite::Result<u32> {
    u32::try_from(whole(row, column)?).map_err(|_| lacking(column))
}

/// The cubes of a part; a version from before there were halves has whole ones.
fn cubes(row: &RecordRow) -> rusqlite::Result<CubeCount> {
    let halved = match row.get("halved") {
        None | Some(Value::Null) => 0,
        Some(_) => count(row, "halved")?,
    };
    Ok(CubeCount::new(count(row, "cubes")?, halved))
}

fn lacking(what: &str) -> rusqlite::Error {
    rusqlite::Error::InvalidColumnName(what.to_string())
}
