//! One new food at a time, with days of waiting between.

use std::collections::{BTreeMap, BTreeSet};

use data_import::FoodId;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::{Broken, Rule};
use crate::nutrition::ServedFood;
use crate::planning::{Plan, Request};

/// The foods of each day of a child, settled meals included.
fn foods_by_day<'a>(
    request: &'a Request,
    plan: &Plan,
    child: usize,
) -> BTreeMap<Date, Vec<&'a ServedFood>> {
    let mut days: BTreeMap<Date, Vec<&ServedFood>> = BTreeMap::new();
    for meal in plan.meals.iter().filter(|meal| meal.child == child) {
        let cubes = meal
            .parts
            .iter()
            .filter_map(|part| part.origin.cube(request));
        days.entry(meal.day)
            .or_default()
            .extend(cubes.flat_map(|cube| &cube.foods));
    }
    for meal in request.fixed.iter().filter(|meal| meal.child == child) {
        let foods = meal.parts.iter().flat_map(|part| &part.serving.foods);
        days.entry(meal.day).or_default().extend(foods);
    }
    days
}

/// The first tastes that a plan brings a child, by day, each with the food's name.
pub(crate) fn first_tastes(
    request: &Request,
    plan: &Plan,
    child: usize,
) -> BTreeMap<Date, BTreeMap<FoodId, String>> {
    let mut tasted: BTreeSet<FoodId> = request.children[child].known.keys().cloned().collect();
    let mut firsts: BTreeMap<Date, BTreeMap<FoodId, String>> = BTreeMap::new();
    for (day, foods) in foods_by_day(request, plan, child) {
        for food in foods {
            if tasted.insert(food.id.clone()) {
                firsts
                    .entry(day)
                    .or_default()
                    .insert(food.id.clone(), food.name.clone());
            }
        }
    }
    firsts
}

pub(super) fn new_foods(request: &Request, plan: &Plan, child: usize) -> Vec<Broken> {
    let mut found = Vec::new();
    let waiting = i64::from(request.waiting_days.max(1)).days();
    let mut last = request.children[child].last_first();
    for (day, foods) in first_tastes(request, plan, child) {
        let names: Vec<&str> = foods.values().map(String::as_str).collect();
        let mut report =
            |words| found.push(Broken::new(Rule::NewFoods, Some(day), Some(child), words));
        if names.len() > 1 {
            report(format!(
                "{} new foods on one day: {}",
                names.len(),
                names.join("; ")
            ));
        }
        if let Some(before) = last
            && day < before.saturating_add(waiting)
        {
            report(format!(
                "{} is new, and the last new food was on {}: wait until {}",
                names.join("; "),
                request.day_name(before),
                request.day_name(before.saturating_add(waiting))
            ));
        }
        last = last.max(Some(day));
    }
    found
}
