//! The purée that is added to: a recipe of the book, or raw foods that are cooked in their usual
//! way.

use data_import::{Food, FoodId};

use super::CombineError;
use super::ask::CombineRequest;
use super::column::{Column, ToCook};
use super::stock::{Cook, cost};
use super::tables::{PureePart, Role, Tables};
use crate::problem::Problem;
use crate::recipe::Kitchen;

/// The purée that is added to, as one food.
#[derive(Debug, Clone)]
pub struct RecipeBase {
    /// What a gram of the purée brings.
    pub column: Column,
    /// The price of a gram, in the currency of the request; `None` where a price is missing.
    pub cost: Option<f64>,
    /// The least share of the new purée, 0 to 1.
    pub min_share: f64,
    /// The foods of the purée.
    pub foods: Vec<BaseFood>,
}

/// A food of a base.
#[derive(Debug, Clone)]
pub struct BaseFood {
    /// The food.
    pub food: Food,
    /// The role of the food in a purée; `None` for a food that would not be proposed.
    pub part: Option<PureePart>,
    /// The share of the base, as cooked, 0 to 1.
    pub share: f64,
    /// The iron of this food in a gram of the base, mg.
    pub iron: f64,
}

/// A base of raw foods, each cooked in its usual way.
pub(super) fn raw_base(
    (tables, cook): (&Tables, Cook<'_>),
    kitchen: &Kitchen<'_>,
    ask: &CombineRequest,
) -> Result<RecipeBase, CombineError> {
    let Some(base) = &ask.base else {
        return Err(Problem::new("there is no base").into());
    };
    let ids: Vec<FoodId> = base.foods.iter().map(|(food, _)| food.clone()).collect();
    let mut foods = Vec::new();
    let mut to_cook = Vec::new();
    for (id, food) in ids.iter().zip(kitchen.foods.foods(&ids)?) {
        let found = food.and_then(|food| tables.part(&food).map(|part| (food, part)));
        let (food, part) = found.ok_or_else(|| may_not_be_proposed(id))?;
        let role = tables.roles.get(part.role);
        to_cook.push(ToCook {
            food: id.clone(),
            method: part.method,
            may_hold_retinol: role.is_some_and(Role::may_hold_retinol),
        });
        foods.push((food, part));
    }
    let columns = cook(kitchen, &to_cook)?;
    let mut parts: Vec<CookedPart> = Vec::new();
    for (((_, grams), (food, part)), column) in base.foods.iter().zip(foods).zip(columns) {
        let column = column.ok_or_else(|| lacks_a_value(&food))?;
        parts.push((grams / column.edible, food, part, column));
    }
    let whole: f64 = parts.iter().map(|(mass, ..)| mass).sum();
    let costs = parts
        .iter()
        .map(|(mass, food, _, column)| cost(ask, &food.id, column).map(|cost| mass / whole * cost));
    Ok(RecipeBase {
        cost: costs.sum::<Option<f64>>(),
        min_share: base.min_share,
        column: mean_column(&parts, whole),
        foods: parts
            .iter()
            .map(|(mass, food, part, column)| BaseFood {
                food: food.clone(),
                part: Some(part.clone()),
                share: mass / whole,
                iron: mass / whole * column.iron,
            })
            .collect(),
    })
}

/// A food of a base of raw foods: its cooked mass in grams, its role, and what a gram of it brings.
type CookedPart = (f64, Food, PureePart, Column);

/// What a gram of the whole brings: the mean of its parts by mass.
fn mean_column(parts: &[CookedPart], whole: f64) -> Column {
    let mean = |value: &dyn Fn(&Column) -> f64| -> f64 {
        parts
            .iter()
            .map(|(mass, _, _, column)| mass / whole * value(column))
            .sum()
    };
    let vitamin_c = parts
        .iter()
        .map(|(mass, _, _, column)| column.vitamin_c.map(|amount| mass / whole * amount));
    Column {
        iron: mean(&|column| column.iron),
        vitamin_c: vitamin_c.sum::<Option<f64>>(),
        sodium: mean(&|column| column.sodium),
        retinol: mean(&|column| column.retinol),
        energy: mean(&|column| column.energy),
        dry_matter: mean(&|column| column.dry_matter),
        volume: mean(&|column| column.volume),
        edible: mean(&|column| column.edible),
        bought: mean(&|column| column.bought),
        goal: mean(&|column| column.goal),
    }
}

pub(super) fn may_not_be_proposed(food: &FoodId) -> Problem {
    Problem::new(format!(
        "{food} is none of the foods that purées are put together from"
    ))
    .hint("name another food; a recipe of the book may hold any food and be the base")
}

fn lacks_a_value(food: &Food) -> Problem {
    Problem::new(format!(
        "a value that is needed is not known of {}",
        food.name
    ))
    .hint("name another food")
}
