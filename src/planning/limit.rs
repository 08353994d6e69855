//! Sums over a day or a week that no plan may pass.

use std::collections::{BTreeMap, BTreeSet};

use data_import::FoodId;

use crate::nutrition::{ServedFood, Serving};

/// An upper limit on an amount in a number of consecutive days.
#[derive(Debug, Clone, PartialEq)]
pub struct DayLimit {
    /// Id of the hazard, such as `liver`.
    pub hazard: String,
    /// The days over which the amount is summed: 1 or 7.
    pub days: u32,
    /// The limit, in the unit of what is counted.
    pub most: f64,
    /// The quantity that is limited.
    pub counts: Counts,
    /// Whether the judge of what a child may be given checks the limit as well.
    pub judged: bool,
}

/// The quantity that a limit counts.
#[derive(Debug, Clone, PartialEq)]
pub enum Counts {
    /// The amount in each gram of a food; a food that is not listed adds nothing.
    Grams(BTreeMap<FoodId, f64>),
    /// Meals with any of these foods.
    Meals(BTreeSet<FoodId>),
}

impl DayLimit {
    /// Whether meals are counted, whatever their size.
    pub fn counts_meals(&self) -> bool {
        matches!(self.counts, Counts::Meals(_))
    }

    /// The amount that a serving adds; foods without a value add nothing.
    pub fn amount(&self, serving: &Serving) -> f64 {
        let mut foods = serving.foods.iter();
        match &self.counts {
            Counts::Grams(each) => foods
                .filter_map(|food| Some(each.get(&food.id)? * food.edible?.grams()))
                .sum(),
            Counts::Meals(counted) => {
                // A serving of no mass, as of a refused meal, does not count as a meal with the
                // food.
                let is_there =
                    |food: &ServedFood| food.edible.is_none_or(|mass| mass.grams() > 0.0);
                f64::from(u8::from(
                    foods.any(|food| counted.contains(&food.id) && is_there(food)),
                ))
            }
        }
    }

    /// A limit on meals in a few words: `2 meals with fish in 7 days`.
    pub(crate) fn in_words(&self) -> String {
        let meals = if self.most < 1.5 { "meal" } else { "meals" };
        let days = match self.days {
            0 | 1 => "a day".to_string(),
            days => format!("in {days} days"),
        };
        format!("{:.0} {meals} with {} {days}", self.most, self.hazard)
    }

    /// A sum beyond the limit, as a sentence, and what helps. Of the limits on amounts, only that
    /// of retinol, in µg, is not reported by the judge.
    pub(crate) fn passed(&self, sum: f64, days: &str) -> String {
        let (hazard, most) = (&self.hazard, self.most);
        if self.counts_meals() {
            format!(
                "{hazard} at {sum:.0} meals in {days}, where {most:.0} are the most: give another dish at one of them"
            )
        } else {
            format!(
                "{hazard}: {sum:.0} µg in {days}, where {most:.0} are the most: fewer cubes, or another dish"
            )
        }
    }

    /// The amount that a meal of several servings adds.
    pub fn amount_of_meal<'a>(&self, servings: impl IntoIterator<Item = &'a Serving>) -> f64 {
        let amounts = servings.into_iter().map(|serving| self.amount(serving));
        if self.counts_meals() {
            amounts.fold(0.0, f64::max)
        } else {
            amounts.sum()
        }
    }
}
