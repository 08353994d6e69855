//! The facts about a child for the judge.

use serde::Serialize;
use std::collections::BTreeMap;

use jiff::ToSpan as _;
use jiff::civil::Date;

use crate::nutrition::AgeMonths;

/// A child on the day of a meal.
#[derive(Debug, Clone, Default)]
pub struct ChildFacts {
    /// The name of the child; empty where it is not known.
    pub name: String,
    /// Age in completed months; `None` where it is not known.
    pub age: Option<AgeMonths>,
    /// Allergies on record, in the household's words.
    pub allergies: Vec<String>,
    /// Whether there is severe eczema, or eczema of unknown severity.
    pub severe_eczema: bool,
    /// The whole weeks by which the child was born early.
    pub weeks_early: u32,
    /// Reactions that no doctor has cleared.
    pub reactions: Vec<NotedReaction>,
    /// The foods that the child has eaten; `None` without a record.
    pub tasted: Option<Tasted>,
    /// The household's rule of waiting between new foods.
    pub waiting: Waiting,
    /// The stage of texture on record, in words, and the day since when.
    pub texture: Option<(String, Date)>,
}

/// The foods that a child has eaten, with their first days.
#[derive(Debug, Clone, Default)]
pub struct Tasted {
    /// First day of each food, by its id.
    pub foods: BTreeMap<String, Date>,
    /// First day of each food, by its name common to all its forms, see [`crate::food::same_food`].
    pub names: BTreeMap<String, Date>,
    /// First day of each major allergen.
    pub allergens: BTreeMap<String, Date>,
}

impl Tasted {
    /// Counts the allergens of a milk that is drunk by a day as known.
    pub fn drank(&mut self, allergens: &[String], day: Date) {
        for allergen in allergens {
            self.allergens
                .entry(allergen.clone())
                .or_insert(day.saturating_sub(7.days()));
        }
    }
}

/// A reaction that was noted after a meal with a food.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct NotedReaction {
    /// Id of the food.
    pub food: String,
    /// The name of the food.
    pub name: String,
    /// The major allergens that its name reveals.
    pub allergens: Vec<String>,
    /// The day.
    pub day: Date,
    /// The parent's words.
    pub words: String,
}

/// The first tastes after which the household waits before the next new food.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum WaitAfter {
    /// The household waits after any new food.
    #[default]
    All,
    /// The household waits only after a new allergen.
    Allergens,
}

/// The household's rule of waiting between new foods.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Waiting {
    /// Days from one first taste to the next.
    pub days: u32,
    /// The first tastes after which it waits.
    pub after: WaitAfter,
}

impl Waiting {
    /// The days between new foods where the household states none: within the 3 to 5 days of CDC
    /// and the American Academy of Pediatrics.
    pub const USUAL_DAYS: u32 = 4;
}

impl Default for Waiting {
    fn default() -> Self {
        Self {
            days: Self::USUAL_DAYS,
            after: WaitAfter::All,
        }
    }
}
