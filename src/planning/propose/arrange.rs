//! Assigns the dishes of a day to its meals, and cubes from lots to the dishes.
//!
//! The program only decides which dishes a child has on a day. Dynamic programming over the days
//! finds the best order of all, with the last meals as its state, so that no dish comes too often
//! in a row.

use std::collections::{BTreeMap, BTreeSet};

use super::formulate::Formulation;
use crate::planning::indexed_request::{IndexedRequest, holds_dish};
use crate::planning::rules::table::IN_A_ROW;
use crate::planning::{Cooking, CubeOrigin, PlannedCubes, PlannedMeal, Schedule};

/// The penalties of an order: a dish at one meal too many in a row, a first taste late in the day,
/// a gap before a meal, the dish of the meal before. Only their order of magnitude matters
/// (judgement).
const TOO_MANY: u32 = 100_000;
const FIRST_TASTE_LATE: u32 = 1000;
const GAP: u32 = 100;
const SAME_AGAIN: u32 = 10;

/// A dish for a meal to fill; `None` for a meal that stays empty.
type Filling = Option<usize>;
/// The dish of the last meal by its name, and the number of meals in a row that it came at.
type Tail<'a> = (Option<&'a str>, usize);

/// The plan that a solution of the program means.
pub(super) fn plan(index: &IndexedRequest<'_>, form: &Formulation, values: &[f64]) -> Schedule {
    let mut plan = Schedule::default();
    for child in 0..index.days.len() {
        let counts = |day, dish| {
            let meals = [&form.served, &form.twice].map(|all| all.get(&(child, day, dish)));
            let times = meals.into_iter().flatten().map(|at| count(values[*at]));
            times.sum()
        };
        for (day, fillings) in orders(index, child, counts).into_iter().enumerate() {
            let of = &index.days[child][day];
            let mut cubes = CubesOfDay::of(index, form, values, (child, day));
            for (place, filling) in of.meals.iter().zip(&fillings) {
                let Some(dish) = filling else { continue };
                let left = fillings.iter().filter(|other| *other == filling).count();
                plan.meals.push(PlannedMeal {
                    day: index.request.days[day],
                    child,
                    meal: index.request.children[child].meals[*place].clone(),
                    parts: cubes.meal(index, *dish, left),
                });
            }
        }
    }
    plan.meals.sort_by_key(|meal| (meal.day, meal.child));
    for (lot, trays) in &form.trays {
        if let (CubeOrigin::Cooking { recipe, day }, trays @ 1..) =
            (index.lots[*lot].origin, count(values[*trays]))
        {
            plan.cookings.push(Cooking { day, recipe, trays });
        }
    }
    plan.cookings
        .sort_by_key(|cooking| (cooking.day, cooking.recipe));
    plan
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "counts of meals, cubes and trays, verified afterwards"
)]
fn count(value: f64) -> u32 {
    value.round().max(0.0) as u32
}

/// The best order of each day's dishes.
fn orders(
    index: &IndexedRequest<'_>,
    child: usize,
    meals: impl Fn(usize, usize) -> u32,
) -> Vec<Vec<Filling>> {
    let mut tasted = Vec::new();
    let start = (0, Vec::new());
    let mut best: BTreeMap<Tail<'_>, (u32, Vec<Vec<Filling>>)> =
        BTreeMap::from([(tail_before(index, child), start)]);
    for (day, of) in index.days[child].iter().enumerate() {
        let dishes = of.dishes.iter().copied();
        let served =
            dishes.flat_map(|dish| std::iter::repeat_n(Some(dish), meals(day, dish) as usize));
        let mut fillings: Vec<Filling> = served.take(of.meals.len()).collect();
        fillings.resize(of.meals.len(), None);
        fillings.sort();
        let new = new_dishes(index, child, &fillings, &mut tasted);
        let mut next: BTreeMap<Tail<'_>, (u32, Vec<Vec<Filling>>)> = BTreeMap::new();
        for order in permutations(&fillings) {
            for (tail, (cost, so_far)) in &best {
                let (more, tail) = cost_of(index, (child, day), &order, &new, *tail);
                let cost = cost + more;
                if next.get(&tail).is_none_or(|(least, _)| cost < *least) {
                    let mut days = so_far.clone();
                    days.push(order.clone());
                    next.insert(tail, (cost, days));
                }
            }
        }
        best = next;
    }
    let best = best.into_values().min_by_key(|(cost, _)| *cost);
    best.map(|(_, days)| days).unwrap_or_default()
}

/// The dishes that bring a food for the first time in this plan.
fn new_dishes(
    index: &IndexedRequest<'_>,
    child: usize,
    fillings: &[Filling],
    tasted: &mut Vec<usize>,
) -> Vec<usize> {
    let unknown = |food: &usize, dish: usize| {
        let food = &index.new_foods[child][*food];
        index.dishes[dish].foods.contains(&food.id)
    };
    let mut new = Vec::new();
    for dish in fillings.iter().copied().flatten() {
        let foods = 0..index.new_foods[child].len();
        let first: Vec<usize> = foods
            .filter(|food| unknown(food, dish) && !tasted.contains(food))
            .collect();
        if !first.is_empty() {
            new.push(dish);
            tasted.extend(first);
        }
    }
    new
}

/// The penalty of an order of a day after the meals before it, and the state at the end of the day.
fn cost_of<'a>(
    index: &IndexedRequest<'a>,
    (child, day): (usize, usize),
    order: &[Filling],
    new: &[usize],
    mut tail: Tail<'a>,
) -> (u32, Tail<'a>) {
    let of = &index.days[child][day];
    let names = &index.request.children[child].meals;
    let mut cost = 0;
    let mut filled = 0;
    let of_day = order.iter().flatten().count() + of.fixed.len();
    let is_full = of_day >= index.request.children[child].meals_needed(index.request.days[day]);
    for (place, name) in names.iter().enumerate() {
        let at = of.meals.iter().position(|meal| *meal == place);
        let dish = at.and_then(|at| order.get(at).copied().flatten());
        let mut settled = of.fixed.iter().filter(|meal| meal.meal == *name);
        let title = match dish {
            Some(dish) => Some(index.dishes[dish].name),
            None => settled
                .clone()
                .find_map(|meal| meal.parts.iter().find_map(|part| part.recipe.as_deref())),
        };
        if at.is_some() && dish.is_none() {
            cost += GAP * u32::try_from(names.len() - place).unwrap_or(0);
        }
        if dish.is_some_and(|dish| new.contains(&dish)) {
            cost += FIRST_TASTE_LATE * filled;
        }
        filled += u32::from(dish.is_some());
        if dish.is_none() && settled.next().is_none() && is_full {
            // A gap at a meal that the day does not need does not end a row.
            continue;
        }
        tail = match (title, tail) {
            (Some(title), (Some(last), row)) if title == last => {
                cost += if row >= IN_A_ROW as usize {
                    TOO_MANY
                } else {
                    SAME_AGAIN
                };
                (Some(title), row + 1)
            }
            (title, _) => (title, 1),
        };
    }
    (cost, tail)
}

/// The state at the end of the day before the plan.
fn tail_before<'a>(index: &IndexedRequest<'a>, child: usize) -> Tail<'a> {
    let Some(first) = index.request.days.first() else {
        return (None, 0);
    };
    let eater = &index.request.children[child];
    let names = &eater.meals;
    let mut tail: Option<(&str, usize)> = None;
    for day in (1..=2).filter_map(|back| {
        let back = jiff::Span::new().days(back);
        first.checked_sub(back).ok()
    }) {
        let of_day = index.fixed_of(child).filter(|meal| meal.day == day);
        let had: BTreeSet<&str> = of_day.map(|meal| meal.meal.as_str()).collect();
        let is_full = had.len() >= eater.meals_needed(day);
        for name in names
            .iter()
            .filter(|name| !is_full || had.contains(name.as_str()))
            .rev()
        {
            let mut fixed = index.fixed_of(child);
            let meal = fixed.find(|meal| meal.day == day && meal.meal == *name);
            let dish =
                meal.and_then(|meal| meal.parts.iter().find_map(|part| part.recipe.as_deref()));
            tail = match (tail, dish, meal) {
                (None, Some(dish), _) => Some((dish, 1)),
                (Some((last, row)), Some(_), Some(meal)) if holds_dish(meal, last) => {
                    Some((last, row + 1))
                }
                (tail, _, _) => return tail.map_or((None, 0), |(last, row)| (Some(last), row)),
            };
        }
    }
    tail.map_or((None, 0), |(last, row)| (Some(last), row))
}

/// All distinct permutations of the fillings.
fn permutations(of: &[Filling]) -> Vec<Vec<Filling>> {
    if of.is_empty() {
        return vec![Vec::new()];
    }
    let mut all = Vec::new();
    for (at, first) in of.iter().enumerate() {
        if of[..at].contains(first) {
            continue;
        }
        let mut rest = of.to_vec();
        rest.remove(at);
        for mut order in permutations(&rest) {
            order.insert(0, *first);
            all.push(order);
        }
    }
    all
}

/// The cubes of one day, still to be split among its meals.
struct CubesOfDay {
    /// Cubes left of each lot.
    left: BTreeMap<usize, u32>,
    /// The number of meals that each dish was given.
    given: BTreeMap<usize, usize>,
}

impl CubesOfDay {
    fn of(
        index: &IndexedRequest<'_>,
        form: &Formulation,
        values: &[f64],
        (child, day): (usize, usize),
    ) -> Self {
        let lots = (0..index.lots.len()).filter_map(|lot| {
            let cubes = form.cubes.get(&(child, day, lot))?;
            Some((lot, count(values[*cubes])))
        });
        Self {
            left: lots.collect(),
            given: BTreeMap::new(),
        }
    }

    /// The cubes of the next of `meals` meals of a dish: as even as possible, the larger first,
    /// from the cubes to be eaten first.
    fn meal(&mut self, index: &IndexedRequest<'_>, dish: usize, meals: usize) -> Vec<PlannedCubes> {
        let given = self.given.entry(dish).or_default();
        let to_come = u32::try_from(meals - *given).unwrap_or(1).max(1);
        *given += 1;
        let mut lots: Vec<usize> = index.dishes[dish].lots.clone();
        lots.sort_by_key(|lot| (index.lots[*lot].use_by, index.lots[*lot].origin));
        let total: u32 = lots.iter().filter_map(|lot| self.left.get(lot)).sum();
        let mut wanted = total.div_ceil(to_come);
        let mut parts = Vec::new();
        for lot in lots {
            let Some(left) = self.left.get_mut(&lot) else {
                continue;
            };
            let cubes = wanted.min(*left);
            if cubes > 0 {
                *left -= cubes;
                wanted -= cubes;
                let origin = index.lots[lot].origin;
                parts.push(PlannedCubes { origin, cubes });
            }
        }
        parts
    }
}
