//! What a plan lacks beside empty meals, and what would bring it: meat, fish, egg or pulses, and
//! known allergens to be given again.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use super::gaps::worth_cooking;
use super::proposal::WeekLack;
use super::verify::week;
use crate::nutrition::{DietGroup, Serving};
use crate::planning::indexed_request::IndexedRequest;
use crate::planning::rules::table::ALLERGEN_DAYS;
use crate::planning::{Request, Schedule};
use crate::words::joined;

/// The food groups that bring iron and zinc.
pub(super) const PROTEIN: [DietGroup; 3] = [DietGroup::Flesh, DietGroup::Eggs, DietGroup::Pulses];

/// The lacks of the weeks of the children.
pub(super) fn lacking(index: &IndexedRequest<'_>, plan: &Schedule) -> Vec<WeekLack> {
    let request = index.request;
    let children = 0..request.children.len();
    children
        .flat_map(|child| {
            let servings = servings_by_day(request, plan, child);
            let protein = protein(request, plan, child, &servings);
            protein
                .into_iter()
                .chain(allergens(request, child, &servings))
        })
        .collect()
}

/// The servings of a child on each day of the plan that has meals.
fn servings_by_day(
    request: &Request,
    plan: &Schedule,
    child: usize,
) -> BTreeMap<Date, Vec<Serving>> {
    let mut days: BTreeMap<Date, Vec<Serving>> = BTreeMap::new();
    let meals = week(request, plan).meals.into_iter();
    let of_child = meals.filter(|meal| {
        meal.child == child
            && request.days.contains(&meal.day)
            && meal.day >= request.children[child].solids_from
    });
    for meal in of_child {
        let servings = meal.parts.into_iter().map(|part| part.serving);
        days.entry(meal.day).or_default().extend(servings);
    }
    days
}

/// Days without meat, fish, egg or pulses.
fn protein(
    request: &Request,
    plan: &Schedule,
    child: usize,
    days: &BTreeMap<Date, Vec<Serving>>,
) -> Option<WeekLack> {
    let brings = |serving: &Serving| {
        let groups = request.groups_of(serving);
        PROTEIN.iter().any(|group| groups.contains(group))
    };
    let without = days.iter().filter(|(_, all)| !all.iter().any(brings));
    let without: Vec<Date> = without.map(|(day, _)| *day).collect();
    let first = *without.first()?;
    let eater = &request.children[child];
    let name = &eater.name;
    let recipes = worth_cooking(request, child, plan);
    let recipe = recipes.into_iter().find(|recipe| brings(&recipe.cube));
    let begin = request.days.first().copied();
    let by = first.yesterday().ok().filter(|day| Some(*day) >= begin);
    let by = by.or(begin).unwrap_or(first).strftime("%a %-d %b");
    let planned = days.values().flatten().any(brings);
    let close = match (recipe, eater.new_from) {
        (Some(recipe), _) => format!("cook a tray of {} by {by}", recipe.title),
        (None, _) if planned || knows_protein(request, child) => {
            format!("cook or give from the table one that {name} knows")
        }
        // Egg is a major allergen, which is brought in with more care than a word here.
        (None, Some(free)) if Some(free) > begin => {
            let free = free.strftime("%a %-d %b");
            format!(
                "bring one in as the next new food, from {free} on, unless {name} knows one: meat or lentils alone"
            )
        }
        (None, _) => format!(
            "bring one in as the next new food, unless {name} knows one: meat or lentils, cooked alone"
        ),
    };
    let which = if without.len() == days.len() {
        "on any day".to_string()
    } else {
        format!("on {} of {} days with meals", without.len(), days.len())
    };
    Some(WeekLack {
        child,
        why: format!("no meat, fish, egg or pulses for {name} {which}; they bring iron and zinc"),
        close,
    })
}

/// Whether a child knows a food of the book's dishes that is meat, fish, egg or pulses.
fn knows_protein(request: &Request, child: usize) -> bool {
    let eater = &request.children[child];
    let mut groups = request.groups.iter();
    groups.any(|(food, group)| PROTEIN.contains(group) && eater.known.contains(food))
}

/// Known allergens that do not come in a week.
fn allergens(
    request: &Request,
    child: usize,
    days: &BTreeMap<Date, Vec<Serving>>,
) -> Option<WeekLack> {
    if request.days.len() < ALLERGEN_DAYS || days.is_empty() {
        return None;
    }
    let foods = days.values().flatten().flat_map(|serving| &serving.foods);
    let served: BTreeSet<&str> = foods
        .flat_map(|food| food.allergens.iter().map(String::as_str))
        .collect();
    let eater = &request.children[child];
    let known = eater.keep_up.iter().map(String::as_str);
    let missing: Vec<&str> = known.filter(|one| !served.contains(one)).collect();
    (!missing.is_empty()).then(|| WeekLack {
        child,
        why: format!(
            "{} knows and took well what is not in the week: {}",
            eater.name,
            joined(missing.iter(), ", ")
        ),
        close: "a spoon of it at one meal keeps it known".into(),
    })
}
