//! Parts the cubes of a day into meals.

use std::collections::BTreeMap;

use super::draft::Draft;
use crate::planning::frame::{Cell, Frame};
use crate::planning::{Cooking, Origin, Part, Plan, PlannedMeal};

/// One meal: candidate and cubes.
type Meal = Vec<(usize, u32)>;

/// The plan that a draft stands for; `None` if a day cannot be parted, which a draft that keeps the rules never causes.
pub(super) fn plan(frame: &Frame<'_>, draft: &Draft) -> Option<Plan> {
    let mut plan = Plan::default();
    for (child, day, cell) in frame.slots().filter(|(_, _, cell)| !cell.meals.is_empty()) {
        let meals = meals(frame, cell, draft.day(child, day))?;
        for (name, meal) in cell.meals.iter().zip(meals) {
            let parts = meal.into_iter().map(|(candidate, cubes)| Part {
                origin: frame.candidates[candidate].origin,
                cubes,
            });
            plan.meals.push(PlannedMeal {
                day: frame.request.days[day],
                child,
                meal: name.clone(),
                parts: parts.collect(),
            });
        }
    }
    plan.meals.sort_by_key(|meal| (meal.day, meal.child));
    for (index, candidate) in frame.candidates.iter().enumerate() {
        if let (Origin::Cooking { recipe, day }, trays @ 1..) =
            (candidate.origin, draft.trays[index])
        {
            plan.cookings.push(Cooking { day, recipe, trays });
        }
    }
    plan.cookings.sort_by_key(|one| (one.day, one.recipe));
    Some(plan)
}

/// The draft of a plan that was made from this frame; `None` where it names what is not there.
pub(super) fn draft(frame: &Frame<'_>, plan: &Plan) -> Option<Draft> {
    let place = |origin: Origin| frame.candidates.iter().position(|one| one.origin == origin);
    let mut draft = Draft::empty(frame);
    for meal in &plan.meals {
        let day = frame.request.day_index(meal.day)?;
        for part in &meal.parts {
            draft.day_mut(meal.child, day)[place(part.origin)?] += part.cubes;
        }
    }
    for cooking in &plan.cookings {
        let origin = Origin::Cooking {
            recipe: cooking.recipe,
            day: cooking.day,
        };
        draft.trays[place(origin)?] += cooking.trays;
    }
    Some(draft)
}

/// Of all ways to size the meals, the one that repeats flavours and mixes kinds the least.
fn meals(frame: &Frame<'_>, cell: &Cell, cubes: &[u32]) -> Option<Vec<Meal>> {
    let kinds: Vec<(usize, u32)> = cubes
        .iter()
        .copied()
        .enumerate()
        .filter(|(_, cubes)| *cubes > 0)
        .collect();
    let total = kinds.iter().map(|(_, cubes)| cubes).sum();
    let ways = sizes(cell.meals.len(), total, cell.least, cell.most);
    let parted = ways.iter().filter_map(|sizes| part(&kinds, sizes));
    parted.min_by_key(|meals| (repeats(frame, meals), mixed(meals)))
}

fn mixed(meals: &[Meal]) -> usize {
    meals.iter().filter(|meal| meal.len() > 1).count()
}

/// Meals of a flavour beyond two.
fn repeats(frame: &Frame<'_>, meals: &[Meal]) -> usize {
    let mut count: BTreeMap<&str, usize> = BTreeMap::new();
    for meal in meals {
        let mut flavours: Vec<&str> = meal
            .iter()
            .map(|(one, _)| frame.candidates[*one].flavour)
            .collect();
        flavours.dedup();
        for flavour in flavours {
            *count.entry(flavour).or_default() += 1;
        }
    }
    count.values().map(|count| count.saturating_sub(2)).sum()
}

/// Every way to size so many meals, the large first.
fn sizes(meals: usize, total: u32, least: u32, most: u32) -> Vec<Vec<u32>> {
    if meals == 0 {
        return if total == 0 {
            vec![Vec::new()]
        } else {
            Vec::new()
        };
    }
    let mut all = Vec::new();
    for first in least..=most.min(total) {
        for mut rest in sizes(meals - 1, total - first, least, first) {
            rest.insert(0, first);
            all.push(rest);
        }
    }
    all
}

/// Fills meals of given sizes with two kinds at most. For sizes as even as can be and at most one kind more than meals this always
/// succeeds: of n + 1 kinds for n meals the smallest fits into a meal and the largest fills its rest, which leaves n kinds for n - 1
/// meals; and where every kind is larger than a meal, there are fewer kinds than meals.
fn part(kinds: &[(usize, u32)], sizes: &[u32]) -> Option<Vec<Meal>> {
    let mut left = kinds.to_vec();
    let mut meals = Vec::new();
    for size in sizes {
        left.retain(|(_, cubes)| *cubes > 0);
        left.sort_by_key(|(kind, cubes)| (*cubes, *kind));
        if let Some(exact) = left.iter_mut().find(|(_, cubes)| cubes == size) {
            meals.push(vec![*exact]);
            exact.1 = 0;
            continue;
        }
        let last = left.len().checked_sub(1)?;
        let small = left[0];
        if small.1 > *size || last == 0 {
            left[last].1 = left[last].1.checked_sub(*size)?;
            meals.push(vec![(left[last].0, *size)]);
            continue;
        }
        let rest = size - small.1;
        left[last].1 = left[last].1.checked_sub(rest)?;
        left[0].1 = 0;
        meals.push(vec![small, (left[last].0, rest)]);
    }
    left.iter().all(|(_, cubes)| *cubes == 0).then_some(meals)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_is_always_parted_into_meals_of_two_kinds() {
        for meals in 1..=5_usize {
            for a in 1..=8_u32 {
                for b in 0..=8_u32 {
                    for c in 0..=8_u32 {
                        let kinds: Vec<(usize, u32)> = [a, b, c]
                            .into_iter()
                            .enumerate()
                            .filter(|(_, cubes)| *cubes > 0)
                            .collect();
                        let total = a + b + c;
                        if kinds.len() > meals + 1 || total < u32::try_from(meals).unwrap() {
                            continue;
                        }
                        let ways = sizes(meals, total, 1, total);
                        let even = ways
                            .iter()
                            .min_by_key(|sizes| sizes[0] - sizes[meals - 1])
                            .unwrap();
                        let parted =
                            part(&kinds, even).unwrap_or_else(|| panic!("{kinds:?} {even:?}"));
                        assert!(parted.iter().all(|meal| (1..=2).contains(&meal.len())));
                        let all: u32 = parted.iter().flatten().map(|(_, cubes)| cubes).sum();
                        assert_eq!(all, total);
                    }
                }
            }
        }
    }
}
