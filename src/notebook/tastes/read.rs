//! The meals and the clearances of a child, as the record has them.

use std::collections::BTreeMap;

use jiff::civil::Date;
use rusqlite::{Connection, Rows, params};

use super::meal::{Cooked, Moment, TastedMeal};
use crate::notebook::feeding::{How, share_eaten};
use crate::notebook::freezer::{BatchFood, parsed};

/// Every meal of a child up to and including a day, by day and entry.
pub(super) fn meals(
    connection: &Connection,
    child: &str,
    today: Date,
) -> rusqlite::Result<Vec<TastedMeal>> {
    let mut select = connection.prepare(
        "SELECT feeding.entry, feeding_part.batch, entry.day, how, reaction, share \
         FROM feeding JOIN entry ON entry.id = feeding.entry \
         LEFT JOIN feeding_part ON feeding_part.feeding = feeding.entry \
         WHERE feeding.child = ?1 AND entry.day <= ?2 ORDER BY entry.day, feeding.entry",
    )?;
    let mut others = others(connection, child)?;
    let mut rows = select.query(params![child, today.to_string()])?;
    let mut meals: Vec<TastedMeal> = Vec::new();
    while let Some(row) = rows.next()? {
        let entry: i64 = row.get(0)?;
        let batch: Option<i64> = row.get(1)?;
        if let Some(meal) = meals.last_mut().filter(|meal| meal.at.entry == entry) {
            meal.batches.extend(batch);
            continue;
        }
        let how: String = row.get(3)?;
        let how = How::from_word(&how);
        let (share, _) = share_eaten(how, row.get(5)?);
        meals.push(TastedMeal {
            at: Moment {
                day: parsed(row, 2)?,
                entry,
            },
            how,
            eaten: share > 0.0,
            reaction: row.get(4)?,
            batches: batch.into_iter().collect(),
            others: others.remove(&entry).unwrap_or_default(),
        });
    }
    Ok(meals)
}

/// The last clearance of each food, by the id of the food.
pub(super) fn clearances(
    connection: &Connection,
    child: &str,
    today: Date,
) -> rusqlite::Result<BTreeMap<String, Moment>> {
    let mut select = connection.prepare(
        "SELECT food, entry.day, entry.id FROM clearance JOIN entry ON entry.id = clearance.entry \
         WHERE child = ?1 AND entry.day <= ?2 ORDER BY entry.day, entry.id",
    )?;
    let rows = select.query_map(params![child, today.to_string()], |row| {
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
pub(super) fn cooked(connection: &Connection) -> rusqlite::Result<Cooked> {
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
