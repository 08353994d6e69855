//! What a child drank over the days of a visit: each milk by name, amount and amount per kilogram of the child.

use jiff::civil::Date;
use serde::Serialize;

use super::page_charts;
use crate::household::VisitFacts;
use crate::nutrition::{BreastMilk, Milk};
use crate::report::number::decimals;
use crate::report::plan::short_name;
use crate::words::counted;

/// Days in a row with the same milk, known in the same way; the amounts are those of an average day of them.
#[derive(Debug, Clone, Serialize)]
pub struct MilkRun {
    pub from: Date,
    pub to: Date,
    pub days: usize,
    /// The name of the food.
    pub what: String,
    pub breast: bool,
    pub grams: f64,
    /// `None` where it is not known how much a millilitre weighs.
    pub ml: Option<f64>,
    /// `None` where the child's weight is not known.
    pub ml_per_kg: Option<f64>,
    /// Whether the amount is an estimate: by feeds or by age.
    pub estimated: bool,
    /// Feeds at the breast a day, where these were counted.
    pub feeds: Option<f64>,
    /// The least and the most of a day, in grams.
    pub grams_range: (f64, f64),
    /// The fewest and the most feeds of a day.
    pub feeds_range: Option<(f64, f64)>,
    /// The last of the days alone.
    #[serde(skip)]
    last: Option<Box<MilkRun>>,
}

/// Days that differ from their average by more than this share are named beside it (judgement).
const NAMED_FROM: f64 = 0.05;

/// The milks of the days, in the order in which they began.
pub(super) fn milk_runs(facts: &VisitFacts) -> Vec<MilkRun> {
    let mut runs: Vec<MilkRun> = Vec::new();
    for day in &facts.kept.days {
        let weight = facts.kept.weights.get(&day.date);
        for milk in day.milk.iter().flatten() {
            let grams = milk.serving.mass.grams();
            let ml = millilitres(milk, facts);
            let new = MilkRun {
                from: day.date,
                to: day.date,
                days: 1,
                what: milk.serving.what.clone(),
                breast: milk.breast,
                grams,
                ml,
                ml_per_kg: ml
                    .zip(weight)
                    .map(|(ml, weight)| ml / (weight.grams() / 1000.0)),
                estimated: milk.estimate.is_some(),
                feeds: milk.feeds.map(f64::from),
                grams_range: (grams, grams),
                feeds_range: milk.feeds.map(|feeds| (f64::from(feeds), f64::from(feeds))),
                last: None,
            };
            let before = day.date.yesterday().ok();
            let same = |run: &&mut MilkRun| Some(run.to) == before && run.continues(&new);
            match runs.iter_mut().find(same) {
                Some(run) => run.join(&new),
                None => runs.push(new),
            }
        }
    }
    runs
}

fn millilitres(milk: &Milk, facts: &VisitFacts) -> Option<f64> {
    let mass = milk.serving.mass;
    if milk.breast {
        return Some(BreastMilk::volume_of(mass).millilitres());
    }
    let food = milk.serving.foods.first()?;
    let density = facts.milk_densities.get(&food.id)?;
    Some(mass.grams() / density)
}

impl MilkRun {
    fn continues(&self, next: &Self) -> bool {
        self.what == next.what
            && self.estimated == next.estimated
            && self.feeds.is_some() == next.feeds.is_some()
    }

    /// Takes another day into the average.
    fn join(&mut self, next: &Self) {
        let days = self.days as f64;
        let mean = |one: f64, other: f64| (one * days + other) / (days + 1.0);
        let both = |one: Option<f64>, other: Option<f64>| {
            one.zip(other).map(|(one, other)| mean(one, other))
        };
        self.grams = mean(self.grams, next.grams);
        self.ml = both(self.ml, next.ml);
        self.ml_per_kg = both(self.ml_per_kg, next.ml_per_kg);
        self.feeds = both(self.feeds, next.feeds);
        let wider = |one: (f64, f64), other: (f64, f64)| (one.0.min(other.0), one.1.max(other.1));
        self.grams_range = wider(self.grams_range, next.grams_range);
        let feeds = self.feeds_range.zip(next.feeds_range);
        self.feeds_range = feeds.map(|(one, other)| wider(one, other));
        self.to = next.to;
        self.days += 1;
        self.last = Some(Box::new(next.clone()));
    }

    /// The last of the days in words: what the child drinks now, which an average of weeks does not tell.
    pub(super) fn words_of_last_day(&self) -> String {
        self.last.as_deref().unwrap_or(self).words()
    }

    /// `(150 to 500 ml)`, where the days differ; empty where they are alike.
    fn range(&self) -> String {
        let (least, most) = self.grams_range;
        if most - self.grams <= NAMED_FROM * self.grams
            && self.grams - least <= NAMED_FROM * self.grams
        {
            return String::new();
        }
        let (each, unit) = match self.ml {
            Some(ml) if self.grams > 0.0 => (ml / self.grams, "ml"),
            _ => (1.0, "g"),
        };
        let [least, most] = [least, most].map(|grams| decimals(grams * each, 0));
        format!(" ({least} to {most} {unit})")
    }

    /// `infant formula, 600 ml a day, 73 ml per kg`.
    pub(super) fn words(&self) -> String {
        let what = if self.breast {
            "breast milk".to_string()
        } else {
            short_name(&self.what)
        };
        let about = if self.estimated { "about " } else { "" };
        let amount = match self.ml {
            Some(ml) => format!("{about}{} ml a day", decimals(ml, 0)),
            None => format!("{about}{} g a day", decimals(self.grams, 0)),
        };
        let feeds = self.feeds_range.map_or_else(
            || self.range(),
            |(fewest, most)| {
                let most_feeds = decimals(most, 0);
                if fewest < most {
                    format!(" ({} to {most_feeds} feeds)", decimals(fewest, 0))
                } else {
                    format!(" ({most_feeds} feeds)")
                }
            },
        );
        let by_age = if self.estimated && self.feeds.is_none() {
            " (average of the age)"
        } else {
            ""
        };
        let per_kg = self
            .ml_per_kg
            .map_or_else(String::new, |ml| format!(", {} ml per kg", decimals(ml, 0)));
        format!("{what}, {amount}{feeds}{by_age}{per_kg}")
    }

    /// The run with its days: `9 Nov to 15 Nov: infant formula, 600 ml a day`.
    pub(super) fn dated(&self) -> String {
        let (from, to) = (page_charts::day(self.from), page_charts::day(self.to));
        let days = match self.days {
            1 => from,
            days => format!("{from} to {to} ({})", counted(days, "day")),
        };
        format!("{days}: {}", self.words())
    }
}
