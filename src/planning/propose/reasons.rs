//! The reasons for each meal, in a few words.

use std::collections::BTreeSet;

use jiff::ToSpan as _;

use super::verify::week;
use crate::food::short_name;
use crate::nutrition::DietGroup;
use crate::nutrition::reading::GOOD_SOURCE;
use crate::planning::indexed_request::{Dish, IndexedRequest};
use crate::planning::request::iron_of;
use crate::planning::{CubeOrigin, PlannedMeal, Request, Schedule};

/// The days before the last one of cubes within which that day is given as a reason (judgement).
const SOON_DAYS: i64 = 7;
/// The largest number of reasons for a meal.
const MOST: usize = 2;
/// A dish is rich in iron where it brings this many times what the dishes of the day bring on
/// average (judgement), and a usual meal of it is a good source.
const CLEARLY: f64 = 1.2;

/// The reasons for each meal of a plan.
pub(super) fn reasons(index: &IndexedRequest<'_>, plan: &Schedule) -> Vec<Vec<String>> {
    let week = week(index.request, plan);
    let of_meal = |meal: &PlannedMeal| {
        let first = week.first_tastes(meal.child).remove(&meal.day);
        let new = first.into_iter().flatten().map(|(_, taste)| taste);
        let new = new.filter(|taste| taste.meal == meal.meal);
        let beside = beside_it(index.request, meal);
        let new: Vec<String> = new
            .map(|taste| format!("first taste of {}{beside}", short_name(&taste.food)))
            .collect();
        of_meal(index, meal, new)
    };
    plan.meals.iter().map(of_meal).collect()
}

/// The words for the food beside a first taste that is less than a meal; empty where it fills the
/// meal.
fn beside_it(request: &Request, meal: &PlannedMeal) -> String {
    let parts = meal.parts.iter();
    let size: f64 = parts
        .map(|part| part.origin.size(request).times(part.cubes))
        .sum();
    let eater = &request.children[meal.child];
    let need = eater.days.get(&meal.day);
    if need.is_some_and(|need| size < f64::from(need.usual)) {
        format!(", beside food that {} knows", eater.name)
    } else {
        String::new()
    }
}

fn of_meal(index: &IndexedRequest<'_>, meal: &PlannedMeal, new: Vec<String>) -> Vec<String> {
    let Some((dish, day)) = dish_of(index, meal).zip(index.request.day_index(meal.day)) else {
        return Vec::new();
    };
    let eater = &index.request.children[meal.child];
    let mut why = new;
    let foods = dish
        .lots
        .iter()
        .flat_map(|lot| &index.lots[*lot].cube.foods);
    let refused = foods
        .clone()
        .find(|food| eater.offer_again.contains_key(&food.id));
    why.extend(refused.map(|food| format!("another offer of {}", short_name(&food.name))));
    why.extend(last_day(index, meal));
    why.extend(rich_in_iron(index, (meal.child, day), dish));
    let flesh = [
        (DietGroup::Flesh, "the day's meat or fish"),
        (DietGroup::Eggs, "the day's egg"),
        (DietGroup::Pulses, "the day's pulses"),
    ];
    let group = flesh
        .into_iter()
        .find(|(group, _)| dish.groups.contains(group));
    why.extend(group.map(|(_, words)| words.to_string()));
    let known = dish
        .allergens
        .iter()
        .find(|one| eater.keep_up.contains(**one));
    why.extend(known.map(|allergen| format!("keeps {allergen} known")));
    if why.is_empty() {
        why.push("for variety".to_string());
    }
    why.truncate(MOST);
    why
}

/// The dish that a meal is made of.
pub(super) fn dish_of<'i, 'a>(
    index: &'i IndexedRequest<'a>,
    meal: &PlannedMeal,
) -> Option<&'i Dish<'a>> {
    let origin: CubeOrigin = meal.parts.first()?.origin;
    let lot = index.lots.iter().find(|lot| lot.origin == origin)?;
    index.dishes.get(lot.dish)
}

fn last_day(index: &IndexedRequest<'_>, meal: &PlannedMeal) -> Option<String> {
    let lots = index.lots.iter().filter(|lot| {
        meal.parts.iter().any(|part| part.origin == lot.origin) && lot.trays.is_none()
    });
    let use_by = lots.map(|lot| lot.use_by).min()?;
    let soon = meal.day.saturating_add(SOON_DAYS.days());
    (use_by <= soon).then(|| format!("use by {}", use_by.strftime("%a %-d %b")))
}

/// Iron, where it brings clearly more than the other dishes that the child may have on that day.
fn rich_in_iron(
    index: &IndexedRequest<'_>,
    (child, day): (usize, usize),
    dish: &Dish<'_>,
) -> Option<String> {
    let iron = |dish: &Dish<'_>| {
        let lots = dish.lots.iter();
        lots.map(|lot| iron_of(index.lots[*lot].cube))
            .fold(0.0, f64::max)
    };
    let open: BTreeSet<usize> = index.days[child][day].dishes.iter().copied().collect();
    let all: f64 = open.iter().map(|dish| iron(&index.dishes[*dish])).sum();
    let mean = all / open.len().max(1) as f64;
    let rda = index.request.children[child].iron.map(|goal| goal.rda);
    let meal = iron(dish) * f64::from(index.days[child][day].usual());
    let is_rich = iron(dish) > mean * CLEARLY && rda.is_some_and(|rda| meal >= rda * GOOD_SOURCE);
    is_rich.then(|| "rich in iron".to_string())
}
