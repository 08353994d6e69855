//! Sums over a day or a week that no plan may pass.

use std::collections::{BTreeMap, BTreeSet};

use data_import::FoodId;

use crate::nutrition::Serving;

/// An upper limit on an amount in a number of consecutive days.
#[derive(Debug, Clone, PartialEq)]
pub struct DayLimit {
    /// Id of the hazard, such as `liver`.
    pub hazard: String,
    /// Days over which it is summed: 1 or 7.
    pub days: u32,
    /// The most, in the unit of what is counted.
    pub most: f64,
    /// The quantity that is limited.
    pub counts: Counts,
    /// Whether the judge of what a child may be given holds meals to it as well.
    pub judged: bool,
}

/// The quantity that a limit counts.
#[derive(Debug, Clone, PartialEq)]
pub enum Counts {
    /// An amount for each gram of a food; a food that is not listed adds nothing.
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
                f64::from(u8::from(foods.any(|food| counted.contains(&food.id))))
            }
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
