//! Foods that are given as they are: from the table, from a jar, and milk, each with its
//! composition as it was then.

use std::collections::BTreeMap;

use data_import::{Food, FoodId, NutrientId};
use rusqlite::{Connection, Row, Transaction, params};

use super::freezer::split;
use super::sql::rows;
use crate::cooking::Method;
use crate::nutrition::{ServedFood, Serving, Source, Total};
use crate::quantity::Mass;
use crate::safety::AllergenTable;

/// An amount of a food, as it is.
#[derive(Debug, Clone)]
pub struct Helping {
    /// The food.
    pub food: Food,
    /// The mass of the food.
    pub mass: Mass,
    /// The major allergens that its name gives away.
    pub allergens: Vec<String>,
    /// The typed words, with the amount; empty where the food was not typed.
    pub typed: String,
    /// The words of them about the food, which may say what its entry does not: ground almonds;
    /// empty where an id says all.
    pub named: String,
}

impl Helping {
    /// An amount of a food; the major allergens in it are recognised by its name.
    pub fn new(food: Food, mass: Mass, table: &AllergenTable) -> Self {
        let allergens = table.of(&food).map(String::from).collect();
        Self {
            food,
            mass,
            allergens,
            typed: String::new(),
            named: String::new(),
        }
    }

    /// The helping with these words for its food.
    #[must_use]
    pub fn named(self, words: &str) -> Self {
        Self {
            named: words.to_string(),
            ..self
        }
    }

    /// The helping as it is typed to serve it again.
    pub fn spoken(&self) -> String {
        let (grams, id) = (self.mass.grams().round(), &self.food.id);
        match (self.typed.as_str(), self.named.as_str()) {
            ("", "") => format!("{grams} g {id}"),
            ("", named) => format!("{grams} g {named} ({id})"),
            (typed, _) => typed.to_string(),
        }
    }
}

/// Stores the composition of a food, once for as long as it stays the same; returns its number.
pub(super) fn keep(transaction: &Transaction<'_>, helping: &Helping) -> rusqlite::Result<i64> {
    let food = &helping.food;
    let allergens = helping.allergens.join("|");
    let mut kept = transaction.prepare(
        "SELECT id FROM food WHERE food = ?1 AND name = ?2 AND dataset = ?3 AND allergens = ?4",
    )?;
    let key = params![food.id.as_str(), food.name, food.source, allergens];
    let values: Vec<(u16, f64)> = food
        .composition
        .iter()
        .map(|(nutrient, value)| (nutrient.number(), value))
        .collect();
    for id in kept.query_map(key, |row| row.get::<_, i64>(0))? {
        let id = id?;
        if values_of(transaction, id)? == values {
            return Ok(id);
        }
    }
    transaction.execute(
        "INSERT INTO food (food, name, dataset, allergens) VALUES (?1, ?2, ?3, ?4)",
        key,
    )?;
    let id = transaction.last_insert_rowid();
    let mut insert = transaction
        .prepare("INSERT INTO food_nutrient (food, number, per_100g) VALUES (?1, ?2, ?3)")?;
    for (number, value) in values {
        insert.execute(params![id, number, value])?;
    }
    Ok(id)
}

fn values_of(connection: &Connection, id: i64) -> rusqlite::Result<Vec<(u16, f64)>> {
    let sql = "SELECT number, per_100g FROM food_nutrient WHERE food = ?1 ORDER BY number";
    rows(connection, sql, [id], |row| Ok((row.get(0)?, row.get(1)?)))
}

/// 100 g of each kept food, by its number.
pub(super) struct Larder<'a> {
    connection: &'a Connection,
    hundred: BTreeMap<i64, Serving>,
}

impl<'a> Larder<'a> {
    pub(super) fn of(connection: &'a Connection) -> Self {
        Self {
            connection,
            hundred: BTreeMap::new(),
        }
    }

    /// A mass in grams of a stored food.
    pub(super) fn serving(
        &mut self,
        id: i64,
        grams: f64,
        source: Source,
    ) -> rusqlite::Result<Serving> {
        if !self.hundred.contains_key(&id) {
            let serving = hundred(self.connection, id)?;
            self.hundred.insert(id, serving);
        }
        let serving = self
            .hundred
            .get(&id)
            .ok_or(rusqlite::Error::QueryReturnedNoRows)?;
        Ok(Serving {
            source,
            ..serving.times(grams / 100.0)
        })
    }
}

fn hundred(connection: &Connection, id: i64) -> rusqlite::Result<Serving> {
    let values: BTreeMap<u16, f64> = values_of(connection, id)?.into_iter().collect();
    let food = connection.query_row(
        "SELECT food, name, allergens FROM food WHERE id = ?1",
        [id],
        |row| {
            let allergens: String = row.get(2)?;
            Ok(ServedFood {
                id: food_id(row, 0)?,
                name: row.get(1)?,
                edible: Some(Mass::from_grams(100.0)),
                iron: values.get(&NutrientId::IRON.number()).copied(),
                allergens: split(&allergens).map(String::from).collect(),
                method: Some(Method::None),
                typed: String::new(),
            })
        },
    )?;
    let all = data_import::nutrients().map_err(unread)?;
    let totals = all.iter().map(|nutrient| nutrient.id);
    // A label may give more than the batch adds up, such as added sugars.
    let more = values.keys().copied().map(NutrientId::new);
    let nutrients = totals
        .chain(more)
        .map(|id| (id, Total::of(&food.id, values.get(&id.number()).copied())))
        .collect();
    Ok(Serving {
        source: Source::Other,
        what: food.name.clone(),
        mass: Mass::from_grams(100.0),
        nutrients,
        foods: vec![food],
        liquid: Some(Mass::ZERO),
        portion: None,
    })
}

/// The id of a food in a column.
pub(super) fn food_id(row: &Row<'_>, column: usize) -> rusqlite::Result<FoodId> {
    let text: String = row.get(column)?;
    text.parse().map_err(unread)
}

/// The error for a stored value, or a table needed to read it, that cannot be understood.
pub(super) fn unread(error: data_import::Error) -> rusqlite::Error {
    rusqlite::Error::FromSqlConversionFailure(0, rusqlite::types::Type::Text, Box::new(error))
}
