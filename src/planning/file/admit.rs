//! Conversion of rows into a plan: every row must be valid, and no two may contradict each other.

use crate::next_step::NextStep;
use std::collections::BTreeMap;

use data_import::FoodId;
use jiff::civil::Date;

use super::{PlanRow, Thing};
use crate::notebook::{Plan, PlannedServing, Slot};
use crate::planning::validation::{Validation, name_of};
use crate::problem::{Located, Problem};

/// The foods that rows name by their ids.
pub fn foods(rows: &[PlanRow]) -> Vec<FoodId> {
    let food = |row: &PlanRow| match &row.thing {
        Thing::Serving(PlannedServing::Food(food)) => Some(food.id.clone()),
        _ => None,
    };
    let mut foods: Vec<_> = rows.iter().filter_map(food).collect();
    foods.sort();
    foods.dedup();
    foods
}

/// The plan that rows make, where all of it may be planned. `known` are the foods of the food
/// table, `unread` the problems of rows that could not be read.
///
/// Errors: everything that could not be read or may not be planned, and every two rows that
/// contradict each other: the same food twice in a meal, the same recipe twice on a day, something
/// and nothing for one meal.
pub fn plan(
    (rows, unread): (&[PlanRow], Vec<Problem>),
    admission: &Validation<'_>,
    known: &[FoodId],
) -> Result<Plan, Vec<Problem>> {
    let mut plan = Plan::default();
    let mut problems = unread;
    let mut first: BTreeMap<(Date, Option<Slot>, String), usize> = BTreeMap::new();
    for row in rows {
        let (slot, name) = match admitted(row, admission, known) {
            Ok(admitted) => admitted,
            Err(several) => {
                problems.extend(several);
                continue;
            }
        };
        let (number, _) = row.line.line_and_column();
        let meal = first.range((row.day, slot.clone(), String::new())..);
        let mut meal = meal.take_while(|((day, other, _), _)| *day == row.day && *other == slot);
        let clashes = |other: &str| other == name || other.is_empty() || name.is_empty();
        if let Some((_, line)) = meal.find(|((_, _, other), _)| clashes(other)) {
            problems.push(contradiction(row, &name, *line));
            continue;
        }
        first.insert((row.day, slot.clone(), name), number);
        match (&row.thing, slot) {
            (Thing::Serving(serving), Some(slot)) => {
                plan.meals.entry(slot).or_default().push(serving.clone());
            }
            (Thing::EmptyMeal, Some(slot)) => drop(plan.meals.entry(slot).or_default()),
            (Thing::Cooking(cooking), _) => {
                let day = plan.cooking.entry(row.day).or_default();
                day.push(cooking.clone());
            }
            _ => drop(plan.cooking.entry(row.day).or_default()),
        }
    }
    problems.sort_by_key(|problem| problem.place.as_ref().map(|place| place.span.start));
    if problems.is_empty() {
        Ok(plan)
    } else {
        Err(problems)
    }
}

fn contradiction(row: &PlanRow, name: &str, line: usize) -> Problem {
    let what = if name.is_empty() {
        format!("nothing is to be planned here, and line {line} plans something")
    } else {
        format!("“{name}” is in line {line} too, for the same meal or day")
    };
    Problem::at(row.line.clone(), what).hint("write one row for it, with the whole amount")
}

/// The meal that a row is about, and the name of what it plans.
fn admitted(
    row: &PlanRow,
    admission: &Validation<'_>,
    known: &[FoodId],
) -> Result<(Option<Slot>, String), Vec<Problem>> {
    let [day, _, _, _, what, ..] = &row.cells;
    let place = |problem: Problem, cell: &Located<String>| Problem {
        place: cell.place.clone(),
        ..problem
    };
    let mut problems = Vec::new();
    let mut name = String::new();
    let slot = match &row.thing {
        Thing::Serving(_) | Thing::EmptyMeal => {
            let slot = slot(row, admission).map_err(|(problem, cell)| place(problem, cell));
            slot.map_err(|problem| problems.push(problem)).ok()
        }
        Thing::Cooking(_) | Thing::NoCooking => {
            let wrong = admission.cooking_day(row.day).err();
            problems.extend(wrong.map(|problem| place(problem, day)));
            None
        }
    };
    let wrong = match &row.thing {
        Thing::Serving(serving) => {
            name = name_of(serving);
            admission
                .serving(serving)
                .and_then(|()| known_food(serving, known))
                .err()
        }
        Thing::Cooking(cooking) => {
            name.clone_from(&cooking.recipe);
            admission.cooking(cooking).err()
        }
        Thing::EmptyMeal | Thing::NoCooking => None,
    };
    problems.extend(wrong.map(|problem| place(problem, what)));
    if problems.is_empty() {
        Ok((slot, name))
    } else {
        Err(problems)
    }
}

/// The meal of a row; otherwise the problem, with its cell.
fn slot<'a>(
    row: &'a PlanRow,
    admission: &Validation<'_>,
) -> Result<Slot, (Problem, &'a Located<String>)> {
    let [day, child, meal, ..] = &row.cells;
    let child_name = Some(child.value.as_str()).filter(|child| !child.is_empty());
    let settings = admission.settings;
    settings
        .child(child_name)
        .map_err(|problem| (problem, child))?;
    settings
        .meal(&meal.value)
        .map_err(|problem| (problem, meal))?;
    let slot = admission.slot(row.day, child_name, &meal.value);
    slot.map_err(|problem| (problem, day))
}

fn known_food(serving: &PlannedServing, known: &[FoodId]) -> Result<(), Problem> {
    match serving {
        PlannedServing::Food(food) if !known.contains(&food.id) => {
            let problem = Problem::new(format!("no food has the id {}", food.id));
            Err(problem.hint(NextStep::without_food(food.id.as_str())))
        }
        _ => Ok(()),
    }
}
