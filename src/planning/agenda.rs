//! A plan compared with its outcome: the meals that were served, and the cubes that the others
//! take.

use jiff::civil::Date;

use super::facts::Facts;
use super::supply::{Supply, TakenCubes, was_cooked};
use crate::notebook::{Eaten, How, Pick, PlannedFood, PlannedServing, Slot};
use crate::nutrition::Source;
use crate::portion::CubeCount;
use data_import::FoodId;

/// The difference in grams below which masses of a food are the same: a kitchen scale shows whole
/// grams.
const SAME_GRAMS: f64 = 0.5;

/// The outcome of a planned meal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// No meal is on record for it.
    Open,
    /// The meal was served as planned.
    AsPlanned(How),
    /// Another meal was served.
    Otherwise(How),
}

/// A planned meal.
#[derive(Debug, Clone, PartialEq)]
pub struct AgendaMeal {
    /// The day, child and meal.
    pub slot: Slot,
    /// The outcome of the meal.
    pub outcome: Outcome,
    /// The planned parts; never empty.
    pub parts: Vec<AgendaPart>,
}

/// A part of a planned meal.
#[derive(Debug, Clone, PartialEq)]
pub enum AgendaPart {
    /// Cubes with their origin; none are taken for a meal that was served or is past.
    Cubes(Pick, TakenCubes),
    /// An amount of a food.
    Food(PlannedFood),
}

/// A batch to be cooked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AgendaCooking {
    /// The day.
    pub day: Date,
    /// Name of the recipe.
    pub recipe: String,
    /// The number of trays.
    pub trays: u32,
    /// Whether a batch of the recipe was frozen that day.
    pub done: bool,
}

/// A plan compared with its outcome.
#[derive(Debug, Clone, PartialEq)]
pub struct Agenda {
    /// The meals that hold something, by day, child, and the order of the household's meals.
    pub meals: Vec<AgendaMeal>,
    /// The cooking, by day.
    pub cooking: Vec<AgendaCooking>,
}

impl Agenda {
    /// Lays out everything that is planned. Cubes go to the future meals in their order, so that
    /// every cube is given once.
    pub fn of(facts: &Facts<'_>) -> Self {
        let order = |meal: &str| {
            let known = facts.settings.meals.iter();
            let place = known.clone().position(|name| name == meal);
            // A meal that the book no longer has comes last.
            (place.is_none(), place)
        };
        let planned = facts
            .plan
            .meals
            .iter()
            .filter(|(_, parts)| !parts.is_empty());
        let mut slots: Vec<_> = planned.collect();
        slots.sort_by_key(|(slot, _)| (slot.day, order(&slot.meal), &slot.child));
        let mut supply = Supply::of(facts);
        let meals = slots
            .into_iter()
            .map(|(slot, parts)| meal(facts, slot, parts, &mut supply));
        let mut meals: Vec<_> = meals.collect();
        meals.sort_by(|a, b| {
            let key = |meal: &AgendaMeal| (meal.slot.day, meal.slot.child.clone());
            key(a).cmp(&key(b))
        });
        let days = facts.plan.cooking.iter();
        let cooking = days.flat_map(|(day, cooking)| {
            cooking.iter().map(|session| AgendaCooking {
                day: *day,
                recipe: session.recipe.clone(),
                trays: session.trays,
                done: was_cooked(facts, *day, &session.recipe),
            })
        });
        Self {
            meals,
            cooking: cooking.collect(),
        }
    }

    /// The agenda restricted to some days, both included.
    #[must_use]
    pub fn between(mut self, from: Date, to: Date) -> Self {
        self.meals
            .retain(|meal| (from..=to).contains(&meal.slot.day));
        self.cooking
            .retain(|cooking| (from..=to).contains(&cooking.day));
        self
    }
}

fn meal(
    facts: &Facts<'_>,
    slot: &Slot,
    parts: &[PlannedServing],
    supply: &mut Supply,
) -> AgendaMeal {
    let outcome = outcome(facts, slot, parts);
    let to_come = outcome == Outcome::Open && slot.day >= facts.today;
    let part = |part: &PlannedServing| match part {
        PlannedServing::Cubes(pick) => {
            let taken = to_come.then(|| supply.take(pick, slot.day));
            AgendaPart::Cubes(pick.clone(), taken.unwrap_or_default())
        }
        PlannedServing::Food(food) => AgendaPart::Food(food.clone()),
    };
    AgendaMeal {
        slot: slot.clone(),
        outcome,
        parts: parts.iter().map(part).collect(),
    }
}

/// The outcome by the meal on record of the same child, day and name.
fn outcome(facts: &Facts<'_>, slot: &Slot, parts: &[PlannedServing]) -> Outcome {
    let eaten = facts.eaten.get(&slot.child).into_iter().flatten();
    let of_it = |eaten: &&Eaten| eaten.day == slot.day && eaten.meal.name == slot.meal;
    let had: Vec<&Eaten> = eaten.filter(of_it).collect();
    let Some(last) = had.last() else {
        return Outcome::Open;
    };
    if same(facts, &had, parts) {
        Outcome::AsPlanned(last.how)
    } else {
        Outcome::Otherwise(last.how)
    }
}

/// Whether the same cubes and foods were served as were planned.
fn same(facts: &Facts<'_>, had: &[&Eaten], parts: &[PlannedServing]) -> bool {
    let mut cubes: Vec<(i64, CubeCount)> =
        had.iter().flat_map(|eaten| eaten.cubes.clone()).collect();
    let served = had.iter().flat_map(|eaten| &eaten.meal.servings);
    let mut foods: Vec<(FoodId, f64)> = served
        .filter(|serving| serving.source != Source::Puree)
        .filter_map(|serving| Some((serving.foods.first()?.id.clone(), serving.mass.grams())))
        .collect();
    // A batch that is named goes first, so that a pick of its recipe does not take its cubes.
    let mut picks: Vec<&Pick> = Vec::new();
    for part in parts {
        match part {
            PlannedServing::Cubes(pick) => picks.push(pick),
            PlannedServing::Food(food) => {
                let same = |(id, grams): &(FoodId, f64)| {
                    *id == food.id && (grams - food.mass.grams()).abs() < SAME_GRAMS
                };
                let Some(at) = foods.iter().position(same) else {
                    return false;
                };
                foods.remove(at);
            }
        }
    }
    picks.sort_by_key(|pick| !pick.name.starts_with('#'));
    let taken = picks
        .into_iter()
        .all(|pick| take_from(facts, &mut cubes, pick));
    taken && foods.is_empty() && cubes.iter().all(|(_, left)| left.is_none())
}

/// Takes a pick out of cubes that were served; false where they are too few.
fn take_from(facts: &Facts<'_>, cubes: &mut [(i64, CubeCount)], pick: &Pick) -> bool {
    let mut wanted = pick.cubes;
    for (batch, left) in cubes {
        let name = facts.batch(*batch).map_or("", |batch| &batch.name);
        if name == pick.name || super::facts::is_batch(&pick.name, *batch) {
            let part = left.taken().min(wanted.taken());
            let (served, planned) = (left.take(part), wanted.take(part));
            if served.halved() != planned.halved() {
                return false;
            }
        }
    }
    wanted.is_none()
}
