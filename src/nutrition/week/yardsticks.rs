//! The references with which an average day is compared: reference intakes and Daily Values. The
//! age may pass a bound within the week, so each is the mean over the days.

use std::collections::BTreeSet;

use data_import::{Nutrient, NutrientId};
use serde::Serialize;

use crate::nutrition::day::interval_parts;
use crate::nutrition::energy::Requirement;
use crate::nutrition::{DailyValues, Day, Intake};
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

impl Yardstick {
    /// A reference intake, with nothing eaten beside it.
    pub fn of_intake(intake: Intake) -> Self {
        Self {
            kind: intake.kind.label().into(),
            amount: intake.amount,
            percent: None,
            ear: intake.ear,
            counts: intake.counts,
            source: intake.source,
        }
    }

    /// The energy requirement of a child, in the place of a reference intake of energy, which there
    /// is not; with nothing eaten beside it.
    pub fn of_requirement(need: &Requirement) -> Self {
        Self {
            kind: "EER".into(),
            amount: need.kcal,
            percent: None,
            ear: None,
            counts: "all food and milk of the day".into(),
            source: need.source.into(),
        }
    }

    /// The reference beside an amount that was eaten, in the nutrient's unit; `None` where nothing is
    /// known of that.
    #[must_use]
    pub fn beside(self, had: Option<f64>) -> Self {
        let percent = had.map(|had| had / self.amount * 100.0);
        Self { percent, ..self }
    }
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
fn reference_of(
    nutrient: NutrientId,
    day: &DayFigures,
    tables: &WeekTables<'_>,
) -> Option<Yardstick> {
    if nutrient == NutrientId::ENERGY {
        let need = tables.requirements.get(&day.date)?;
        return Some(Yardstick::of_requirement(need));
    }
    let intake = tables.intakes.intake(nutrient, day.age)?;
    Some(Yardstick::of_intake(intake))
}

fn daily_value_of(
    nutrient: NutrientId,
    day: &DayFigures,
    tables: &WeekTables<'_>,
) -> Option<Yardstick> {
    Some(Yardstick {
        kind: "DV".into(),
        amount: tables.daily_values.of(nutrient, day.age)?,
        percent: None,
        ear: None,
        counts: String::new(),
        source: DailyValues::SOURCE.into(),
    })
}

/// The mean of the days; `None` unless every day has one.
fn yardstick(days: Vec<Option<Yardstick>>, had: Option<f64>) -> Option<Yardstick> {
    let days: Vec<Yardstick> = days.into_iter().collect::<Option<_>>()?;
    let share = 1.0 / days.len() as f64;
    let ears = days.iter().map(|day| day.ear).sum::<Option<f64>>();
    let mean = (!days.is_empty()).then(|| Yardstick {
        kind: distinct(days.iter().map(|day| day.kind.as_str()), " and "),
        amount: days.iter().map(|day| day.amount).sum::<f64>() * share,
        percent: None,
        ear: ears.map(|sum| sum * share),
        counts: distinct(days.iter().map(|day| day.counts.as_str()), "; "),
        source: distinct(days.iter().map(|day| day.source.as_str()), "; "),
    });
    Some(mean?.beside(had))
}

fn distinct<'a>(words: impl Iterator<Item = &'a str>, between: &str) -> String {
    let mut seen = BTreeSet::new();
    joined(
        words.filter(|word| !word.is_empty() && seen.insert(*word)),
        between,
    )
}
