//! Notes in the parent's words, days with every meal on record, and visits at the doctor's.

use std::collections::BTreeSet;

use jiff::civil::Date;
use rusqlite::Transaction;
use serde::Serialize;

use super::error::BookError;
use super::sql::{parsed, write_entry};
use super::store::Store;

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
        let sql = "SELECT entry.day, topic, words FROM note JOIN entry ON entry.id = note.entry \
                   WHERE child = ?1 AND entry.day BETWEEN ?2 AND ?3 ORDER BY entry.day, entry.id";
        let asked = [child, &from.to_string(), &to.to_string()];
        self.rows(sql, asked, |row| {
            Ok(Note {
                day: parsed(row, 0)?,
                topic: row.get(1)?,
                words: row.get(2)?,
            })
        })
    }

    /// Records that every meal of a day is on record; returns the number of the entry.
    pub fn complete(&mut self, child: &str, day: Date) -> Result<i64, BookError> {
        self.write_entry(day, "whole_day", &[("child", &child)])
    }

    /// The days from one to another, both included, of which every meal of a child is on record, as
    /// the household stated.
    pub fn complete_days(
        &self,
        child: &str,
        (from, to): (Date, Date),
    ) -> Result<BTreeSet<Date>, BookError> {
        let sql = "SELECT entry.day FROM whole_day JOIN entry ON entry.id = whole_day.entry \
                   WHERE child = ?1 AND entry.day BETWEEN ?2 AND ?3";
        let asked = [child, &from.to_string(), &to.to_string()];
        self.rows(sql, asked, |row| parsed(row, 0))
    }

    /// Records a visit at the doctor's that took place; returns the number of the entry.
    pub fn visited(&mut self, child: &str, day: Date, words: &str) -> Result<i64, BookError> {
        self.write_entry(day, "visit", &[("child", &child), ("words", &words)])
    }

    /// The last visit of a child before a day.
    pub fn last_visit(&self, child: &str, before: Date) -> Result<Option<Date>, BookError> {
        let sql = "SELECT entry.day FROM visit JOIN entry ON entry.id = visit.entry \
                   WHERE child = ?1 AND entry.day < ?2 ORDER BY entry.day DESC LIMIT 1";
        self.first(sql, [child, &before.to_string()], |row| parsed(row, 0))
    }
}

/// Writes the entry of a note; returns its number.
pub(super) fn write_note(
    transaction: &Transaction<'_>,
    child: &str,
    note: &Note,
) -> rusqlite::Result<i64> {
    write_entry(
        transaction,
        note.day,
        "note",
        &[
            ("child", &child),
            ("topic", &note.topic),
            ("words", &note.words),
        ],
    )
}
