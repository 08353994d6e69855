//! The meals and the clearances of a child, as the record has them.

use std::collections::BTreeMap;

use jiff::civil::Date;
use rusqlite::{Connection, Rows};

use super::meal::{BatchFoods, Moment, Seen, TastedMeal};
use crate::notebook::feeding::{How, share_eaten};
use crate::notebook::freezer::BatchFood;
use crate::notebook::sql::{parsed, rows};
use crate::safety::tells_of_reaction;

/// Every meal of a child, by day and entry.
///
/// The three tables are read side by side, each in the order of its entries: a join would look up
/// each entry again, which takes twice as long over years of meals.
pub(super) fn meals(connection: &Connection, child: &str) -> rusqlite::Result<Vec<TastedMeal>> {
    let mut days = days(connection)?.into_iter();
    let mut parts = parts(connection)?.into_iter().peekable();
    let mut others = others(connection, child)?;
    let mut later = later_reactions(connection, child)?;
    let mut select = connection.prepare(
        "SELECT entry, how, reaction, share FROM feeding WHERE child = ?1 ORDER BY entry",
    )?;
    let mut rows = select.query([child])?;
    let mut meals: Vec<TastedMeal> = Vec::new();
    while let Some(row) = rows.next()? {
        let entry: i64 = row.get(0)?;
        let how = How::from_word(row.get_ref(1)?.as_str()?);
        let (share, _) = share_eaten(how, row.get(3)?);
        let (_, day) = days
            .find(|(id, _)| *id == entry)
            .ok_or(rusqlite::Error::QueryReturnedNoRows)?;
        let at = Moment { day, entry };
        let words: String = row.get(2)?;
        let mut reactions: Vec<Seen> = Vec::new();
        reactions.extend(tells_of_reaction(&words).then_some(Seen { at, words }));
        reactions.extend(later.remove(&entry).unwrap_or_default());
        while parts.next_if(|(feeding, _)| *feeding < entry).is_some() {}
        let of_meal = std::iter::from_fn(|| parts.next_if(|(feeding, _)| *feeding == entry));
        meals.push(TastedMeal {
            at,
            how,
            eaten: share > 0.0,
            reactions,
            batches: of_meal.map(|(_, batch)| batch).collect(),
            others: others.remove(&entry).unwrap_or_default(),
        });
    }
    meals.extend(known(connection, child)?);
    meals.sort_by_key(|meal| meal.at);
    Ok(meals)
}

/// The day of each meal, by its entry.
fn days(connection: &Connection) -> rusqlite::Result<Vec<(i64, Date)>> {
    let sql = "SELECT id, day FROM entry WHERE kind = 'feeding' ORDER BY id";
    let mut select = connection.prepare(sql)?;
    let mut rows = select.query([])?;
    let mut days: Vec<(i64, Date)> = Vec::new();
    let mut written = String::new();
    while let Some(row) = rows.next()? {
        // Consecutive meals are mostly of one day, which is parsed once.
        let text = row.get_ref(1)?.as_str()?;
        let day = match days.last().filter(|_| written == text) {
            Some((_, day)) => *day,
            None => {
                text.clone_into(&mut written);
                parsed(row, 1)?
            }
        };
        days.push((row.get(0)?, day));
    }
    Ok(days)
}

/// The batches of each meal, by its entry.
fn parts(connection: &Connection) -> rusqlite::Result<Vec<(i64, i64)>> {
    let sql = "SELECT feeding, batch FROM feeding_part ORDER BY feeding, batch";
    rows(connection, sql, [], |row| Ok((row.get(0)?, row.get(1)?)))
}

/// The reactions that were recorded after the meal, by the entry of the meal.
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
        let words: String = row.get(3)?;
        if tells_of_reaction(&words) {
            let of_meal = later.entry(row.get(0)?).or_default();
            of_meal.push(Seen { at, words });
        }
    }
    Ok(later)
}

/// The foods that a child had outside the record, as meals of one food.
fn known(connection: &Connection, child: &str) -> rusqlite::Result<Vec<TastedMeal>> {
    let sql = "SELECT entry.day, entry.id, reaction, food, name, allergens, NULL FROM known \
               JOIN entry ON entry.id = known.entry WHERE child = ?1";
    rows(connection, sql, [child], |row| {
        let at = Moment {
            day: parsed(row, 0)?,
            entry: row.get(1)?,
        };
        let words: String = row.get(2)?;
        let seen = tells_of_reaction(&words).then_some(Seen { at, words });
        Ok(TastedMeal {
            at,
            how: How::Taken,
            eaten: true,
            reactions: seen.into_iter().collect(),
            batches: Vec::new(),
            others: vec![BatchFood::read(row, 3)?],
        })
    })
}

/// Every clearance of a food, by day and entry.
pub(super) fn clearances(
    connection: &Connection,
    child: &str,
) -> rusqlite::Result<Vec<(String, Moment)>> {
    let sql = "SELECT food, entry.day, entry.id FROM clearance \
               JOIN entry ON entry.id = clearance.entry \
               WHERE child = ?1 ORDER BY entry.day, entry.id";
    rows(connection, sql, [child], |row| {
        let at = Moment {
            day: parsed(row, 1)?,
            entry: row.get(2)?,
        };
        Ok((row.get(0)?, at))
    })
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

/// Foods grouped by the number in the first column.
fn gathered(rows: &mut Rows<'_>) -> rusqlite::Result<BTreeMap<i64, Vec<BatchFood>>> {
    let mut foods: BTreeMap<i64, Vec<BatchFood>> = BTreeMap::new();
    while let Some(row) = rows.next()? {
        let food = BatchFood::read(row, 1)?;
        foods.entry(row.get(0)?).or_default().push(food);
    }
    Ok(foods)
}
