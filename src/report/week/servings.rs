//! The servings and drinks from which every figure is computed.

use std::collections::BTreeMap;

use data_import::FoodId;
use serde::Serialize;

use super::{AmountReport, Tags};
use crate::nutrition::week::MealIron;
use crate::nutrition::{Meal, Milk, ServedFood, Serving, Total};
use crate::quantity::Mass;

/// A milk of a day.
#[derive(Debug, Clone, Serialize)]
pub struct DayMilkReport {
    pub breast: bool,
    pub feeds: Option<u32>,
    pub estimate: Option<String>,
    pub serving: ServingReport,
}

/// A meal of a day.
#[derive(Debug, Clone, Serialize)]
pub struct MealReport {
    pub name: String,
    /// The share that was eaten; the servings are what was on the spoon.
    pub share: f64,
    pub share_estimated: bool,
    pub iron_mg: AmountReport,
    pub vitamin_c_mg: AmountReport,
    pub vitamin_c_to_iron: Option<f64>,
    pub vitamin_c_to_iron_complete: bool,
    /// `null` with meat, fish or poultry in the meal: none is looked for.
    pub vitamin_c_to_iron_wanted: Option<f64>,
    pub servings: Vec<ServingReport>,
}

/// A serving of food, or a drink.
#[derive(Debug, Clone, Serialize)]
pub struct ServingReport {
    pub source: &'static str,
    pub what: String,
    pub mass_g: f64,
    pub liquid_g: Option<f64>,
    pub foods: Vec<ServedFoodReport>,
    pub nutrients: BTreeMap<&'static str, Total>,
}

/// A food in a serving.
#[derive(Debug, Clone, Serialize)]
pub struct ServedFoodReport {
    pub id: FoodId,
    pub edible_g: Option<f64>,
    pub iron_mg: Option<f64>,
}

impl From<&ServedFood> for ServedFoodReport {
    fn from(food: &ServedFood) -> Self {
        Self {
            id: food.id.clone(),
            edible_g: food.edible.map(Mass::grams),
            iron_mg: food.iron,
        }
    }
}

impl DayMilkReport {
    pub(super) fn new(milk: &Milk, tags: &Tags) -> Self {
        Self {
            breast: milk.breast,
            feeds: milk.feeds,
            estimate: milk.estimate.clone(),
            serving: ServingReport::new(&milk.serving, tags),
        }
    }
}

impl MealReport {
    pub(super) fn new(meal: &Meal, iron: &MealIron, tags: &Tags) -> Self {
        let servings = meal.servings.iter();
        Self {
            name: meal.name.clone(),
            share: meal.share,
            share_estimated: meal.estimated,
            iron_mg: AmountReport::from(&iron.iron),
            vitamin_c_mg: AmountReport::from(&iron.vitamin_c),
            vitamin_c_to_iron: iron.ratio,
            vitamin_c_to_iron_complete: iron.ratio_complete,
            vitamin_c_to_iron_wanted: iron.wanted,
            servings: servings.map(|one| ServingReport::new(one, tags)).collect(),
        }
    }
}

impl ServingReport {
    fn new(serving: &Serving, tags: &Tags) -> Self {
        let amounts = serving.nutrients.iter().filter_map(|(id, total)| {
            let (tag, _) = tags.get(id)?;
            Some((*tag, total.clone()))
        });
        Self {
            source: serving.source.word(),
            what: serving.what.clone(),
            mass_g: serving.mass.grams(),
            liquid_g: serving.liquid.map(Mass::grams),
            foods: serving.foods.iter().map(ServedFoodReport::from).collect(),
            nutrients: amounts.collect(),
        }
    }
}
