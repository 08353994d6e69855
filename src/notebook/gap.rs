//! Days without a record, and the answers of the household about them afterwards.

use std::collections::BTreeSet;

use jiff::civil::Date;
use rusqlite::{Connection, Transaction};

use super::error::BookError;
use super::feeding::{Feeding, write_meal};
use super::note::write_note;
use super::sql::{parsed, rows};
use super::store::{Store, WriteError};
use super::{Note, Served};
use crate::problem::Problem;
use crate::words;

/// The topic of the note on a day whose meals are not known.
pub const GAP_TOPIC: &str = "gap";

/// The words of the note on a day whose meals are not known.
const NOT_KNOWN: &str = "what was eaten is not known";

/// What was recorded for days that had been left out.
#[derive(Debug, Clone, PartialEq)]
pub struct FilledGap {
    /// The meals.
    pub meals: Vec<Served>,
    /// The numbers of the notes that say that a day is not known.
    pub not_known: Vec<i64>,
}

impl Store {
    /// The day of the first meal of a child on record.
    pub fn first_meal(&self, child: &str) -> Result<Option<Date>, BookError> {
        // The index by day finds the first one at once, in a record of years too.
        let sql = "SELECT entry.day FROM entry INDEXED BY entry_day \
                   CROSS JOIN feeding ON feeding.entry = entry.id \
                   WHERE child = ?1 ORDER BY entry.day LIMIT 1";
        self.first(sql, [child], |row| parsed(row, 0))
    }

    /// The days from one to another, both included, on which a child has a meal, or that are marked
    /// as not known.
    pub fn recorded_days(
        &self,
        child: &str,
        (from, to): (Date, Date),
    ) -> Result<BTreeSet<Date>, BookError> {
        self.read(|connection| recorded(connection, child, (from, to)))
    }

    /// Records meals of children on days that had none, and the days of which nobody knows, all of it or nothing.
    ///
    /// Errors: another entry filled one of the days meanwhile; the freezer lacks a cube.
    pub fn fill_gaps(&mut self, gaps: &[GapFilling<'_>]) -> Result<Vec<FilledGap>, BookError> {
        self.write(|transaction| gaps.iter().map(|gap| gap.write(transaction)).collect())
    }
}

/// What is said of the days of a child of which nothing was written down.
#[derive(Debug)]
pub struct GapFilling<'a> {
    /// The child.
    pub child: &'a str,
    /// The meals.
    pub feedings: Vec<Feeding<'a>>,
    /// The days of which nobody knows.
    pub not_known: &'a [Date],
}

impl GapFilling<'_> {
    fn write(&self, transaction: &Transaction<'_>) -> Result<FilledGap, WriteError> {
        let days = self.feedings.iter().map(|feeding| feeding.day);
        for day in days.chain(self.not_known.iter().copied()) {
            if !recorded(transaction, self.child, (day, day))?.is_empty() {
                let what = format!("{} is on record by now", words::day(day));
                return Err(Problem::new(what).into());
            }
        }
        let meals = self.feedings.iter();
        let meals = meals.map(|feeding| write_meal(transaction, feeding));
        let meals = meals.collect::<Result<_, _>>()?;
        let notes = self.not_known.iter().map(|day| {
            let note = Note {
                day: *day,
                topic: GAP_TOPIC.into(),
                words: NOT_KNOWN.into(),
            };
            write_note(transaction, self.child, &note)
        });
        Ok(FilledGap {
            meals,
            not_known: notes.collect::<Result<_, _>>()?,
        })
    }
}

fn recorded(
    connection: &Connection,
    child: &str,
    (from, to): (Date, Date),
) -> rusqlite::Result<BTreeSet<Date>> {
    let sql = "SELECT day FROM entry JOIN feeding ON feeding.entry = entry.id \
               WHERE child = ?1 AND day BETWEEN ?2 AND ?3 \
               UNION SELECT day FROM entry JOIN note ON note.entry = entry.id \
               WHERE child = ?1 AND day BETWEEN ?2 AND ?3 AND topic = ?4";
    let asked = [child, &from.to_string(), &to.to_string(), GAP_TOPIC];
    rows(connection, sql, asked, |row| parsed(row, 0))
}
