//! Weight, length and head size of a child, each with its day. They are listed without any
//! judgement.

use std::collections::BTreeMap;

use jiff::ToSpan as _;
use jiff::civil::Date;
use rusqlite::ToSql;
use serde::Serialize;

use super::Child;
use super::error::BookError;
use super::sql::{parsed, write_entry};
use super::store::Store;
use crate::quantity::Mass;

/// What was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Measured {
    /// Weight, in grams.
    Weight,
    /// Length, in centimetres.
    Length,
    /// Size of the head, in centimetres.
    Head,
}

impl Measured {
    /// The word for it in the record.
    pub fn word(self) -> &'static str {
        match self {
            Self::Weight => "weight",
            Self::Length => "length",
            Self::Head => "head",
        }
    }

    /// What a word in the record stands for.
    pub fn from_word(word: &str) -> Self {
        match word {
            "weight" => Self::Weight,
            "length" => Self::Length,
            _ => Self::Head,
        }
    }
}

/// A measurement of a child.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Measurement {
    /// The day.
    pub day: Date,
    /// What was measured.
    pub what: Measured,
    /// The value, in grams or centimetres.
    pub value: f64,
}

impl Store {
    /// Records measurements of a child, each as an entry of its own; returns their numbers.
    pub fn measure(
        &mut self,
        child: &str,
        measurements: &[Measurement],
    ) -> Result<Vec<i64>, BookError> {
        self.write_each(measurements, |transaction, measurement| {
            let columns: [(&str, &dyn ToSql); 3] = [
                ("child", &child),
                ("what", &measurement.what.word()),
                ("value", &measurement.value),
            ];
            Ok(write_entry(
                transaction,
                measurement.day,
                "measure",
                &columns,
            )?)
        })
    }

    /// The measurements of a child up to and including a day, by day.
    pub fn measurements(&self, child: &str, until: Date) -> Result<Vec<Measurement>, BookError> {
        let sql = "SELECT entry.day, what, value FROM measure JOIN entry ON entry.id = measure.entry \
                   WHERE child = ?1 AND entry.day <= ?2 ORDER BY entry.day, entry.id";
        self.rows(sql, [child, &until.to_string()], |row| {
            let what: String = row.get(1)?;
            Ok(Measurement {
                day: parsed(row, 0)?,
                what: Measured::from_word(&what),
                value: row.get(2)?,
            })
        })
    }

    /// The weight of a child on each day from one to another, both included, as far as it is known.
    pub fn weights(
        &self,
        child: &Child,
        (from, to): (Date, Date),
    ) -> Result<BTreeMap<Date, Mass>, BookError> {
        let all = self.measurements(&child.name, to)?;
        let weights: Vec<&Measurement> = all
            .iter()
            .filter(|measurement| measurement.what == Measured::Weight)
            .collect();
        let on = |day: Date| {
            let last = weights.iter().rev().find(|weight| weight.day <= day);
            last.map_or(child.weight, |weight| Some(Mass::from_grams(weight.value)))
        };
        let days = from.series(1.day()).take_while(|day| *day <= to);
        Ok(days.filter_map(|day| Some((day, on(day)?))).collect())
    }

    /// The weight of a child on a day: the last on record up to then, else that of `book.toml`.
    pub fn weight(&self, child: &Child, day: Date) -> Result<Option<Mass>, BookError> {
        let all = self.measurements(&child.name, day)?;
        let mut weights = all
            .iter()
            .filter(|measurement| measurement.what == Measured::Weight);
        Ok(match weights.next_back() {
            Some(weight) => Some(Mass::from_grams(weight.value)),
            None => child.weight,
        })
    }
}
