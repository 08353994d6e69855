//! Another dish for one meal of a proposal: from cubes that are left or from one tray more, without
//! breaking a rule.

use super::proposal::Proposal;
use super::reasons::dish_of;
use super::{unrated, verify};
use crate::planning::indexed_request::{IndexedRequest, Lot};
use crate::planning::{
    Cooking, CubeOrigin, CubeSize, PlannedCubes, PlannedMeal, Request, Schedule,
};

/// The proposals in which one meal, by its place among the meals, has another dish and all other
/// meals stay as they are; one for each dish that may come there.
pub fn instead(request: &Request, proposal: &Proposal, meal: usize) -> Vec<Proposal> {
    let index = IndexedRequest::new(request);
    let Some(planned) = proposal.plan.meals.get(meal) else {
        return Vec::new();
    };
    let now = planned
        .parts
        .first()
        .map(|part| part.origin.recipe(request));
    let Some(day) = request.day_index(planned.day) else {
        return Vec::new();
    };
    let dishes = index.days[planned.child][day].dishes.iter().copied();
    let others = dishes.filter(|dish| Some(index.dishes[*dish].name) != now);
    let changed = others.filter_map(|dish| {
        let mut plan = proposal.plan.clone();
        plan.meals[meal].parts = Vec::new();
        let sizes = index.days[planned.child][day].cubes_of(&index.dishes[dish]);
        let (size, now) = (index.dishes[dish].size, size_of(&index, planned));
        let cubes = if size == now {
            planned.cubes()
        } else {
            size.nearest(planned.cubes(), now)
                .clamp(*sizes.start(), *sizes.end())
        };
        let parts = taken(&index, &mut plan, (dish, day), cubes)?;
        plan.meals[meal].parts = parts;
        drop_unused(&mut plan);
        verify(request, &plan).is_empty().then_some(plan)
    });
    changed.map(|plan| unrated(&index, plan)).collect()
}

/// The size of the cubes of a meal.
fn size_of(index: &IndexedRequest<'_>, meal: &PlannedMeal) -> CubeSize {
    dish_of(index, meal).map_or(CubeSize::USUAL, |dish| dish.size)
}

/// So many cubes of a dish on a day, those that spoil first; where too few are left, with a tray
/// more. `None` where there are not enough.
fn taken(
    index: &IndexedRequest<'_>,
    plan: &mut Schedule,
    (dish, day): (usize, usize),
    cubes: u32,
) -> Option<Vec<PlannedCubes>> {
    let mut lots: Vec<&Lot<'_>> = index.lots_on(dish, day).map(|at| &index.lots[at]).collect();
    lots.sort_by_key(|lot| lot.use_by);
    if let Some(parts) = out_of(&lots, plan, cubes) {
        return Some(parts);
    }
    let to_cook = lots.iter().find_map(|lot| match lot.origin {
        CubeOrigin::Cooking { recipe, day } => Some((recipe, day)),
        CubeOrigin::Batch(_) => None,
    });
    let (recipe, cooked) = to_cook?;
    let mut cookings = plan.cookings.iter_mut();
    match cookings.find(|cooking| (cooking.recipe, cooking.day) == (recipe, cooked)) {
        Some(cooking) => cooking.trays += 1,
        None => plan.cookings.push(Cooking {
            day: cooked,
            recipe,
            trays: 1,
        }),
    }
    plan.cookings.sort_by_key(|cooking| cooking.day);
    out_of(&lots, plan, cubes)
}

fn out_of(lots: &[&Lot<'_>], plan: &Schedule, cubes: u32) -> Option<Vec<PlannedCubes>> {
    let (mut parts, mut lacking) = (Vec::new(), cubes);
    for lot in lots {
        let cubes = left(lot, plan).min(lacking);
        if cubes > 0 {
            parts.push(PlannedCubes {
                origin: lot.origin,
                cubes,
            });
            lacking -= cubes;
        }
    }
    (lacking == 0).then_some(parts)
}

/// Cubes of a lot that no meal of the plan takes.
fn left(lot: &Lot<'_>, plan: &Schedule) -> u32 {
    let parts = plan.meals.iter().flat_map(|meal| &meal.parts);
    let of_lot = parts.filter(|part| part.origin == lot.origin);
    let taken: u32 = of_lot.map(|part| part.cubes).sum();
    let available = match lot.origin {
        CubeOrigin::Batch(_) => lot.cubes,
        CubeOrigin::Cooking { recipe, day } => {
            let cooked = plan.cookings.iter();
            let cooked = cooked.filter(|cooking| (cooking.recipe, cooking.day) == (recipe, day));
            cooked
                .map(|cooking| cooking.trays.saturating_mul(lot.cubes))
                .sum()
        }
    };
    available.saturating_sub(taken)
}

/// Removes the trays that no meal takes any more.
fn drop_unused(plan: &mut Schedule) {
    let meals = &plan.meals;
    plan.cookings.retain(|cooking| {
        let origin = CubeOrigin::Cooking {
            recipe: cooking.recipe,
            day: cooking.day,
        };
        let mut parts = meals.iter().flat_map(|meal| &meal.parts);
        parts.any(|part| part.origin == origin)
    });
}
