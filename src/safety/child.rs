//! What the judge knows of a child.

use serde::Serialize;
use std::collections::BTreeMap;

use jiff::ToSpan as _;
use jiff::civil::Date;

use crate::nutrition::AgeMonths;

/// A child on the day of a meal.
#[derive(Debug, Clone, Default)]
pub struct ChildFacts {
    /// What the child is called; empty where nobody said.
    pub name: String,
    /// Age in completed months; `None` where nobody said.
    pub age: Option<AgeMonths>,
    /// Allergies on record, in the household's words.
    pub allergies: Vec<String>,
    /// Severe eczema; also where eczema is on record and nobody said how severe.
    pub severe_eczema: bool,
    /// Whole weeks born early.
    pub weeks_early: u32,
    /// Reactions that no doctor has cleared.
    pub reactions: Vec<NotedReaction>,
    /// What the child has eaten; `None` where there is no record to know it from.
    pub tasted: Option<Tasted>,
    /// How long to wait between new foods.
    pub waiting: Waiting,
    /// The stage of texture on record, in words, and the day since when.
    pub texture: Option<(String, Date)>,
}

/// What a child has eaten, by its first day.
#[derive(Debug, Clone, Default)]
pub struct Tasted {
    /// First day of each food, by its id.
    pub foods: BTreeMap<String, Date>,
    /// The same by what a food is called in all its forms, see [`crate::food::same_food`].
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

/// What was noted after a meal with a food.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct NotedReaction {
    /// Id of the food.
    pub food: String,
    /// Its name.
    pub name: String,
    /// The major allergens that its name gives away.
    pub allergens: Vec<String>,
    /// The day.
    pub day: Date,
    /// The parent's words.
    pub words: String,
}

/// After which first tastes the household waits before the next new food.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum WaitAfter {
    /// After any new food.
    #[default]
    All,
    /// After a new allergen only.
    Allergens,
}

/// The household's rule of waiting between new foods.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Waiting {
    /// Days from one first taste to the next.
    pub days: u32,
    /// After which first tastes.
    pub after: WaitAfter,
}

impl Waiting {
    /// Days between new foods where the household says nothing else: within the 3 to 5 days of CDC and the American Academy
    /// of Pediatrics.
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
