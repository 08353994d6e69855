//! The meals and the clearances of a child, as the record has them.

use std::collections::BTreeMap;
use std::ops::Not as _;

use jiff::civil::Date;
use rusqlite::{Connection, Row, Rows};

use super::meal::{BatchFoods, Moment, Seen, TastedMeal};
use crate::notebook::feeding::{How, share_eaten};
use crate::notebook::freezer::{BatchFood, parsed};

/// Every meal of a child, by day and entry.
pub(super) fn meals(connection: &Connection, child: &str) -> rusqlite::Result<Vec<TastedMeal>> {
    let mut select = connection.prepare(
        "SELECT feeding.entry, feeding_part.batch, entry.day, how, reaction, share \
         FROM feeding JOIN entry ON entry.id = feeding.entry \
         LEFT JOIN feeding_part ON feeding_part.feeding = feeding.entry \
         WHERE feeding.child = ?1 ORDER BY feeding.entry",
    )?;
    let mut others = others(connection, child)?;
    let mut later = later_reactions(connection, child)?;
    let mut rows = select.query([child])?;
    let mut meals: Vec<TastedMeal> = Vec::new();
    let mut days = DaysOfRows::default();
    while let Some(row) = rows.next()? {
        let entry: i64 = row.get(0)?;
        let batch: Option<i64> = row.get(1)?;
        if let Some(meal) = meals.last_mut().filter(|meal| meal.at.entry == entry) {
            meal.batches.extend(batch);
            continue;
        }
        let how = How::from_word(row.get_ref(3)?.as_str()?);
        let (share, _) = share_eaten(how, row.get(5)?);
        let at = Moment {
            day: days.parsed(row, 2)?,
            entry,
        };
        let with_it: String = row.get(4)?;
        let mut reactions: Vec<Seen> = with_it
            .is_empty()
            .not()
            .then_some(Seen { at, words: with_it })
            .into_iter()
            .collect();
        reactions.extend(later.remove(&entry).unwrap_or_default());
        meals.push(TastedMeal {
            at,
            how,
            eaten: share > 0.0,
            reactions,
            batches: batch.into_iter().collect(),
            others: others.remove(&entry).unwrap_or_default(),
        });
    }
    meals.extend(known(connection, child)?);
    meals.sort_by_key(|meal| meal.at);
    Ok(meals)
}

/// The day of row after row. Rows that follow each other are mostly of one day, which is parsed once.
#[derive(Default)]
struct DaysOfRows {
    text: String,
    day: Option<Date>,
}

impl DaysOfRows {
    fn parsed(&mut self, row: &Row<'_>, column: usize) -> rusqlite::Result<Date> {
        let text = row.get_ref(column)?.as_str()?;
        match self.day.filter(|_| self.text == text) {
            Some(day) => Ok(day),
            None => {
                let day = parsed(row, column)?;
                self.text.replace_range(.., text);
                Ok(*self.day.insert(day))
            }
        }
    }
}

/// The reactions that were written down after the meal, by the entry of the meal.
fn later_reactions(
    connection: &Connection,
    child: &str,
) -> rusqlite::Result<BTreeMap<i64, Vec<Seen>>> {
    let mut select = connection.prepare(
        "SELECT reaction.feeding, entry.day, entry.id, words FROM reaction \
         JOIN entry ON entry.id = reaction.entry JOIN feeding ON feeding.entry = reaction.feeding \
         WHERE child = ?1 ORDER BY entry.day, entry.id",
    )?;
    let mut rows = select.query([child])?;
    let mut later: BTreeMap<i64, Vec<Seen>> = BTreeMap::new();
    while let Some(row) = rows.next()? {
        let at = Moment {
            day: parsed(row, 1)?,
            entry: row.get(2)?,
        };
        let words = row.get(3)?;
        later
            .entry(row.get(0)?)
            .or_default()
            .push(Seen { at, words });
    }
    Ok(later)
}

/// The foods that a child had away from this record, as meals of one food.
fn known(connection: &Connection, child: &str) -> rusqlite::Result<Vec<TastedMeal>> {
    connection
        .prepare(
            "SELECT entry.day, entry.id, reaction, food, name, allergens, NULL FROM known \
             JOIN entry ON entry.id = known.entry WHERE child = ?1",
        )?
        .query_map([child], |row| {
            let at = Moment {
                day: parsed(row, 0)?,
                entry: row.get(1)?,
            };
            let words: String = row.get(2)?;
            let seen = (!words.is_empty()).then_some(Seen { at, words });
            Ok(TastedMeal {
                at,
                how: How::Taken,
                eaten: true,
                reactions: seen.into_iter().collect(),
                batches: Vec::new(),
                others: vec![BatchFood::read(row, 3)?],
            })
        })?
        .collect()
}

/// Every clearance of a food, by day and entry.
pub(super) fn clearances(
    connection: &Connection,
    child: &str,
) -> rusqlite::Result<Vec<(String, Moment)>> {
    let mut select = connection.prepare(
        "SELECT food, entry.day, entry.id FROM clearance JOIN entry ON entry.id = clearance.entry \
         WHERE child = ?1 ORDER BY entry.day, entry.id",
    )?;
    let rows = select.query_map([child], |row| {
        let at = Moment {
            day: parsed(row, 1)?,
            entry: row.get(2)?,
        };
        Ok((row.get(0)?, at))
    })?;
    rows.collect()
}

/// The foods of a child's meals that were not cooked in a batch, by entry.
fn others(connection: &Connection, child: &str) -> rusqlite::Result<BTreeMap<i64, Vec<BatchFood>>> {
    let mut select = connection.prepare(
        "SELECT feeding_food.feeding, food.food, food.name, food.allergens, 'none' \
         FROM feeding_food JOIN food ON food.id = feeding_food.food \
         JOIN feeding ON feeding.entry = feeding_food.feeding WHERE feeding.child = ?1",
    )?;
    let mut rows = select.query([child])?;
    gathered(&mut rows)
}

/// The foods of every batch.
pub(super) fn cooked(connection: &Connection) -> rusqlite::Result<BatchFoods> {
    let mut select =
        connection.prepare("SELECT batch, food, name, allergens, method FROM batch_food")?;
    let mut rows = select.query([])?;
    gathered(&mut rows)
}

/// Foods by the number in front of them.
fn gathered(rows: &mut Rows<'_>) -> rusqlite::Result<BTreeMap<i64, Vec<BatchFood>>> {
    let mut foods: BTreeMap<i64, Vec<BatchFood>> = BTreeMap::new();
    while let Some(row) = rows.next()? {
        let food = BatchFood::read(row, 1)?;
        foods.entry(row.get(0)?).or_default().push(food);
    }
    Ok(foods)
}
