//! The limits that bind the plan, the cubes that spoil nevertheless, and the figures that are lower
//! bounds.

use std::collections::{BTreeMap, BTreeSet};

use data_import::NutrientId;
use jiff::ToSpan as _;

use super::proposal::Spoiled;
use super::verify::week;
use crate::planning::Schedule;
use crate::planning::indexed_request::IndexedRequest;

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
        let why = dish.barred.get(&child)?;
        let has_cubes = dish.lots.iter().any(|lot| index.lots[*lot].cubes > 0);
        has_cubes.then(|| {
            let why = why.trim_end_matches('.');
            format!("{} is not for {name}: {why}", dish.title)
        })
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
