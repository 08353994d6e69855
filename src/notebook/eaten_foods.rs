//! The foods that a child ate, milk included: the input of the safety rules.

use jiff::civil::Date;

use super::eaten::Eaten;
use super::feeding::How;
use super::store::Store;
use super::{BookError, Child};
use crate::nutrition::{BreastMilk, Milk, ServedFood, Source};
use crate::quantity::{Mass, Volume};

/// A food of a meal on record, or a milk of a day.
#[derive(Debug, Clone, PartialEq)]
pub struct EatenFood {
    /// The day.
    pub day: Date,
    /// The name of the meal; empty where it was not recorded, and for the milk of a day.
    pub meal: String,
    /// How much of the meal was eaten; the milk of a day counts as eaten.
    pub how: How,
    /// The source: cubes, other food, or the milk of a day.
    pub source: Source,
    /// The food, with the edible mass and the iron that were eaten of it: none of a refused meal.
    pub food: ServedFood,
    /// The volume of breast milk; `None` for everything else, of which the record keeps the mass
    /// alone.
    pub volume: Option<Volume>,
}

impl Store {
    /// The foods that a child ate from one day to another, both included, by day: the foods of
    /// every meal as often as they are in it, and the milk of the day as far as it is on record,
    /// measured or estimated.
    pub fn eaten_foods(
        &self,
        child: &Child,
        (from, to): (Date, Date),
        breast: &BreastMilk,
    ) -> Result<Vec<EatenFood>, BookError> {
        let eaten = self.eaten(&child.name, from, to)?;
        let mut foods: Vec<EatenFood> = eaten.iter().flat_map(Eaten::foods).collect();
        for day in self.milk_days(child, (from, to), breast, None)? {
            let milks = day.milk.iter().flatten();
            foods.extend(milks.flat_map(|milk| of_milk(day.date, milk)));
        }
        foods.sort_by_key(|food| food.day);
        Ok(foods)
    }
}

impl Eaten {
    /// The foods of the meal, each with the amount that was eaten.
    pub fn foods(&self) -> impl Iterator<Item = EatenFood> {
        let share = self.meal.share;
        self.meal.servings.iter().flat_map(move |serving| {
            let eaten = serving.times(share);
            eaten.foods.into_iter().map(move |food| EatenFood {
                day: self.day,
                meal: self.meal.name.clone(),
                how: self.how,
                source: serving.source,
                food: if share > 0.0 { food } else { none_of(food) },
                volume: None,
            })
        })
    }
}

/// A food of which nothing was eaten: the eaten mass is known to be zero even where the served mass
/// is not.
fn none_of(food: ServedFood) -> ServedFood {
    ServedFood {
        edible: Some(Mass::ZERO),
        iron: Some(0.0),
        ..food
    }
}

fn of_milk(day: Date, milk: &Milk) -> impl Iterator<Item = EatenFood> {
    let volume = milk
        .breast
        .then(|| BreastMilk::volume_of(milk.serving.mass));
    milk.serving.foods.iter().map(move |food| EatenFood {
        day,
        meal: String::new(),
        how: How::Taken,
        source: Source::Milk,
        food: food.clone(),
        volume,
    })
}
