//! Iron: the vitamin C beside it in a meal, and the share from meat, fish or poultry.

use std::collections::BTreeMap;

use data_import::NutrientId;
use jiff::civil::Date;

use super::DayFigures;

use crate::nutrition::vitamin_c::{molar_ratio, ratio_wanted};
use crate::nutrition::{Day, DietGroup, Grouping, Meal, ServedFood, Total, Traits};
use crate::quantity::Mass;

/// The iron of one meal and the vitamin C beside it, as eaten.
#[derive(Debug, Clone, PartialEq)]
pub struct MealIron {
    /// The name of the meal in the household; may be empty.
    pub name: String,
    /// Iron, mg.
    pub iron: Total,
    /// Vitamin C, mg.
    pub vitamin_c: Total,
    /// Molecules of vitamin C for each atom of iron; a lower bound where `ratio_complete` is false.
    /// `None` where there is no iron, or not all of it is known.
    pub ratio: Option<f64>,
    /// Whether all the vitamin C is known.
    pub ratio_complete: bool,
    /// The ratio that is looked for; `None` with meat, fish or poultry in the meal.
    pub wanted: Option<f64>,
}

/// Iron from meat, fish and poultry, and its share of all iron.
#[derive(Debug, Clone, PartialEq)]
pub struct FleshIron {
    /// Iron from meat, fish and poultry, mg; a lower bound where foods are missing.
    pub flesh: Total,
    /// Share of all iron, milk included, in percent; `None` where not all iron is known.
    pub percent: Option<f64>,
}

/// The vitamin C of a meal compared with its iron.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VitaminCBeside {
    /// No vitamin C is looked for: there is meat, fish or poultry in the meal.
    Flesh,
    /// The meal has the ratio looked for, or more.
    Enough,
    /// The meal has less than the ratio looked for.
    Less,
    /// A value is missing.
    NotKnown,
}

impl MealIron {
    pub(super) fn of(meal: &Meal, traits: &Traits) -> Self {
        let foods = meal.servings.iter().flat_map(|serving| &serving.foods);
        let wanted = ratio_wanted(foods.map(|food| &food.id), traits);
        let iron = meal.total(NutrientId::IRON, None);
        let vitamin_c = meal.total(NutrientId::VITAMIN_C, None);
        let known = iron.known.filter(|_| iron.complete());
        let ratio = known
            .zip(vitamin_c.known)
            .and_then(|(iron, vitamin_c)| molar_ratio(vitamin_c, iron));
        Self {
            name: meal.name.clone(),
            ratio,
            ratio_complete: vitamin_c.complete(),
            wanted,
            iron,
            vitamin_c,
        }
    }

    /// The vitamin C of the meal compared with its iron.
    pub fn vitamin_c_beside(&self) -> VitaminCBeside {
        let Some(wanted) = self.wanted else {
            return VitaminCBeside::Flesh;
        };
        match self.ratio {
            Some(ratio) if ratio >= wanted => VitaminCBeside::Enough,
            Some(_) if self.ratio_complete => VitaminCBeside::Less,
            _ => VitaminCBeside::NotKnown,
        }
    }
}

impl FleshIron {
    pub(super) fn of(day: &Day, traits: &Traits) -> Self {
        let mut flesh = Total::default();
        for meal in day.meals.iter().filter(|meal| meal.share > 0.0) {
            for food in meal.servings.iter().flat_map(|serving| &serving.foods) {
                if let Some(amount) = from_flesh(food, traits) {
                    flesh.add(&amount.times(meal.share));
                }
            }
        }
        let all = day.total(NutrientId::IRON, None);
        let complete = all.complete() && day.milk.is_some();
        Self::beside(flesh, all.known.filter(|_| complete))
    }

    /// The iron from meat, fish and poultry with its share of all iron, where all of it is known.
    pub(super) fn beside(flesh: Total, all: Option<f64>) -> Self {
        let percent = all.filter(|all| *all > 0.0).zip(super::had(&flesh));
        Self {
            percent: percent.map(|(all, of_flesh)| of_flesh / all * 100.0),
            flesh,
        }
    }
}

/// Iron of an average day, in mg, for each kg of the mean weight of these days.
pub(super) fn per_kg(
    iron: Option<f64>,
    counted: &[&DayFigures],
    weights: &BTreeMap<Date, Mass>,
) -> Option<f64> {
    let weights = counted.iter().map(|day| weights.get(&day.date).copied());
    let weights: Vec<Mass> = weights.collect::<Option<_>>()?;
    let mean = weights.iter().copied().sum::<Mass>().grams() / weights.len() as f64;
    (mean > 0.0)
        .then(|| iron.map(|iron| iron / mean * 1000.0))
        .flatten()
}

/// The iron of a food of meat, fish or poultry, or that may be; `None` of any other food.
fn from_flesh(food: &ServedFood, traits: &Traits) -> Option<Total> {
    match traits.get(&food.id).map(|traits| traits.grouping) {
        Some(Grouping::Group(DietGroup::Flesh)) => Some(Total::of(&food.id, food.iron)),
        Some(Grouping::Unknown) | None => Some(Total::of(&food.id, None)),
        Some(_) => None,
    }
}
