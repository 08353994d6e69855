//! The meals that a child has had, with their servings.

use std::collections::BTreeMap;

use jiff::civil::Date;
use rusqlite::{Connection, params};

use super::BookError;
use super::cubes::cubes;
use super::feeding::{How, share_eaten};
use super::larder::Larder;
use super::sql::{parsed, rows};
use super::store::Store;
use super::tastes::Reaction;
use crate::nutrition::{Meal, Serving, Source};
use crate::portion::CubeCount;
use crate::safety::tells_of_reaction;

/// A meal on record.
#[derive(Debug, Clone, PartialEq)]
pub struct Eaten {
    /// Number of the entry.
    pub entry: i64,
    /// The day.
    pub day: Date,
    /// How much of the meal was eaten.
    pub how: How,
    /// The reactions that were seen afterwards, in the parent's words, by day.
    pub reactions: Vec<Reaction>,
    /// The batches from which the meal was taken, with the number of cubes of each.
    pub cubes: Vec<(i64, CubeCount)>,
    /// The servings, with the share of them that was eaten.
    pub meal: Meal,
}

impl Store {
    /// Every meal of a child from one day to another, both included, in the order of the record.
    pub fn eaten(&self, child: &str, from: Date, to: Date) -> Result<Vec<Eaten>, BookError> {
        self.read(|connection| {
            // One transaction, so that all values are of one moment.
            let moment = connection.unchecked_transaction()?;
            let mut eaten = heads(&moment, child, from, to)?;
            fill(&moment, &mut eaten)?;
            Ok(eaten)
        })
    }
}

/// The servings of one meal.
pub(super) fn servings_of(connection: &Connection, entry: i64) -> rusqlite::Result<Vec<Serving>> {
    let mut eaten = [Eaten::empty(entry)];
    fill(connection, &mut eaten)?;
    let [eaten] = eaten;
    Ok(eaten.meal.servings)
}

impl Eaten {
    fn empty(entry: i64) -> Self {
        Self {
            entry,
            day: Date::ZERO,
            how: How::Taken,
            reactions: Vec::new(),
            cubes: Vec::new(),
            meal: Meal {
                name: String::new(),
                servings: Vec::new(),
                share: 1.0,
                estimated: false,
            },
        }
    }
}

fn heads(
    connection: &Connection,
    child: &str,
    from: Date,
    to: Date,
) -> rusqlite::Result<Vec<Eaten>> {
    let sql = "SELECT feeding.entry, entry.day, how, reaction, meal, share \
               FROM feeding JOIN entry ON entry.id = feeding.entry \
               WHERE child = ?1 AND entry.day BETWEEN ?2 AND ?3 ORDER BY entry.day, feeding.entry";
    let days = params![child, from.to_string(), to.to_string()];
    let mut eaten: Vec<Eaten> = rows(connection, sql, days, |row| {
        let word: String = row.get(2)?;
        let how = How::from_word(&word);
        let (share, estimated) = share_eaten(how, row.get(5)?);
        let mut eaten = Eaten::empty(row.get(0)?);
        eaten.meal.name = row.get(4)?;
        eaten.meal.share = share;
        eaten.meal.estimated = estimated;
        let (day, words): (Date, String) = (parsed(row, 1)?, row.get(3)?);
        let with_it = tells_of_reaction(&words).then_some(Reaction {
            day,
            seen: day,
            words,
        });
        Ok(Eaten {
            day,
            how,
            reactions: with_it.into_iter().collect(),
            ..eaten
        })
    })?;
    add_later_reactions(connection, child, &mut eaten)?;
    Ok(eaten)
}

/// Adds the reactions that were recorded after the entry of the meal.
fn add_later_reactions(
    connection: &Connection,
    child: &str,
    eaten: &mut [Eaten],
) -> rusqlite::Result<()> {
    let mut select = connection.prepare_cached(
        "SELECT reaction.feeding, entry.day, words FROM reaction \
         JOIN entry ON entry.id = reaction.entry JOIN feeding ON feeding.entry = reaction.feeding \
         WHERE child = ?1 ORDER BY entry.day, entry.id",
    )?;
    let mut rows = select.query([child])?;
    while let Some(row) = rows.next()? {
        let (meal, words): (i64, String) = (row.get(0)?, row.get(2)?);
        let of_meal = eaten.iter_mut().find(|eaten| eaten.entry == meal);
        if let Some(eaten) = of_meal.filter(|_| tells_of_reaction(&words)) {
            eaten.reactions.push(Reaction {
                day: eaten.day,
                seen: parsed(row, 1)?,
                words,
            });
        }
    }
    Ok(())
}

/// Fills in the servings.
fn fill(connection: &Connection, eaten: &mut [Eaten]) -> rusqlite::Result<()> {
    let mut parts =
        connection.prepare("SELECT batch, cubes, halved FROM feeding_part WHERE feeding = ?1")?;
    let mut foods =
        connection.prepare("SELECT food, grams, typed FROM feeding_food WHERE feeding = ?1")?;
    let mut larder = Larder::of(connection);
    let mut known: BTreeMap<i64, Serving> = BTreeMap::new();
    for eaten in eaten {
        let rows = parts.query_map([eaten.entry], |row| {
            Ok((row.get(0)?, CubeCount::new(row.get(1)?, row.get(2)?)))
        })?;
        eaten.cubes = rows.collect::<Result<_, _>>()?;
        for (batch, count) in &eaten.cubes {
            if !known.contains_key(batch) {
                known.extend(cubes(connection, &[*batch])?);
            }
            let cube = known
                .get(batch)
                .ok_or(rusqlite::Error::QueryReturnedNoRows)?;
            eaten.meal.servings.push(cube.times(count.served()));
        }
        let rows = foods.query_map([eaten.entry], |row| {
            Ok((row.get(0)?, row.get(1)?, row.get::<_, String>(2)?))
        })?;
        for row in rows {
            let (food, grams, typed) = row?;
            let serving = larder.serving(food, grams, Source::Other)?;
            eaten.meal.servings.push(serving.typed_as(&typed));
        }
    }
    Ok(())
}
