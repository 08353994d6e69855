//! Reactions that were seen after a meal was recorded.

use jiff::civil::Date;
use rusqlite::ToSql;

use super::error::BookError;
use super::sql::{first, write_entry};
use super::store::Store;
use crate::next_step::NextStep;
use crate::problem::Problem;
use crate::words;

/// A reaction to a meal on record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LaterReaction<'a> {
    /// The day on which it was seen.
    pub day: Date,
    /// The number that the entry of the meal had first.
    pub meal: i64,
    /// What was seen, in the parent's words.
    pub words: &'a str,
}

impl Store {
    /// Records a reaction to a meal; returns the number of the entry.
    ///
    /// Errors: there is no meal with this number; the day is before the meal.
    pub fn react(&mut self, reaction: &LaterReaction<'_>) -> Result<i64, BookError> {
        let meal = reaction.meal;
        self.write(|transaction| {
            let sql =
                "SELECT day FROM entry JOIN feeding ON feeding.entry = entry.id WHERE id = ?1";
            let day: Option<String> = first(transaction, sql, [meal], |row| row.get(0))?;
            let Some(day) = day else {
                let what = format!("entry {meal} is not a meal on record");
                return Err(Problem::new(what).hint(NextStep::SeeHistory).into());
            };
            // Days in ISO 8601 sort like their text.
            if reaction.day.to_string() < day {
                let what = format!(
                    "the meal was on {}, after that day",
                    words::stored_day(&day)
                );
                return Err(Problem::new(what).into());
            }
            let columns: [(&str, &dyn ToSql); 2] = [("feeding", &meal), ("words", &reaction.words)];
            Ok(write_entry(
                transaction,
                reaction.day,
                "reaction",
                &columns,
            )?)
        })
    }
}
