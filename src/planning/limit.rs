//! Sums over a day or a week that no plan may pass.

use std::collections::BTreeSet;

use data_import::{FoodId, NutrientId};

use crate::nutrition::Serving;

/// At most so much in so many days running.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// Id of the hazard, such as `liver`.
    pub hazard: String,
    /// Days over which it is summed: 1 or 7.
    pub days: u32,
    /// The most, in the unit of what is counted.
    pub most: f64,
    /// What is counted.
    pub counts: Counts,
}

/// What a limit counts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Counts {
    /// A nutrient, in its unit.
    Nutrient(NutrientId),
    /// Grams of these foods.
    Grams(BTreeSet<FoodId>),
    /// Meals with any of these foods.
    Meals(BTreeSet<FoodId>),
}

impl Limit {
    /// Whether meals are counted, whatever their size.
    pub fn counts_meals(&self) -> bool {
        matches!(self.counts, Counts::Meals(_))
    }

    /// What a serving adds. A value that is missing adds nothing here: the foods known to be rich are named by [`Counts::Meals`].
    pub fn amount(&self, serving: &Serving) -> f64 {
        match &self.counts {
            Counts::Nutrient(id) => serving.total(*id).known.unwrap_or(0.0),
            Counts::Grams(foods) => {
                let counted = serving.foods.iter().filter(|food| foods.contains(&food.id));
                counted
                    .filter_map(|food| food.edible)
                    .map(|mass| mass.grams())
                    .sum()
            }
            Counts::Meals(foods) => {
                let mut names = serving.foods.iter();
                f64::from(u8::from(names.any(|food| foods.contains(&food.id))))
            }
        }
    }

    /// What a meal of several servings adds.
    pub fn amount_of_meal<'a>(&self, servings: impl IntoIterator<Item = &'a Serving>) -> f64 {
        let amounts = servings.into_iter().map(|serving| self.amount(serving));
        if self.counts_meals() {
            amounts.fold(0.0, f64::max)
        } else {
            amounts.sum()
        }
    }
}
