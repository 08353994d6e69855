//! A meal with its foods, for the evaluation of first tastes.

use super::Reaction;
use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use crate::notebook::feeding::How;
use crate::notebook::freezer::BatchFood;

/// The foods of every batch, by its number.
pub(super) type BatchFoods = BTreeMap<i64, Vec<BatchFood>>;

/// The place of an entry in the record: its day, and on one day the order of writing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Moment {
    pub(super) day: Date,
    pub(super) entry: i64,
}

/// A reaction, with the moment at which it was seen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Seen {
    pub(super) at: Moment,
    pub(super) words: String,
}

/// A meal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct TastedMeal {
    pub(super) at: Moment,
    pub(super) how: How,
    /// Whether any of the meal was eaten.
    pub(super) eaten: bool,
    /// The reactions that were seen afterwards, by day.
    pub(super) reactions: Vec<Seen>,
    /// The batches in the meal.
    pub(super) batches: Vec<i64>,
    /// The other foods of the meal.
    pub(super) others: Vec<BatchFood>,
}

impl TastedMeal {
    /// Whether the meal, with every reaction after it, is known on a day.
    pub(super) fn is_known_on(&self, day: Date) -> bool {
        self.last_day() <= day
    }

    /// The day of the meal, or of the last reaction that was seen after it.
    pub(super) fn last_day(&self) -> Date {
        let seen = self.reactions.iter().map(|seen| seen.at.day);
        seen.fold(self.at.day, Date::max)
    }

    /// The meal as it is known on a day: without the reactions that were seen later.
    pub(super) fn as_seen_on(&self, day: Date) -> Self {
        let mut meal = self.clone();
        meal.reactions.retain(|seen| seen.at.day <= day);
        meal
    }

    /// The foods of the meal, each once.
    pub(super) fn foods<'a>(
        &'a self,
        cooked: &'a BatchFoods,
    ) -> impl Iterator<Item = &'a BatchFood> {
        let mut seen: BTreeSet<&str> = BTreeSet::new();
        self.parts(cooked)
            .filter(move |food| seen.insert(food.id.as_str()))
    }

    /// The foods of the meal, each as often as it is in one of the parts.
    fn parts<'a>(&'a self, cooked: &'a BatchFoods) -> impl Iterator<Item = &'a BatchFood> {
        let foods = self.batches.iter().filter_map(|batch| cooked.get(batch));
        foods.flatten().chain(&self.others)
    }

    /// The reactions that were seen afterwards.
    pub(super) fn seen(&self) -> impl Iterator<Item = Reaction> {
        self.reactions.iter().map(|seen| Reaction {
            day: self.at.day,
            seen: seen.at.day,
            words: seen.words.clone(),
        })
    }

    /// The moment at which the last reaction was seen.
    pub(super) fn last_seen(&self) -> Option<Moment> {
        self.reactions.iter().map(|seen| seen.at).max()
    }

    /// The major allergens in the meal, each once.
    pub(super) fn allergens<'a>(&'a self, cooked: &'a BatchFoods) -> BTreeSet<&'a str> {
        let held = self.parts(cooked).flat_map(|food| &food.allergens);
        held.map(String::as_str).collect()
    }
}
