//! The references with which an average day is compared: reference intakes and Daily Values. The
//! age may pass a bound within the week, so each is the mean over the days.

use std::collections::BTreeSet;

use data_import::{Nutrient, NutrientId};
use serde::Serialize;

use crate::nutrition::Day;
use crate::nutrition::day::interval_parts;
use crate::uncertainty::{Interval, interval_of};
use crate::words::joined;

use super::{DayFigures, Parts, UpperWeek, WeekTables};

/// The figures of a nutrient over the week.
#[derive(Debug, Clone, PartialEq)]
pub struct NutrientWeek {
    /// The nutrient.
    pub nutrient: &'static Nutrient,
    /// An average day of those on record.
    pub per_day: Parts,
    /// The interval of an average day; `None` where it is not known.
    pub interval: Option<Interval>,
    /// The reference intake, where one is set for every one of these days.
    pub reference: Option<Yardstick>,
    /// The upper level, where one is set and a total from food may be held against it.
    pub upper: Option<UpperWeek>,
    /// The Daily Value of US labels.
    pub daily_value: Option<Yardstick>,
}

/// A reference amount a day, and the share of it that was eaten.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Yardstick {
    /// `AI`, `RDA`, `EER`, `DV`; several, joined by "and", where the age changes it within the
    /// week.
    pub kind: String,
    /// Mean amount a day, in the nutrient's unit.
    pub amount: f64,
    /// The amount eaten, in percent of the reference; `None` where nothing is known.
    pub percent: Option<f64>,
    /// Mean estimated average requirement a day; `None` unless one is set for every day.
    pub ear: Option<f64>,
    /// What must be known to read the figure, for each kind in turn; may be empty.
    pub counts: String,
    /// Publications.
    pub source: String,
}

/// The reference of one day.
struct OfDay {
    kind: &'static str,
    amount: f64,
    ear: Option<f64>,
    counts: String,
    source: String,
}

impl NutrientWeek {
    pub(super) fn of(
        nutrient: &'static Nutrient,
        counted: &[&DayFigures],
        days: &[&Day],
        tables: &WeekTables<'_>,
    ) -> Self {
        let per_day = mean(counted, nutrient.id);
        let amount = per_day.amount();
        let reference = |day: &&DayFigures| reference_of(nutrient.id, day, tables);
        let value = |day: &&DayFigures| daily_value_of(nutrient.id, day, tables);
        // Milk that is an estimate makes no share of a requirement of energy: most of it would be guessed.
        let guessed =
            nutrient.id == NutrientId::ENERGY && days.iter().any(|day| day.milk_is_estimated());
        let shared = amount.filter(|_| !guessed);
        Self {
            nutrient,
            reference: yardstick(counted.iter().map(reference).collect(), shared),
            upper: UpperWeek::of(nutrient.id, counted, tables),
            interval: interval_of_days(nutrient.id, days, &per_day),
            daily_value: yardstick(counted.iter().map(value).collect(), amount),
            per_day,
        }
    }
}

/// The interval of one day, or of an average day of several: that of all days together, whose
/// doubts add by cause. `per_day` is the amount of the average day; `None` where that or its doubts
/// are not known.
pub fn interval_of_days(nutrient: NutrientId, days: &[&Day], per_day: &Parts) -> Option<Interval> {
    let share = 1.0 / days.len().max(1) as f64;
    let all = (per_day.amount()? / share, per_day.complete());
    let parts = interval_parts(days.iter().copied(), nutrient);
    Some(interval_of(nutrient, all, parts)?.times(share))
}

/// The amount of a nutrient on an average of these days.
pub fn mean(counted: &[&DayFigures], nutrient: NutrientId) -> Parts {
    let mut sum = Parts::nothing();
    for parts in counted.iter().filter_map(|day| day.parts(nutrient)) {
        sum.add(parts);
    }
    if counted.is_empty() {
        return sum;
    }
    sum.times(1.0 / counted.len() as f64)
}

/// The reference of a day: the intake at the age on that day; for energy the requirement of the
/// child, if its weight is known.
fn reference_of(nutrient: NutrientId, day: &DayFigures, tables: &WeekTables<'_>) -> Option<OfDay> {
    if nutrient == NutrientId::ENERGY {
        let need = tables.requirements.get(&day.date)?;
        return Some(OfDay {
            kind: "EER",
            amount: need.kcal,
            ear: None,
            counts: "all food and milk of the day".into(),
            source: need.source.into(),
        });
    }
    let intake = tables.intakes.intake(nutrient, day.age)?;
    Some(OfDay {
        kind: intake.kind.label(),
        amount: intake.amount,
        ear: intake.ear,
        counts: intake.counts,
        source: intake.source,
    })
}

fn daily_value_of(
    nutrient: NutrientId,
    day: &DayFigures,
    tables: &WeekTables<'_>,
) -> Option<OfDay> {
    Some(OfDay {
        kind: "DV",
        amount: tables.daily_values.of(nutrient, day.age)?,
        ear: None,
        counts: String::new(),
        source: crate::nutrition::DailyValues::SOURCE.into(),
    })
}

/// The mean of the days; `None` unless every day has one.
fn yardstick(days: Vec<Option<OfDay>>, had: Option<f64>) -> Option<Yardstick> {
    let days: Vec<_> = days.into_iter().collect::<Option<_>>()?;
    let share = 1.0 / days.len() as f64;
    let amount = days.iter().map(|day| day.amount).sum::<f64>() * share;
    let ears = days.iter().map(|day| day.ear).sum::<Option<f64>>();
    (!days.is_empty()).then(|| Yardstick {
        kind: distinct(days.iter().map(|day| day.kind), " and "),
        amount,
        percent: had.map(|had| had / amount * 100.0),
        ear: ears.map(|sum| sum * share),
        counts: distinct(days.iter().map(|day| day.counts.as_str()), "; "),
        source: distinct(days.iter().map(|day| day.source.as_str()), "; "),
    })
}

fn distinct<'a>(words: impl Iterator<Item = &'a str>, between: &str) -> String {
    let mut seen = BTreeSet::new();
    joined(
        words.filter(|word| !word.is_empty() && seen.insert(*word)),
        between,
    )
}
