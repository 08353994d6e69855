//! Why each part of a meal is there, in a few words.

use super::draft::Draft;
use super::scale::{Scale, days_left};
use super::term::Term;
use crate::planning::frame::Frame;
use crate::planning::rules::first_tastes;
use crate::planning::{Part, Plan, PlannedMeal};

/// Cubes that are used within so many days of their date are said to be.
const SOON_DAYS: i64 = 3;
/// More reasons than this are no reason.
const MOST: usize = 3;
/// A nutrient is a reason where a cube brings this much more of its points than the others that could be served.
const CLEARLY: f64 = 1.2;

/// For each meal of a plan, for each of its parts.
pub(super) fn reasons(
    frame: &Frame<'_>,
    scale: &Scale,
    draft: &Draft,
    plan: &Plan,
) -> Vec<Vec<Vec<String>>> {
    let of_meal = |meal: &PlannedMeal| {
        meal.parts
            .iter()
            .map(|part| of_part(frame, scale, draft, plan, (meal, part)))
            .collect()
    };
    plan.meals.iter().map(of_meal).collect()
}

fn of_part(
    frame: &Frame<'_>,
    scale: &Scale,
    draft: &Draft,
    plan: &Plan,
    (meal, part): (&PlannedMeal, &Part),
) -> Vec<String> {
    let place = frame
        .candidates
        .iter()
        .position(|one| one.origin == part.origin);
    let (Some(index), Some(day)) = (place, frame.request.day_index(meal.day)) else {
        return Vec::new();
    };
    let mut why = Vec::new();
    why.extend(first_taste(frame, plan, meal, index));
    why.extend(offered_again(frame, scale, meal.child, index));
    why.extend(
        strongest(frame, scale, (meal.child, day), index).map(|term| term.name().to_string()),
    );
    why.extend(spoils_soon(frame, index, day));
    if why.is_empty() {
        why.extend(only_of_group(frame, draft, (meal.child, day), index));
    }
    if why.is_empty() {
        why.push(otherwise(frame, (meal.child, day), index));
    }
    why.truncate(MOST);
    why
}

/// The food that is tasted for the first time that day.
fn first_taste(frame: &Frame<'_>, plan: &Plan, meal: &PlannedMeal, index: usize) -> Option<String> {
    let firsts = first_tastes(frame.request, plan, meal.child);
    let new = firsts
        .get(&meal.day)?
        .iter()
        .find(|(food, _)| frame.candidates[index].holds(food))?;
    Some(format!("first taste of {}", new.1))
}

fn offered_again(frame: &Frame<'_>, scale: &Scale, child: usize, index: usize) -> Option<String> {
    let mut again = scale.again.iter().filter(|(one, _)| *one == child);
    let (_, food) = again.find(|(_, food)| frame.candidates[index].holds(food))?;
    let name = frame.candidates[index]
        .cube
        .foods
        .iter()
        .find(|one| one.id == *food)?;
    Some(format!("{} was refused and is offered again", name.name))
}

/// The heaviest nutrient of which it brings clearly more than the other candidates of the day do on average, among those of
/// which anything is short.
fn strongest(
    frame: &Frame<'_>,
    scale: &Scale,
    (child, day): (usize, usize),
    index: usize,
) -> Option<Term> {
    let over_all = scale
        .nutrients
        .iter()
        .filter(|(_, one, _)| *one == child)
        .map(|(term, _, goal)| (*term, goal));
    let goals = over_all.chain(std::iter::once((Term::Energy, &scale.energy[child][day])));
    let open = &frame.cells[child][day].open;
    let mut lead: Vec<(f64, Term)> = Vec::new();
    for (term, goal) in goals.filter(|(_, goal)| goal.open > 0) {
        let others = open
            .iter()
            .filter(|one| **one != index)
            .map(|one| goal.per_cube[*one]);
        let mean = others.clone().sum::<i64>() as f64 / others.count().max(1) as f64;
        let own = goal.per_cube[index] as f64;
        if own > mean * CLEARLY && own > 0.0 {
            lead.push(((own - mean) * term.weight() as f64, term));
        }
    }
    lead.into_iter()
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, term)| term)
}

fn spoils_soon(frame: &Frame<'_>, index: usize, day: usize) -> Option<String> {
    let candidate = &frame.candidates[index];
    let soon = candidate.expires && days_left(frame, index, day) <= SOON_DAYS;
    soon.then(|| format!("to be used by {}", frame.request.day_name(candidate.use_by)))
}

/// A food group that nothing else on the day's plates brings.
fn only_of_group(
    frame: &Frame<'_>,
    draft: &Draft,
    (child, day): (usize, usize),
    index: usize,
) -> Option<String> {
    let served = draft
        .day(child, day)
        .iter()
        .enumerate()
        .filter(|(one, cubes)| **cubes > 0 && *one != index);
    let others: Vec<_> = served
        .flat_map(|(one, _)| frame.candidates[one].groups)
        .collect();
    let settled = &frame.cells[child][day].fixed_groups;
    let mut own = frame.candidates[index].groups.iter();
    let only = own.find(|group| !others.contains(group) && !settled.contains(group))?;
    Some(format!("the day's only {}", only.name()))
}

fn otherwise(frame: &Frame<'_>, (child, day): (usize, usize), index: usize) -> String {
    let candidate = &frame.candidates[index];
    let open = frame.cells[child][day]
        .open
        .iter()
        .filter(|one| !frame.candidates[**one].cooked());
    let oldest = open.map(|one| frame.candidates[*one].use_by).min();
    if oldest == Some(candidate.use_by) {
        return "the oldest cubes there are".into();
    }
    let cost = |one: usize| {
        if frame.candidates[one].cooked() {
            frame.candidates[one].cost
                / rust_decimal::Decimal::from(frame.candidates[one].cubes.max(1))
        } else {
            frame.candidates[one].cost
        }
    };
    let cheapest = frame.cells[child][day]
        .open
        .iter()
        .map(|one| cost(*one))
        .min();
    if cheapest == Some(cost(index)) {
        return "the cheapest cubes there are".into();
    }
    "fills the meal; better cubes are used up or served on other days".into()
}
