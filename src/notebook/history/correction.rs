//! Corrections of an entry of the record. Fields that are left out stay as they are.

use jiff::ToSpan as _;
use jiff::civil::Date;
use rusqlite::types::ToSql;
use rusqlite::{Connection, Transaction, params};

use super::correction_fields::refuse_others;
use super::entries::{LogEntry, entry_as};
use super::numbers::{self, Sort};
use super::rows::Rows;
use super::undo::known;
use super::{Act, NewChange};
use crate::cost::Money;
use crate::next_step::{NextStep, Remark};
use crate::notebook::error::BookError;
use crate::notebook::feeding::{How, Pick, fill};
use crate::notebook::larder::Helping;
use crate::notebook::milk::{MilkPart, write_parts};
use crate::notebook::pace::days_between;
use crate::notebook::sql::parsed;
use crate::notebook::store::{Store, WriteError};
use crate::notebook::take_cubes::take_whole;
use crate::portion::{Cubes, Filled};
use crate::problem::Problem;
use crate::quantity::Mass;

/// The changes to an entry.
#[derive(Debug, Clone, Default)]
pub struct Correction {
    /// The day; the last day of a batch moves with it.
    pub day: Option<Date>,
    /// The child.
    pub child: Option<String>,
    /// The name of a meal.
    pub meal: Option<String>,
    /// How a meal went.
    pub how: Option<How>,
    /// The share of a meal that was eaten, 0 to 1.
    pub share: Option<f64>,
    /// The reaction that was recorded with a meal; empty for none.
    pub reaction: Option<String>,
    /// Other servings in place of those of a meal, or other cubes in place of those thrown away.
    pub servings: Option<(Vec<Pick>, Vec<Helping>)>,
    /// Further servings of a meal.
    pub more: Option<(Vec<Pick>, Vec<Helping>)>,
    /// Cubes that a batch made, counted again: the batch is spread over them.
    pub cubes: Option<u32>,
    /// The title of a batch.
    pub title: Option<String>,
    /// The mass of a purchase as bought.
    pub mass: Option<Mass>,
    /// Id and name of the food that was bought.
    pub food: Option<(String, String)>,
    /// The price of a purchase.
    pub price: Option<Money>,
    /// The shop.
    pub store: Option<String>,
    /// The milks of a day.
    pub milk: Option<Vec<MilkPart>>,
    /// Whether a milk or a supplement is for its day alone.
    pub one_day: Option<bool>,
    /// A weight in grams, a length or a head size in centimetres, or the dose of a supplement.
    pub value: Option<f64>,
    /// The words of a question, an answer, a note, a reaction; or why cubes were thrown away.
    pub words: Option<String>,
}

/// An entry before and after a correction.
#[derive(Debug, Clone, PartialEq)]
pub struct Corrected {
    /// The entry as it was.
    pub was: LogEntry,
    /// The entry as it is now.
    pub now: LogEntry,
}

impl Store {
    /// Corrects the entry that `number` names.
    ///
    /// Errors: no such entry; it was taken back; the kind of entry has no such field; nothing would
    /// be different; the same field was corrected since the version that `number` names; another
    /// entry that depends on this one forbids it.
    pub fn correct(
        &mut self,
        number: i64,
        correction: &Correction,
        today: Date,
    ) -> Result<Corrected, BookError> {
        let currency = self.currency.clone();
        self.write(|transaction| {
            let target = known(transaction, number)?.target;
            rewrite(transaction, number, target, today, |kind| {
                apply(transaction, target, kind, correction)?;
                // A price that is typed anew is in the money of the book.
                if correction.price.is_some() {
                    let sql = "UPDATE purchase SET currency = ?2 WHERE entry = ?1";
                    transaction.execute(sql, params![target, currency])?;
                }
                Ok(())
            })
        })
    }
}

/// Records what `change` does to the rows of an entry as a correction.
pub(in crate::notebook) fn rewrite(
    transaction: &Transaction<'_>,
    number: i64,
    target: i64,
    today: Date,
    change: impl FnOnce(&str) -> Result<(), WriteError>,
) -> Result<Corrected, WriteError> {
    let Some(former) = Rows::read(transaction, target)? else {
        return Err(gone(transaction, target)?.into());
    };
    let version = numbers::version(transaction, target)?;
    let was = entry_as(transaction, version, target, &former)?;
    change(former.kind())?;
    let later = Rows::read(transaction, target)?.ok_or(rusqlite::Error::QueryReturnedNoRows)?;
    let different = former.differences(&later);
    if different.is_empty() {
        let what = format!("entry {number} says so already: nothing would be different");
        return Err(Problem::new(what).into());
    }
    if number != version
        && let Some(named) = rows_of(transaction, number, target)?
        && !named.differences(&former).is_disjoint(&different)
    {
        let what = format!("the same was corrected since in entry {number}, by {version}");
        return Err(Problem::new(what)
            .hint("if it is still wrong, correct that one")
            .meant(&number.to_string(), &version.to_string())
            .into());
    }
    let change = NewChange {
        day: today,
        target,
        act: Act::Correction,
        undoes: None,
        former: Some(&former),
        later: Some(&later),
    }
    .record(transaction)?;
    Ok(Corrected {
        was,
        now: entry_as(transaction, change, target, &later)?,
    })
}

fn gone(connection: &Connection, target: i64) -> rusqlite::Result<Problem> {
    let what = format!("entry {target} was taken back");
    let undo = numbers::undo_of(connection, target)?;
    let hint = undo.map(|undo| Remark::with("to put it back:", NextStep::Redo(undo)));
    Ok(match hint {
        Some(hint) => Problem::new(what).hint(hint),
        None => Problem::new(what),
    })
}

/// The rows of an entry in the version that a number names.
fn rows_of(connection: &Connection, number: i64, target: i64) -> rusqlite::Result<Option<Rows>> {
    if let Some(operation) = numbers::operation(connection, number)?
        && let Sort::Correction { later, .. } = operation.sort
    {
        return Ok(Some(later));
    }
    let first: Option<String> = connection.query_row(
        "SELECT former FROM change WHERE target = ?1 ORDER BY entry LIMIT 1",
        [target],
        |row| row.get(0),
    )?;
    first.as_deref().map(Rows::from_json).transpose()
}

/// Writes a correction into the rows of an entry.
fn apply(
    transaction: &Transaction<'_>,
    id: i64,
    kind: &str,
    correction: &Correction,
) -> Result<(), WriteError> {
    refuse_others(kind, correction)?;
    set_columns(transaction, id, kind, correction)?;
    if let Some(day) = correction.day {
        move_to(transaction, id, kind, day)?;
    }
    if let Some(cubes) = correction.cubes {
        count_again(transaction, id, cubes)?;
    }
    if let Some(parts) = &correction.milk {
        transaction.execute("DELETE FROM milk_part WHERE milk = ?1", [id])?;
        write_parts(transaction, id, parts)?;
    }
    servings(transaction, id, kind, correction)
}

/// Sets the corrected fields that are columns of the entry's own row.
fn set_columns(
    transaction: &Transaction<'_>,
    id: i64,
    kind: &str,
    correction: &Correction,
) -> rusqlite::Result<()> {
    let set = |table: &str, column: &str, value: &dyn ToSql| {
        let key = if table == "entry" { "id" } else { "entry" };
        let sql = format!("UPDATE \"{table}\" SET \"{column}\" = ?2 WHERE \"{key}\" = ?1");
        transaction.execute(&sql, params![id, value])
    };
    let table = if kind == "plan" { "planned" } else { kind };
    if let Some(child) = &correction.child {
        set(table, "child", child)?;
    }
    if let Some(meal) = &correction.meal {
        set(table, "meal", meal)?;
    }
    if let Some(how) = correction.how {
        set(table, "how", &how.word())?;
        set(table, "share", &None::<f64>)?;
    }
    if let Some(share) = correction.share {
        set(table, "share", &share)?;
        // A share decides how the meal went, unless that is corrected too; a share of nothing is a
        // refused meal in any case.
        if correction.how.is_none() || share <= 0.0 {
            set(table, "how", &How::of_share(share).word())?;
        }
    }
    if let Some(reaction) = &correction.reaction {
        set(table, "reaction", reaction)?;
    }
    if let Some(title) = &correction.title {
        set(table, "title", title)?;
    }
    if let Some(mass) = correction.mass {
        set(table, "grams", &mass.grams())?;
    }
    if let Some((food, name)) = &correction.food {
        set(table, "food", food)?;
        set(table, "name", name)?;
    }
    if let Some(price) = correction.price {
        set(table, "price", &price.to_string())?;
    }
    if let Some(store) = &correction.store {
        set(table, "store", store)?;
    }
    if let Some(one_day) = correction.one_day {
        set(table, "one_day", &one_day)?;
    }
    if let Some(value) = correction.value {
        let column = if kind == "supplement" {
            "amount"
        } else {
            "value"
        };
        set(table, column, &value)?;
    }
    if let Some(words) = &correction.words {
        let column = if kind == "discard" { "why" } else { "words" };
        set(table, column, words)?;
    }
    Ok(())
}

/// Moves an entry to another day; the last day of a batch moves with the batch.
fn move_to(
    transaction: &Transaction<'_>,
    id: i64,
    kind: &str,
    day: Date,
) -> Result<(), WriteError> {
    let text = day.to_string();
    if kind == "batch" {
        let (was, use_by): (Date, Date) = transaction.query_row(
            "SELECT entry.day, use_by FROM batch JOIN entry ON id = entry WHERE entry = ?1",
            [id],
            |row| Ok((parsed(row, 0)?, parsed(row, 1)?)),
        )?;
        let use_by = use_by.saturating_add(days_between(was, day).days());
        let sql = "UPDATE batch SET use_by = ?2 WHERE entry = ?1";
        transaction.execute(sql, params![id, use_by.to_string()])?;
    }
    transaction.execute("UPDATE entry SET day = ?2 WHERE id = ?1", params![id, text])?;
    Ok(())
}

/// Spreads a batch over another number of cubes, as if they had been counted at once. For a batch
/// from before the mass of a full cube was kept, everything that was frozen is spread.
fn count_again(transaction: &Transaction<'_>, id: i64, cubes: u32) -> Result<(), WriteError> {
    if cubes == 0 {
        return Err(Problem::new("a batch has at least one cube").into());
    }
    let (was, cube, counted): (u32, f64, bool) = transaction.query_row(
        "SELECT cubes, cube_g, counted FROM batch WHERE entry = ?1",
        [id],
        |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
    )?;
    let whole: (Option<f64>, Option<f64>) = transaction.query_row(
        "SELECT puree_g, full_g FROM batch WHERE entry = ?1",
        [id],
        |row| Ok((row.get(0)?, row.get(1)?)),
    )?;
    let filled = match whole {
        (Some(puree), Some(full)) => {
            Cubes::of(Mass::from_grams(puree), Mass::from_grams(full)).filled(cubes, true)
        }
        _ => Filled {
            each: Mass::from_grams(cube * f64::from(was) / f64::from(cubes)),
            counted,
        },
    };
    let factor = filled.each.grams() / cube;
    for sql in [
        "UPDATE batch SET cube_g = cube_g * ?2, liquid_g = liquid_g * ?2 WHERE entry = ?1",
        "UPDATE batch_food SET edible_g = edible_g * ?2, iron_mg = iron_mg * ?2 WHERE batch = ?1",
        "UPDATE batch_nutrient SET frozen = frozen * ?2, served = served * ?2 WHERE batch = ?1",
    ] {
        transaction.execute(sql, params![id, factor])?;
    }
    transaction.execute(
        "UPDATE batch SET cubes = ?2, counted = ?3 WHERE entry = ?1",
        params![id, cubes, filled.counted],
    )?;
    Ok(())
}

fn servings(
    transaction: &Transaction<'_>,
    id: i64,
    kind: &str,
    correction: &Correction,
) -> Result<(), WriteError> {
    let sql = "SELECT day FROM entry WHERE id = ?1";
    let day: Date = transaction.query_row(sql, [id], |row| parsed(row, 0))?;
    if kind == "discard" {
        if let Some((picks, _)) = &correction.servings {
            return thrown_away(transaction, id, day, picks);
        }
        return Ok(());
    }
    if let Some((picks, foods)) = &correction.servings {
        transaction.execute("DELETE FROM feeding_part WHERE feeding = ?1", [id])?;
        transaction.execute("DELETE FROM feeding_food WHERE feeding = ?1", [id])?;
        fill(transaction, id, day, (picks, foods))?;
    }
    if let Some((picks, foods)) = &correction.more {
        fill(transaction, id, day, (picks, foods))?;
    }
    Ok(())
}

fn thrown_away(
    transaction: &Transaction<'_>,
    id: i64,
    day: Date,
    picks: &[Pick],
) -> Result<(), WriteError> {
    let why: String = transaction.query_row(
        "SELECT why FROM discard WHERE entry = ?1 LIMIT 1",
        [id],
        |row| row.get(0),
    )?;
    transaction.execute("DELETE FROM discard WHERE entry = ?1", [id])?;
    for pick in picks {
        for (batch, cubes) in take_whole(transaction, pick, day)? {
            transaction.execute(
                "INSERT INTO discard (entry, batch, cubes, why) VALUES (?1, ?2, ?3, ?4) \
                 ON CONFLICT (entry, batch) DO UPDATE SET cubes = cubes + excluded.cubes",
                params![id, batch.id, cubes, why],
            )?;
        }
    }
    Ok(())
}
