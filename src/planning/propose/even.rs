//! Evens out the sizes of meals. The program counts the cubes of a child over all days, so that it
//! has no preference whether a batch that runs short gives five cubes and two, or four and three; a
//! child eats about as much one day as the next.

use std::collections::BTreeSet;

use jiff::civil::Date;

use super::reasons::dish_of;
use super::verify::week;
use crate::planning::indexed_request::{IndexedRequest, Lot};
use crate::planning::{CubeSize, PlannedMeal, Schedule};

/// The meals that bring a child a major allergen for the first time, by day and name: a little is
/// all of them.
type FirstAllergens = BTreeSet<(Date, String)>;

/// Moves cubes of one lot from large meals of a child to small ones, as long as the plan loses
/// nothing by it.
pub(super) fn even_out(index: &IndexedRequest<'_>, plan: &mut Schedule) {
    for child in 0..index.days.len() {
        // A move leaves every meal its dish, so that these meals stay the same.
        let firsts = week(index.request, plan).first_allergens(child);
        let firsts = firsts
            .into_iter()
            .map(|one| (one.day, one.meal.to_string()));
        let firsts: FirstAllergens = firsts.collect();
        for lot in &index.lots {
            // Each move brings two meals nearer to each other, so that it ends.
            while let Some((from, to)) = a_move(index, plan, (child, &firsts), lot) {
                for (at, more) in [(from, false), (to, true)] {
                    let mut parts = plan.meals[at].parts.iter_mut();
                    if let Some(part) = parts.find(|part| part.origin == lot.origin) {
                        part.cubes = if more { part.cubes + 1 } else { part.cubes - 1 };
                    }
                }
            }
        }
    }
}

/// The meals from which and to which a cube of a lot is moved; `None` where no move is left.
fn a_move(
    index: &IndexedRequest<'_>,
    plan: &Schedule,
    (child, firsts): (usize, &FirstAllergens),
    lot: &Lot<'_>,
) -> Option<(usize, usize)> {
    let cubes_of_lot = |meal: &PlannedMeal| -> u32 {
        let parts = meal.parts.iter().filter(|part| part.origin == lot.origin);
        parts.map(|part| part.cubes).sum()
    };
    let meals = plan.meals.iter().enumerate();
    let meals = meals.filter(|(_, meal)| {
        let is_first = firsts.contains(&(meal.day, meal.meal.clone()));
        meal.child == child && cubes_of_lot(meal) > 0 && !is_first
    });
    let gives = |meal: &PlannedMeal| {
        let sizes = sizes(index, meal);
        cubes_of_lot(meal) > 1 && sizes.is_some_and(|(least, _)| meal.cubes() > least)
    };
    let takes = |meal: &PlannedMeal| {
        let sizes = sizes(index, meal);
        let has_room = sizes.is_some_and(|(least, most)| (least..most).contains(&meal.cubes()));
        has_room && stays_within_limits(index, plan, meal, lot)
    };
    let large = meals.clone().filter(|(_, meal)| gives(meal));
    let (from, large) = large.max_by_key(|(at, meal)| (meal.cubes(), std::cmp::Reverse(*at)))?;
    let small = meals.filter(|(_, meal)| takes(meal));
    let (to, small) = small.min_by_key(|(at, meal)| (meal.cubes(), *at))?;
    let loses = large.day != small.day
        && spare(index, plan, large) <= 0.0
        && spare(index, plan, small) >= 0.0;
    (large.cubes() >= small.cubes() + 2 && !loses).then_some((from, to))
}

/// Whether one cube more at a meal keeps the limits of its day; those over a week count meals, or
/// foods of which no cube is moved.
fn stays_within_limits(
    index: &IndexedRequest<'_>,
    plan: &Schedule,
    meal: &PlannedMeal,
    lot: &Lot<'_>,
) -> bool {
    let mut limits = index.request.children[meal.child].limits.iter();
    limits.all(|limit| {
        let more = limit.amount(lot.cube);
        if limit.counts_meals() || more <= 0.0 {
            return true;
        }
        let of_day = plan
            .meals
            .iter()
            .filter(|other| (other.child, other.day) == (meal.child, meal.day));
        let parts = of_day.flat_map(|other| &other.parts);
        let planned = parts.filter_map(|part| {
            let cube = part.origin.cube(index.request)?;
            Some(limit.amount(cube) * f64::from(part.cubes))
        });
        let settled = index
            .fixed_of(meal.child)
            .filter(|fixed| fixed.day == meal.day);
        let settled = settled
            .flat_map(|fixed| &fixed.parts)
            .map(|part| limit.amount(&part.serving));
        limit.days == 1 && planned.chain(settled).sum::<f64>() + more <= limit.most
    })
}

/// The least and the most cubes of a meal; `None` for one whose size is its own.
fn sizes(index: &IndexedRequest<'_>, meal: &PlannedMeal) -> Option<(u32, u32)> {
    let day = index.request.day_index(meal.day)?;
    let dish = dish_of(index, meal)?;
    let sizes = index.days[meal.child].get(day)?.cubes_of(dish);
    let (least, most) = (*sizes.start(), *sizes.end());
    let disliked = &index.request.children[meal.child].not_liked_yet;
    // An offer of what was refused is small.
    let is_offer = dish.foods.iter().any(|food| disliked.contains(*food));
    let most = if is_offer { least } else { most };
    (least..=most)
        .contains(&meal.cubes())
        .then_some((least, most))
}

/// The cubes of a day beyond those of as many usual meals as it needs: they bring no points any
/// more.
fn spare(index: &IndexedRequest<'_>, plan: &Schedule, meal: &PlannedMeal) -> f64 {
    let of_day = plan
        .meals
        .iter()
        .filter(|one| (one.child, one.day) == (meal.child, meal.day));
    let cubes = |meal: &PlannedMeal| {
        let size = dish_of(index, meal).map_or(CubeSize::USUAL, |dish| dish.size);
        size.times(meal.cubes())
    };
    let cubes: f64 = of_day.map(cubes).sum();
    let day = index.request.day_index(meal.day);
    let day = day.and_then(|day| index.days[meal.child].get(day));
    let usual = day.map_or(0, |day| day.count() * day.usual());
    cubes - f64::from(usual)
}
