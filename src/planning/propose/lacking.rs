//! What a plan lacks beside empty meals, and what would bring it: meat, fish, egg or pulses every
//! day, meat, fish or egg every day where there are any, and known allergens to be given again.

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
            let daily = [&ANY_PROTEIN, &FLESH_OR_EGG];
            let daily = daily.map(|food| days_without(food, request, plan, (child, &servings)));
            let daily = daily.into_iter().flatten();
            daily.chain(allergens(request, child, &servings))
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

/// Food that is meant for every day.
struct DailyFood {
    /// The groups of which one is enough.
    groups: &'static [DietGroup],
    /// The groups that stand in for it, of which one is on each day that is counted; empty where
    /// nothing does.
    only_beside: &'static [DietGroup],
    /// The words for what is lacking, and why it matters.
    none: &'static str,
    reason: &'static str,
    /// A first food of the kind, in words.
    first: &'static str,
}

const ANY_PROTEIN: DailyFood = DailyFood {
    groups: &PROTEIN,
    only_beside: &[],
    none: "no meat, fish, egg or pulses",
    reason: "they bring iron and zinc",
    first: "meat or lentils",
};

/// Days without pulses too are those of [`ANY_PROTEIN`].
const FLESH_OR_EGG: DailyFood = DailyFood {
    groups: &[DietGroup::Flesh, DietGroup::Eggs],
    only_beside: &[DietGroup::Pulses],
    none: "pulses, and no meat, fish or egg",
    reason: "food from animals is meant for every day where there is any",
    first: "meat",
};

/// The days without a food that is meant for every day; `None` where it comes every day, and where
/// the household has no dish of it though it has what stands in for it.
fn days_without(
    food: &DailyFood,
    request: &Request,
    plan: &Schedule,
    (child, days): (usize, &BTreeMap<Date, Vec<Serving>>),
) -> Option<WeekLack> {
    let holds = |serving: &Serving, wanted: &[DietGroup]| {
        let groups = request.groups_of(serving);
        wanted.iter().any(|group| groups.contains(group))
    };
    let brings = |serving: &Serving| holds(serving, food.groups);
    let stood_in = |all: &[Serving]| {
        let groups = food.only_beside;
        groups.is_empty() || all.iter().any(|serving| holds(serving, groups))
    };
    let planned = days.values().flatten().any(brings);
    // Of a household that cooks neither meat nor egg, or none that the child may have, it is no
    // news.
    if !food.only_beside.is_empty() && !planned && !has_dish(request, child, brings) {
        return None;
    }
    let without = days
        .iter()
        .filter(|(_, all)| !all.iter().any(brings) && stood_in(all));
    let without: Vec<Date> = without.map(|(day, _)| *day).collect();
    let first = *without.first()?;
    let eater = &request.children[child];
    let name = &eater.name;
    let recipes = worth_cooking(request, child, plan);
    let recipe = recipes.into_iter().find(|recipe| brings(&recipe.cube));
    let begin = request.days.first().copied();
    let by = first.yesterday().ok().filter(|day| Some(*day) >= begin);
    let by = by.or(begin).unwrap_or(first).strftime("%a %-d %b");
    let kind = food.first;
    let close = match (recipe, eater.new_from) {
        (Some(recipe), _) => format!("cook a tray of {} by {by}", recipe.title),
        (None, _) if planned || knows_any(request, child, food.groups) => {
            format!("cook or give from the table one that {name} knows")
        }
        // Egg is a major allergen, which is brought in with more care than a word here.
        (None, Some(free)) if Some(free) > begin => {
            let free = free.strftime("%a %-d %b");
            format!(
                "bring one in as the next new food, from {free} on, unless {name} knows one: {kind} alone"
            )
        }
        (None, _) => format!(
            "bring one in as the next new food, unless {name} knows one: {kind}, cooked alone"
        ),
    };
    let which = if without.len() == days.len() {
        "on any day".to_string()
    } else {
        format!("on {} of {} days with meals", without.len(), days.len())
    };
    let (none, reason) = (food.none, food.reason);
    Some(WeekLack {
        child,
        why: format!("{none} for {name} {which}; {reason}"),
        close,
    })
}

/// Whether a dish that a child may have, in the freezer or to be cooked, is of a kind.
fn has_dish(request: &Request, child: usize, is_of_kind: impl Fn(&Serving) -> bool) -> bool {
    let batches = request.batches.iter().map(|one| (&one.cube, &one.barred));
    let recipes = request.recipes.iter().map(|one| (&one.cube, &one.barred));
    let mut dishes = batches.chain(recipes);
    dishes.any(|(cube, barred)| is_of_kind(cube) && !barred.contains_key(&child))
}

/// Whether a child knows a food of the book's dishes that is of one of these groups.
fn knows_any(request: &Request, child: usize, wanted: &[DietGroup]) -> bool {
    let eater = &request.children[child];
    let mut groups = request.groups.iter();
    groups.any(|(food, group)| wanted.contains(group) && eater.known.contains(food))
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
