//! Checks a proposal against every rule, in whole cubes, meals and days.

use std::collections::BTreeMap;
use std::ops::RangeInclusive;

use jiff::ToSpan as _;

use crate::planning::indexed_request::IndexedRequest;
use crate::planning::rules::{Broken, MealOfWeek, PartOfMeal, PlannedWeek};
use crate::planning::supply::first_day_of_cooked;
use crate::planning::{CubeOrigin, CubeSize, Request, Schedule};

/// All violations of a plan beside the fixed meals; empty for a sound plan.
pub fn verify(request: &Request, plan: &Schedule) -> Vec<String> {
    let settled = week(request, &Schedule::default()).broken();
    let broken = week(request, plan).broken();
    let new = broken
        .into_iter()
        .filter(|broken| !settled.contains(broken));
    let line = |broken: Broken| {
        let rule = broken.rule.row().id;
        format!("{rule} on {}: {}", broken.day, broken.words)
    };
    let mut wrong: Vec<String> = new.map(line).collect();
    wrong.extend(stock(request, plan));
    wrong.extend(slots(request, plan));
    wrong.extend(trays(request, plan));
    wrong
}

/// A plan and the settled meals, as the rules see them.
pub(super) fn week<'a>(request: &'a Request, plan: &'a Schedule) -> PlannedWeek<'a> {
    let index = IndexedRequest::new(request);
    let first = request.days.first();
    let place = |child: usize, name: &str| {
        let names = request.children[child].meals.iter();
        names
            .clone()
            .position(|meal| meal == name)
            .unwrap_or(names.len())
    };
    let fixed = request.fixed.iter().map(|meal| MealOfWeek {
        day: meal.day,
        child: meal.child,
        name: &meal.meal,
        place: place(meal.child, &meal.meal),
        dishes: meal
            .parts
            .iter()
            .filter_map(|part| Some((part.recipe.as_deref()?, part.serving.what.as_str())))
            .collect(),
        parts: meal
            .parts
            .iter()
            .map(|part| PartOfMeal {
                serving: part.serving.clone(),
                cubes: part.cubes.map_or(0, |(_, cubes)| cubes),
                size: part
                    .cubes
                    .map_or(CubeSize::USUAL, |(batch, _)| request.batches[batch].size),
            })
            .collect(),
        planned: Some(&meal.day) >= first,
    });
    let planned = plan.meals.iter().map(|meal| MealOfWeek {
        day: meal.day,
        child: meal.child,
        name: &meal.meal,
        place: place(meal.child, &meal.meal),
        dishes: meal
            .parts
            .iter()
            .map(|part| (part.origin.recipe(request), part.origin.title(request)))
            .collect(),
        parts: meal
            .parts
            .iter()
            .filter_map(|part| {
                let cube = part.origin.cube(request)?;
                Some(PartOfMeal {
                    serving: cube.times(f64::from(part.cubes)),
                    cubes: part.cubes,
                    size: part.origin.size(request),
                })
            })
            .collect(),
        planned: true,
    });
    PlannedWeek {
        eaters: &request.children,
        meals: fixed.chain(planned).collect(),
        judged: false,
        waiting: request.waiting,
        choice: (0..request.children.len())
            .map(|child| index.choice(child))
            .collect(),
    }
    .sorted()
}

/// Violations of the stock: too many cubes, cubes on days on which they cannot be served, and cubes
/// for children who may not have them.
fn stock(request: &Request, plan: &Schedule) -> Vec<String> {
    let mut taken: BTreeMap<CubeOrigin, u32> = BTreeMap::new();
    let held = request.fixed.iter().flat_map(|meal| &meal.parts);
    for (batch, cubes) in held.filter_map(|part| part.cubes) {
        *taken.entry(CubeOrigin::Batch(batch)).or_default() += cubes;
    }
    let mut wrong = Vec::new();
    for meal in &plan.meals {
        for part in &meal.parts {
            *taken.entry(part.origin).or_default() += part.cubes;
            let (from, until, barred, not_on) = match part.origin {
                CubeOrigin::Batch(batch) => {
                    let batch = &request.batches[batch];
                    (batch.from, batch.use_by, &batch.barred, &batch.not_on)
                }
                CubeOrigin::Cooking { recipe, day } => {
                    let recipe = &request.recipes[recipe];
                    let until = day.saturating_add(i64::from(recipe.freezer_days).days());
                    (
                        first_day_of_cooked(day),
                        until,
                        &recipe.barred,
                        &recipe.not_on,
                    )
                }
            };
            let title = part.origin.title(request);
            if !(from..=until).contains(&meal.day) {
                wrong.push(format!(
                    "{title} on {}: only from {from} to {until}",
                    meal.day
                ));
            }
            if barred.contains_key(&meal.child) || not_on.contains_key(&(meal.child, meal.day)) {
                wrong.push(format!("{title} on {} is not for that child", meal.day));
            }
        }
    }
    for (origin, taken) in taken {
        let available = match origin {
            CubeOrigin::Batch(batch) => request.batches[batch].cubes,
            CubeOrigin::Cooking { recipe, day } => {
                let cooked = plan
                    .cookings
                    .iter()
                    .filter(|cooking| (cooking.recipe, cooking.day) == (recipe, day));
                cooked
                    .map(|cooking| cooking.trays * request.recipes[recipe].cubes_a_tray)
                    .sum()
            }
        };
        if taken > available {
            wrong.push(format!(
                "{taken} cubes of {}, {available} are there",
                origin.title(request)
            ));
        }
    }
    wrong
}

/// Violations of the meals: ones that are not to be filled, filled twice, or with too few cubes;
/// only of a new allergen is a small amount enough.
fn slots(request: &Request, plan: &Schedule) -> Vec<String> {
    let index = IndexedRequest::new(request);
    let week = week(request, plan);
    let mut open = BTreeMap::new();
    for (child, day, of) in index.child_days() {
        for place in &of.meals {
            let name = request.children[child].meals[*place].as_str();
            open.insert((child, request.days[day], name), (of.need, false));
        }
    }
    for child in 0..request.children.len() {
        for first in week.first_allergens(child) {
            if let Some((_, is_first)) = open.get_mut(&(child, first.day, first.meal)) {
                *is_first = true;
            }
        }
    }
    let wrong = plan.meals.iter().filter_map(|meal| {
        let place = open.remove(&(meal.child, meal.day, meal.meal.as_str()));
        let fits = place.is_some_and(|(need, is_first)| {
            let sizes = meal.parts.iter().map(|part| part.origin.size(request));
            let mut ranges = sizes.map(|size| need.cubes_of_size(size));
            // A little is enough of a new allergen.
            let fits = |cubes: RangeInclusive<u32>| {
                let least = if is_first { 1 } else { *cubes.start() };
                (least..=*cubes.end()).contains(&meal.cubes())
            };
            !meal.parts.is_empty() && ranges.all(fits)
        });
        (!fits).then(|| format!("{} of {}: {} cubes", meal.meal, meal.day, meal.cubes()))
    });
    wrong.collect()
}

fn trays(request: &Request, plan: &Schedule) -> Vec<String> {
    let mut by_day = BTreeMap::new();
    let mut wrong = Vec::new();
    for cooking in &plan.cookings {
        *by_day.entry(cooking.day).or_insert(0) += cooking.trays;
        let recipe = &request.recipes[cooking.recipe];
        if cooking.trays > recipe.most_trays || !recipe.cook_days.contains(&cooking.day) {
            wrong.push(format!(
                "{} trays of {} on {}",
                cooking.trays, recipe.title, cooking.day
            ));
        }
    }
    let too_many = |trays: u32| request.trays_a_day.is_some_and(|most| trays > most);
    let over = by_day.into_iter().filter(|(_, trays)| too_many(*trays));
    wrong.extend(over.map(|(day, trays)| format!("{trays} trays on {day}")));
    wrong
}
