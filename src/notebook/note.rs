//! Notes in the parent's words, days with every meal on record, and visits at the doctor's.

use std::collections::BTreeSet;

use jiff::civil::Date;
use rusqlite::{Transaction, params};
use serde::Serialize;

use super::error::BookError;
use super::freezer::parsed;
use super::store::{Store, new_entry};

/// The topics of a note.
pub const NOTE_TOPICS: [&str; 8] = [
    "stool",
    "vomiting",
    "sleep",
    "texture",
    "haemoglobin",
    "appetite",
    "illness",
    OTHER_TOPIC,
];

/// The topic of a note that names none.
pub const OTHER_TOPIC: &str = "other";

/// Splits a note that begins with a topic into the topic and the note: `stool green`, `Sleep: two
/// naps`. A colon separates the topic from the note; without a colon the word is part of the note.
pub fn topic_of(words: &str) -> Option<(&'static str, &str)> {
    let (first, rest) = words.split_once(char::is_whitespace).unwrap_or((words, ""));
    let name = first.trim_end_matches([':', ',']).to_lowercase();
    let mut topics = NOTE_TOPICS.into_iter();
    let topic = topics.find(|topic| *topic == name && *topic != OTHER_TOPIC)?;
    let parted = first.ends_with(':') && !rest.trim().is_empty();
    Some((topic, if parted { rest.trim() } else { words }))
}

/// A note.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Note {
    /// The day.
    pub day: Date,
    /// The topic, such as sleep, stool, vomiting, texture, haemoglobin.
    pub topic: String,
    /// The note.
    pub words: String,
}

impl Store {
    /// Records a note about a child; returns the number of the entry.
    pub fn note(&mut self, child: &str, note: &Note) -> Result<i64, BookError> {
        self.write(|transaction| Ok(write_note(transaction, child, note)?))
    }

    /// The notes about a child from one day to another, both included, by day.
    pub fn notes(&self, child: &str, (from, to): (Date, Date)) -> Result<Vec<Note>, BookError> {
        self.read(|connection| {
            connection
                .prepare(
                    "SELECT entry.day, topic, words FROM note JOIN entry ON entry.id = note.entry \
                     WHERE child = ?1 AND entry.day BETWEEN ?2 AND ?3 ORDER BY entry.day, entry.id",
                )?
                .query_map(params![child, from.to_string(), to.to_string()], |row| {
                    Ok(Note {
                        day: parsed(row, 0)?,
                        topic: row.get(1)?,
                        words: row.get(2)?,
                    })
                })?
                .collect()
        })
    }

    /// Records that every meal of a day is on record; returns the number of the entry.
    pub fn complete(&mut self, child: &str, day: Date) -> Result<i64, BookError> {
        self.write(|transaction| {
            let id = new_entry(transaction, day, "whole_day")?;
            transaction.execute(
                "INSERT INTO whole_day (entry, child) VALUES (?1, ?2)",
                params![id, child],
            )?;
            Ok(id)
        })
    }

    /// The days from one to another, both included, of which every meal of a child is on record, as
    /// the household stated.
    pub fn complete_days(
        &self,
        child: &str,
        (from, to): (Date, Date),
    ) -> Result<BTreeSet<Date>, BookError> {
        self.read(|connection| {
            connection
                .prepare(
                    "SELECT entry.day FROM whole_day JOIN entry ON entry.id = whole_day.entry \
                     WHERE child = ?1 AND entry.day BETWEEN ?2 AND ?3",
                )?
                .query_map(params![child, from.to_string(), to.to_string()], |row| {
                    parsed(row, 0)
                })?
                .collect()
        })
    }

    /// Records a visit at the doctor's that took place; returns the number of the entry.
    pub fn visited(&mut self, child: &str, day: Date, words: &str) -> Result<i64, BookError> {
        self.write(|transaction| {
            let id = new_entry(transaction, day, "visit")?;
            transaction.execute(
                "INSERT INTO visit (entry, child, words) VALUES (?1, ?2, ?3)",
                params![id, child, words],
            )?;
            Ok(id)
        })
    }

    /// The last visit of a child before a day.
    pub fn last_visit(&self, child: &str, before: Date) -> Result<Option<Date>, BookError> {
        self.read(|connection| {
            connection
                .prepare(
                    "SELECT entry.day FROM visit JOIN entry ON entry.id = visit.entry \
                     WHERE child = ?1 AND entry.day < ?2 ORDER BY entry.day DESC LIMIT 1",
                )?
                .query_map(params![child, before.to_string()], |row| parsed(row, 0))?
                .next()
                .transpose()
        })
    }
}

/// Writes the entry of a note; returns its number.
pub(super) fn write_note(
    transaction: &Transaction<'_>,
    child: &str,
    note: &Note,
) -> rusqlite::Result<i64> {
    let id = new_entry(transaction, note.day, "note")?;
    transaction.execute(
        "INSERT INTO note (entry, child, topic, words) VALUES (?1, ?2, ?3, ?4)",
        params![id, child, note.topic, note.words],
    )?;
    Ok(id)
}
