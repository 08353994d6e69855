//! The limits that bind the plan, the cubes that spoil nevertheless, and the figures that are lower
//! bounds.

use std::collections::{BTreeMap, BTreeSet};

use data_import::NutrientId;
use jiff::ToSpan as _;

use super::proposal::Spoiled;
use super::verify::week;
use crate::planning::Schedule;
use crate::planning::indexed_request::{Dish, IndexedRequest};
use crate::words;

/// The limits that bind the plan, as sentences.
pub(super) fn held_back(index: &IndexedRequest<'_>, plan: &Schedule) -> Vec<String> {
    let mut all = Vec::new();
    for child in 0..index.days.len() {
        all.extend(waiting(index, plan, child));
    }
    all
}

/// Dishes in the freezer that a child may not have, with the reason.
pub(super) fn left_out(index: &IndexedRequest<'_>) -> Vec<String> {
    let children = 0..index.days.len();
    children.flat_map(|child| barred(index, child)).collect()
}

fn barred(index: &IndexedRequest<'_>, child: usize) -> BTreeSet<String> {
    let name = &index.request.children[child].name;
    let dishes = index.dishes.iter();
    let words = dishes.filter_map(|dish| {
        let (when, why) = match dish.barred.get(&child) {
            Some(why) => (String::new(), why),
            None => on_some_days(dish, child)?,
        };
        let there = dish.lots.iter().any(|lot| index.lots[*lot].cubes > 0);
        there.then(|| {
            let why = why.trim_end_matches('.');
            format!("{} is not for {name}{when}: {why}", dish.title)
        })
    });
    words.collect()
}

/// The last of the days on which a dish is barred for a child, in words, and why.
fn on_some_days<'a>(dish: &Dish<'a>, child: usize) -> Option<(String, &'a String)> {
    let mut days = dish.not_on.iter().filter(|((of, _), _)| *of == child);
    let ((_, last), why) = days.next_back()?;
    Some((format!(" until {}", last.strftime("%a %-d %b")), why))
}

/// The children for whom no meal of some days is filled, since they are not six months old yet, as
/// sentences.
pub(super) fn before_solids(index: &IndexedRequest<'_>) -> Vec<String> {
    let request = index.request;
    let children = request.children.iter().filter(|eater| {
        let first = request.days.first();
        first.is_some_and(|first| *first < eater.solids_from)
    });
    let words = children.map(|eater| {
        let (name, day) = (&eater.name, words::day(eater.solids_from));
        format!(
            "{name} is six months old on {day}, and no meal of the days before is filled: solids start at about \
             six months. Ask your paediatrician before an earlier start"
        )
    });
    words.collect()
}

/// The next new food that has to wait.
fn waiting(index: &IndexedRequest<'_>, plan: &Schedule, child: usize) -> Option<String> {
    let request = index.request;
    let eater = &request.children[child];
    let firsts = week(request, plan).first_tastes(child);
    let days = i64::from(request.waiting.days.max(1)).days();
    let firsts_wait = firsts.keys().map(|day| day.saturating_add(days));
    let free = eater.new_from.into_iter().chain(firsts_wait).max()?;
    let tasted = |food| firsts.values().any(|foods| foods.contains_key(food));
    let mut new = index.new_foods[child].iter();
    let waits = new.any(|food| !tasted(&food.id));
    let first = *request.days.first()?;
    (waits && free > first).then(|| {
        let day = free.strftime("%a %-d %b");
        format!("the next new food of {} may come on {day}", eater.name)
    })
}

/// Cubes that are past their day within the plan.
pub(super) fn spoiled(index: &IndexedRequest<'_>, plan: &Schedule) -> Vec<Spoiled> {
    let mut served: BTreeMap<_, u32> = BTreeMap::new();
    for part in plan.meals.iter().flat_map(|meal| &meal.parts) {
        *served.entry(part.origin).or_default() += part.cubes;
    }
    let lots = index
        .lots
        .iter()
        .filter(|lot| lot.trays.is_none() && index.request.days.contains(&lot.use_by));
    let left = lots.filter_map(|lot| {
        let served = served.get(&lot.origin).copied().unwrap_or(0);
        let cubes = lot.cubes.saturating_sub(served);
        (cubes > 0).then(|| Spoiled {
            origin: lot.origin,
            title: lot.origin.title(index.request).to_string(),
            cubes,
            use_by: lot.use_by,
        })
    });
    left.collect()
}

/// Dishes of the plan of which not all iron is known.
pub(super) fn lower_bounds(index: &IndexedRequest<'_>, plan: &Schedule) -> Vec<String> {
    let mut words = BTreeSet::new();
    for part in plan.meals.iter().flat_map(|meal| &meal.parts) {
        let Some(cube) = part.origin.cube(index.request) else {
            continue;
        };
        for food in &cube.total(NutrientId::IRON).missing {
            let named = cube.foods.iter().find(|other| other.id == *food);
            let name = named.map_or(food.as_str(), |food| &food.name);
            let title = part.origin.title(index.request);
            words.insert(format!(
                "iron of {title}: {name} has no value, so there may be more"
            ));
        }
    }
    words.into_iter().collect()
}
