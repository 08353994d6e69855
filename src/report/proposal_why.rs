//! The reasons for a proposal, in three sentences for each child.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use super::number::decimals;
use crate::nutrition::{DietGroup, ServedFood, Serving};
use crate::planning::propose::Proposal;
use crate::planning::request::iron_of;
use crate::planning::{CubeOrigin, CubeSize, PlannedCubes, PlannedMeal, Request};
use crate::words::{counted, joined};

/// The sentences on the meals, on their iron, and on what limits their size and the plan.
pub(super) fn because(request: &Request, proposal: &Proposal, child: usize) -> Vec<String> {
    let meals = proposal
        .plan
        .meals
        .iter()
        .filter(|meal| meal.child == child);
    let meals: Vec<&PlannedMeal> = meals.collect();
    if meals.is_empty() {
        return Vec::new();
    }
    let mut sentences = vec![variety(request, &meals, child)];
    sentences.extend(iron(request, &meals, child));
    sentences.push(size(request, proposal, &meals, child));
    sentences
}

fn cubes<'r>(request: &'r Request, meal: &PlannedMeal) -> Vec<(&'r Serving, u32)> {
    let parts = meal.parts.iter();
    parts
        .filter_map(|part| Some((part.origin.cube(request)?, part.cubes)))
        .collect()
}

/// The days of a plan on which a child is fed solids.
fn days_with_solids(request: &Request, child: usize) -> impl Iterator<Item = &Date> {
    let from = request.children[child].solids_from;
    request.days.iter().filter(move |day| **day >= from)
}

fn variety(request: &Request, meals: &[&PlannedMeal], child: usize) -> String {
    let mut dishes: BTreeMap<&str, u32> = BTreeMap::new();
    for meal in meals {
        let names = meal.parts.iter().map(|part| part.origin.recipe(request));
        for name in names.collect::<BTreeSet<_>>() {
            *dishes.entry(name).or_default() += 1;
        }
    }
    let most = dishes.values().max().copied().unwrap_or(0);
    let mut by_day: BTreeMap<Date, BTreeSet<DietGroup>> = BTreeMap::new();
    for meal in meals {
        let groups = cubes(request, meal).into_iter();
        let groups = groups.flat_map(|(cube, _)| request.groups_of(cube));
        by_day.entry(meal.day).or_default().extend(groups);
    }
    let settled = request.fixed.iter().filter(|meal| meal.child == child);
    for meal in settled {
        if let Some(groups) = by_day.get_mut(&meal.day) {
            let parts = meal.parts.iter();
            groups.extend(parts.flat_map(|part| request.groups_of(&part.serving)));
        }
    }
    let days_with = |wanted: &[DietGroup]| {
        let days = by_day.values();
        days.filter(|had| wanted.iter().any(|one| had.contains(one)))
            .count()
    };
    let protein = days_with(&[DietGroup::Flesh, DietGroup::Eggs, DietGroup::Pulses]);
    let days = by_day.len();
    let every_day = days == days_with_solids(request, child).count();
    let daily = match (protein, days - protein) {
        (0, _) => {
            let them = if meals.len() == 1 { "it" } else { "them" };
            format!("there is no meat, fish, egg or pulses in {them}")
        }
        (_, 0) if every_day => "there is meat, fish, egg or pulses every day".to_string(),
        (_, 0) => {
            format!("there is meat, fish, egg or pulses on each of the {days} days with meals")
        }
        _ => format!("there is meat, fish, egg or pulses on {protein} of {days} days with meals"),
    };
    let (count, filled) = (dishes.len(), counted(meals.len(), "meal"));
    if count == 1 {
        return format!("1 dish fills {filled}, and {daily}.");
    }
    let most = match most {
        1 => "once".to_string(),
        2 => "twice".to_string(),
        more => format!("{more} times"),
    };
    format!("{count} dishes fill {filled}, none of them more than {most}, and {daily}.")
}

fn iron(request: &Request, meals: &[&PlannedMeal], child: usize) -> Option<String> {
    let eater = &request.children[child];
    let goal = eater.iron?;
    let planned = meals.iter().flat_map(|meal| cubes(request, meal));
    let planned: f64 = planned
        .map(|(cube, cubes)| iron_of(cube) * f64::from(cubes))
        .sum();
    let fixed = request
        .fixed
        .iter()
        .filter(|meal| meal.child == child && request.days.contains(&meal.day));
    let fixed = fixed.flat_map(|meal| &meal.parts);
    let fixed: f64 = fixed.map(|part| iron_of(&part.serving)).sum();
    let days = days_with_solids(request, child).count().max(1);
    let a_day = (planned + fixed) / days as f64;
    let milk = if goal.from_milk > 0.0 {
        format!(" and milk about {:.1} mg", goal.from_milk)
    } else {
        String::new()
    };
    Some(format!(
        "The meals bring {a_day:.1} mg of iron a day{milk}, where {:.1} mg are what an average child of \
         that age needs from everything; variety comes before a small gain of iron.",
        goal.ear
    ))
}

fn size(request: &Request, proposal: &Proposal, meals: &[&PlannedMeal], child: usize) -> String {
    let eater = &request.children[child];
    let need = days_with_solids(request, child).find_map(|day| eater.days.get(day));
    let (usual, months) = need.map_or((0, 0), |need| (need.usual, need.age.0));
    let sizes = meals.iter().map(|meal| meal.cubes());
    let least = sizes.clone().min().unwrap_or(usual);
    let most = sizes.max().unwrap_or(usual);
    let cubes = if least == most {
        counted(most, "cube")
    } else {
        format!("{least} to {most} cubes")
    };
    let mut parts = meals.iter().flat_map(|meal| &meal.parts);
    let of_first_tray = if parts.any(|part| part.origin.size(request) != CubeSize::USUAL) {
        " of the first tray"
    } else {
        ""
    };
    let size = if months >= 12 {
        format!(
            "At {months} months purée is a part of the meal beside family food: a meal has {cubes} of it"
        )
    } else if let Some(eaten) = eater.eaten_lately {
        let (name, eaten) = (&eater.name, round_cubes(eaten));
        format!("A meal has {cubes}: lately {name} ate {eaten}{of_first_tray} at a meal")
    } else {
        format!("A meal has {cubes}: {usual}{of_first_tray} are usual at {months} months")
    };
    let small = smaller(request, proposal, child);
    let most_meals = need.map_or(0, |need| *need.meals.end() as usize);
    let enough = if most_meals < eater.meals.len() {
        format!("; {most_meals} meals a day are enough at {months} months")
    } else {
        String::new()
    };
    let lost: u32 = proposal.spoiled.iter().map(|one| one.cubes).sum();
    let lost = match lost {
        0 => String::new(),
        1 => "; 1 cube will be past its day before anybody can eat it".to_string(),
        more => format!("; {more} cubes will be past their day before anybody can eat them"),
    };
    format!("{size}{small}{enough}{lost}.")
}

/// Cubes to one decimal; none where it is a whole number.
fn round_cubes(cubes: f64) -> String {
    let text = decimals(cubes, 1);
    text.strip_suffix(".0").map_or(text.clone(), String::from)
}

/// Why meals of a child are smaller than usual, as far as the plan tells; empty where no meal is,
/// or nothing tells.
fn smaller(request: &Request, proposal: &Proposal, child: usize) -> String {
    let eater = &request.children[child];
    let small = proposal.plan.meals.iter().filter(|meal| {
        let size = |part: &PlannedCubes| part.origin.size(request).times(part.cubes);
        let size: f64 = meal.parts.iter().map(size).sum();
        let need = eater.days.get(&meal.day);
        meal.child == child && need.is_some_and(|need| size < f64::from(need.usual))
    });
    let (mut used_up, mut new, mut refused) = (false, false, false);
    for meal in small {
        let of_meal = meal
            .parts
            .iter()
            .filter_map(|part| part.origin.cube(request));
        let mut foods = of_meal.flat_map(|cube| &cube.foods);
        let is_new = |food: &ServedFood| !eater.known.contains(&food.id);
        if foods.clone().any(is_new) {
            new = true;
        } else if foods.any(|food| eater.not_liked_yet.contains(&food.id)) {
            refused = true;
        } else if meal
            .parts
            .iter()
            .any(|part| is_used_up(request, proposal, part.origin))
        {
            used_up = true;
        }
    }
    let causes = [
        used_up.then_some("cubes run out"),
        new.then_some("a food is new, to be given beside food that is known"),
        refused.then_some("a food was refused"),
    ];
    match joined(causes.into_iter().flatten(), " or ") {
        none if none.is_empty() => none,
        causes => format!("; meals are smaller where {causes}"),
    }
}

/// Whether the meals of a plan take every cube of an origin.
fn is_used_up(request: &Request, proposal: &Proposal, origin: CubeOrigin) -> bool {
    let parts = proposal.plan.meals.iter().flat_map(|meal| &meal.parts);
    let taken: u32 = parts
        .filter(|part| part.origin == origin)
        .map(|part| part.cubes)
        .sum();
    let there: u32 = match origin {
        CubeOrigin::Batch(at) => {
            let held = request.fixed.iter().flat_map(|meal| &meal.parts);
            let held = held
                .filter_map(|part| part.cubes)
                .filter(|(batch, _)| *batch == at);
            let held: u32 = held.map(|(_, cubes)| cubes).sum();
            let cubes = request.batches.get(at).map_or(0, |batch| batch.cubes);
            cubes.saturating_sub(held)
        }
        CubeOrigin::Cooking { recipe, day } => {
            let cookings = proposal.plan.cookings.iter();
            let cooked = cookings.filter(|one| (one.recipe, one.day) == (recipe, day));
            let a_tray = request
                .recipes
                .get(recipe)
                .map_or(0, |one| one.cubes_a_tray);
            cooked.map(|one| one.trays.saturating_mul(a_tray)).sum()
        }
    };
    taken >= there
}
