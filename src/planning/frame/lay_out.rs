//! How a request is laid out.

use std::collections::{BTreeMap, BTreeSet};

use super::{Candidate, Cell, NewFood};

use data_import::FoodId;
use jiff::ToSpan as _;
use jiff::civil::Date;

use crate::planning::{Origin, Request, Rule};

pub(super) fn candidates(request: &Request, without: Option<Rule>) -> Vec<Candidate<'_>> {
    let last = request.days.len().saturating_sub(1);
    let span = |from: Date, use_by: Date| {
        let first = request
            .days
            .iter()
            .position(|day| *day >= from)
            .unwrap_or(last + 1);
        let until = request
            .days
            .iter()
            .rposition(|day| without == Some(Rule::UseBy) || *day <= use_by);
        until.map_or(last + 1..=last, |until| first..=until)
    };
    let expires = |use_by: Date| request.days.contains(&use_by);
    let mut all: Vec<Candidate<'_>> = Vec::new();
    for (index, batch) in request.batches.iter().enumerate() {
        let settled = request
            .fixed
            .iter()
            .flat_map(|meal| &meal.parts)
            .filter_map(|part| part.cubes);
        let taken: u32 = settled
            .filter(|(one, _)| *one == index)
            .map(|(_, cubes)| cubes)
            .sum();
        let endless = u32::try_from(request.days.len() * 1000).unwrap_or(u32::MAX);
        all.push(Candidate {
            origin: Origin::Batch(index),
            title: &batch.title,
            flavour: &batch.recipe,
            cube: &batch.cube,
            groups: &batch.groups,
            days: span(batch.from, batch.use_by),
            use_by: batch.use_by,
            cubes: if without == Some(Rule::Stock) {
                endless
            } else {
                batch.cubes.saturating_sub(taken)
            },
            most_trays: 1,
            cost: batch.cost.unwrap_or_default().amount(),
            expires: expires(batch.use_by),
        });
    }
    for (index, recipe) in request.recipes.iter().enumerate() {
        for day in recipe
            .cook_days
            .iter()
            .copied()
            .filter(|day| request.days.contains(day))
        {
            let from = if recipe.same_day {
                day
            } else {
                day.tomorrow().unwrap_or(day)
            };
            let use_by = day.saturating_add(i64::from(recipe.freezer_days).days());
            all.push(Candidate {
                origin: Origin::Cooking { recipe: index, day },
                title: &recipe.title,
                flavour: &recipe.recipe,
                cube: &recipe.cube,
                groups: &recipe.groups,
                days: span(from, use_by),
                use_by,
                cubes: recipe.cubes_a_tray,
                most_trays: recipe.most_trays,
                cost: recipe.tray_cost.unwrap_or_default().amount(),
                expires: expires(use_by),
            });
        }
    }
    all
}

pub(super) fn cells_of(request: &Request, child: usize) -> Vec<Cell> {
    let eater = &request.children[child];
    let mut cells = Vec::new();
    for (day, need) in request.days.iter().zip(&eater.days) {
        let settled: Vec<_> = request
            .fixed
            .iter()
            .filter(|meal| meal.child == child && meal.day == *day)
            .collect();
        let named = eater
            .meals
            .iter()
            .filter(|name| settled.iter().all(|meal| meal.meal != **name));
        let room = (*need.meals.end() as usize).saturating_sub(settled.len());
        let mut cell = Cell {
            meals: named.take(room).cloned().collect(),
            least: *need.cubes.start(),
            most: *need.cubes.end(),
            ..Cell::default()
        };
        for meal in settled {
            let flavours: BTreeSet<_> = meal
                .parts
                .iter()
                .filter_map(|part| Some(&request.batches[part.cubes?.0].recipe))
                .collect();
            for flavour in flavours {
                *cell.fixed_flavours.entry(flavour.clone()).or_default() += 1;
            }
            cell.fixed
                .extend(meal.parts.iter().map(|part| part.serving.clone()));
            cell.fixed_groups
                .extend(meal.parts.iter().flat_map(|part| &part.groups));
        }
        cells.push(cell);
    }
    cells
}

/// The foods in candidates and settled meals that a child does not know, and when each may first be tasted.
pub(super) fn new_foods_of(
    request: &Request,
    child: usize,
    candidates: &[Candidate<'_>],
) -> Vec<NewFood> {
    let eater = &request.children[child];
    let unknown = |id: &FoodId| !eater.known.contains_key(id);
    let mut settled: BTreeMap<FoodId, usize> = BTreeMap::new();
    let mut names: BTreeMap<FoodId, String> = BTreeMap::new();
    for meal in request.fixed.iter().filter(|meal| meal.child == child) {
        let Some(day) = request.day_index(meal.day) else {
            continue;
        };
        for food in meal
            .parts
            .iter()
            .flat_map(|part| &part.serving.foods)
            .filter(|food| unknown(&food.id))
        {
            let first = settled.entry(food.id.clone()).or_insert(day);
            *first = day.min(*first);
            names.insert(food.id.clone(), food.name.clone());
        }
    }
    for food in candidates
        .iter()
        .flat_map(|one| &one.cube.foods)
        .filter(|food| unknown(&food.id))
    {
        names.insert(food.id.clone(), food.name.clone());
    }
    let waiting = i64::from(request.waiting_days.max(1));
    let open_from = eater
        .last_first()
        .map(|last| last.saturating_add(waiting.days()));
    let firsts: Vec<usize> = settled.values().copied().collect();
    let clear = |day: usize| {
        let waited = open_from.is_none_or(|from| request.days[day] >= from);
        waited
            && firsts
                .iter()
                .all(|first| first.abs_diff(day) as u64 >= waiting.unsigned_abs())
    };
    let days: Vec<usize> = (0..request.days.len()).filter(|day| clear(*day)).collect();
    let found = names.into_iter().map(|(id, name)| NewFood {
        within: (0..candidates.len())
            .filter(|index| candidates[*index].holds(&id))
            .collect(),
        settled: settled.get(&id).copied(),
        days: if settled.contains_key(&id) {
            Vec::new()
        } else {
            days.clone()
        },
        id,
        name,
    });
    found.collect()
}

/// Whether a candidate may be served to a child on a day, first tastes apart.
pub(super) fn may_be_served(
    request: &Request,
    child: usize,
    day: usize,
    index: usize,
    candidates: &[Candidate<'_>],
    new_foods: &[NewFood],
    without: Option<Rule>,
) -> bool {
    let (candidate, eater) = (&candidates[index], &request.children[child]);
    let shunned = candidate
        .cube
        .foods
        .iter()
        .any(|food| eater.excluded.contains_key(&food.id));
    // A food of a settled first taste is known from the day after it.
    let mut new = new_foods.iter().filter(|food| food.within.contains(&index));
    let can_be_known = new.all(|food| match food.settled {
        Some(first) => day > first,
        None => food.days.iter().any(|first| *first <= day),
    });
    candidate.days.contains(&day)
        && candidate.most_cubes() > 0
        && (without == Some(Rule::Reaction) || !shunned)
        && can_be_known
}
