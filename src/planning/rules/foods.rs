//! First tastes, refused foods, and sums that have a limit.

use std::collections::{BTreeMap, BTreeSet};

use data_import::FoodId;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::table::{FIRST_ALLERGEN_CUBES, FIRST_ALLERGEN_GRAMS, OFFER_AFTER_DAYS};
use super::{Broken, FirstAllergen, FirstTaste, FirstTastes, MealOfWeek, PlannedWeek, Rule};
use crate::food::short_name;
use crate::nutrition::ServedFood;
use crate::planning::indexed_request::{brings_new_allergen, is_waited_after};
use crate::planning::limit::DayLimit;
use crate::words;

/// The first tastes of planned meals, by day.
pub(super) fn first_tastes(week: &PlannedWeek<'_>, child: usize) -> BTreeMap<Date, FirstTastes> {
    let mut firsts = all_first_tastes(week, child);
    for foods in firsts.values_mut() {
        foods.retain(|_, one| one.planned);
    }
    firsts.retain(|_, foods| !foods.is_empty());
    firsts
}

/// The first tastes of all meals, by day.
fn all_first_tastes(week: &PlannedWeek<'_>, child: usize) -> BTreeMap<Date, FirstTastes> {
    let Some(eater) = week.eaters.get(child) else {
        return BTreeMap::new();
    };
    let mut tasted: BTreeSet<&FoodId> = eater.known.iter().collect();
    let meals = week.of(child);
    let mut firsts: BTreeMap<Date, FirstTastes> = BTreeMap::new();
    for meal in &meals {
        for food in meal.foods() {
            if tasted.insert(&food.id) {
                let first = FirstTaste {
                    food: food.name.clone(),
                    planned: meal.planned,
                    meal: meal.name.to_string(),
                    waited_after: is_waited_after(week.waiting, food),
                };
                firsts
                    .entry(meal.day)
                    .or_default()
                    .insert(food.id.clone(), first);
            }
        }
    }
    firsts
}

/// Two new foods on a day, and new foods before the days of waiting are over.
pub(super) fn too_soon(week: &PlannedWeek<'_>, child: usize) -> Vec<Broken> {
    let Some(eater) = week.eaters.get(child) else {
        return Vec::new();
    };
    let waiting = i64::from(week.waiting.days.max(1)).days();
    let mut free = eater.new_from;
    let mut found = Vec::new();
    let first_day = eater.days.keys().next();
    for (day, foods) in all_first_tastes(week, child) {
        // What is on record from before these days is counted in `known` and `new_from`.
        if Some(&day) < first_day {
            continue;
        }
        let is_planned = foods.values().any(|one| one.planned);
        let names: Vec<String> = foods.values().map(|one| short_name(&one.food)).collect();
        let meals: BTreeSet<&str> = foods.values().map(|one| one.meal.as_str()).collect();
        let waited_after = foods.values().filter(|one| one.waited_after).count();
        let names = names.join("; ");
        let mut report = |words| {
            if !is_planned {
                return;
            }
            found.push(Broken {
                rule: Rule::NewFoods,
                day,
                child,
                meal: meals
                    .first()
                    .filter(|_| meals.len() == 1)
                    .map(ToString::to_string),
                words,
            });
        };
        if foods.len() > 1 && waited_after > 0 {
            report(format!(
                "{} new foods on one day: {names}. One at a time, a reaction is easy to place",
                foods.len()
            ));
        }
        if let Some(free) = free.filter(|free| *free > day) {
            report(format!(
                "{names}: new, and the next new food may come on {}",
                words::day(free)
            ));
        }
        if waited_after > 0 {
            free = free.max(Some(day.saturating_add(waiting)));
        }
    }
    found
}

/// The meals that bring a major allergen for the first time.
pub(super) fn first_allergens<'a>(week: &PlannedWeek<'a>, child: usize) -> Vec<FirstAllergen<'a>> {
    let Some(eater) = week.eaters.get(child) else {
        return Vec::new();
    };
    let mut tasted: BTreeSet<&FoodId> = eater.known.iter().collect();
    let mut found = Vec::new();
    for meal in week.of(child) {
        let new = |food: &&ServedFood| {
            !tasted.contains(&food.id) && brings_new_allergen(&eater.allergens, food)
        };
        let new: Vec<&ServedFood> = meal.foods().filter(new).collect();
        if let Some(food) = new.first().filter(|_| meal.planned) {
            let with_it = meal.parts.iter().filter(|part| {
                let mut foods = part.serving.foods.iter();
                foods.any(|food| new.iter().any(|other| other.id == food.id))
            });
            found.push(FirstAllergen {
                day: meal.day,
                meal: meal.name,
                cubes: with_it.clone().map(|part| part.cubes).sum(),
                grams: with_it
                    .filter(|part| part.cubes == 0)
                    .map(|part| part.serving.mass.grams())
                    .sum(),
                food: food.name.clone(),
            });
        }
        tasted.extend(meal.foods().map(|food| &food.id));
    }
    found
}

/// A major allergen that comes for the first time in more than a small amount.
pub(super) fn too_much_at_first(week: &PlannedWeek<'_>, child: usize) -> Vec<Broken> {
    let large = first_allergens(week, child)
        .into_iter()
        .filter(|first| first.cubes > FIRST_ALLERGEN_CUBES || first.grams > FIRST_ALLERGEN_GRAMS);
    let broken = large.map(|first| {
        let food = short_name(&first.food);
        let words = if first.cubes > FIRST_ALLERGEN_CUBES {
            format!(
                "{food} for the first time in {} cubes: start with {FIRST_ALLERGEN_CUBES}, beside a food that is known",
                first.cubes
            )
        } else {
            format!(
                "{:.0} g with {food} for the first time: start with a spoon, beside a food that is known",
                first.grams
            )
        };
        Broken {
            rule: Rule::FirstAllergen,
            day: first.day,
            child,
            meal: Some(first.meal.to_string()),
            words,
        }
    });
    broken.collect()
}

/// Foods that are not liked yet and come again before a pause is over.
pub(super) fn offered_too_often(week: &PlannedWeek<'_>, child: usize) -> Vec<Broken> {
    let Some(eater) = week.eaters.get(child) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    let mut offered: BTreeMap<&FoodId, Date> = BTreeMap::new();
    let meals = week.of(child);
    for meal in meals.iter().filter(|meal| meal.planned) {
        for food in meal
            .foods()
            .filter(|food| eater.not_liked_yet.contains(&food.id))
        {
            let free = offered
                .get(&food.id)
                .map(|last| last.saturating_add(OFFER_AFTER_DAYS.days()));
            if let Some(free) = free.filter(|free| *free > meal.day) {
                let words = format!(
                    "{} was refused: one offer in {OFFER_AFTER_DAYS} days is enough, the next from {} on",
                    food.name,
                    words::day(free)
                );
                found.push(meal.broken(Rule::OfferLater, words));
            } else {
                offered.insert(&food.id, meal.day);
            }
        }
    }
    found
}

/// Refused foods that come before their rest is over.
pub(super) fn too_early_again(week: &PlannedWeek<'_>, child: usize) -> Vec<Broken> {
    let Some(eater) = week.eaters.get(child) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    for meal in week.of(child).into_iter().filter(|meal| meal.planned) {
        for food in meal.foods() {
            let free = eater.offer_again.get(&food.id);
            if let Some(free) = free.filter(|free| **free > meal.day) {
                let (name, free) = (&food.name, words::day(*free));
                let words = format!("{name} was refused: offer it again from {free} on");
                found.push(meal.broken(Rule::OfferLater, words));
            }
        }
    }
    found
}

/// Sums over a day or a week that the planned meals take beyond their limit, each with the meal
/// that does.
pub(super) fn past_a_limit(week: &PlannedWeek<'_>, child: usize) -> Vec<Broken> {
    let Some(eater) = week.eaters.get(child) else {
        return Vec::new();
    };
    let meals = week.of(child);
    let own = eater
        .limits
        .iter()
        .filter(|limit| !(week.judged && limit.judged));
    own.flat_map(|limit| past_one(&meals, limit)).collect()
}

/// The room for rounding when a sum is compared with its limit.
const ROUNDING: f64 = 1e-6;

fn past_one(meals: &[&MealOfWeek<'_>], limit: &DayLimit) -> Vec<Broken> {
    let amount = |meal: &MealOfWeek<'_>| limit.amount_of_meal(meal.servings());
    if limit.days == 1 && !limit.counts_meals() {
        return past_of_a_day(meals, limit);
    }
    let planned = meals.iter().filter(|meal| meal.planned);
    let over = planned.filter_map(|meal| {
        let from = meal
            .day
            .saturating_sub((i64::from(limit.days.max(1)) - 1).days());
        let until = (meal.day, meal.place);
        let window = meals
            .iter()
            .filter(|meal| meal.day >= from && (meal.day, meal.place) <= until);
        let sum: f64 = window.map(|meal| amount(meal)).sum();
        let adds = amount(meal) > 0.0;
        (adds && sum > limit.most + ROUNDING).then(|| {
            let days = match limit.days {
                1 => "a day".to_string(),
                days => format!("{days} days"),
            };
            meal.broken(Rule::Limits, limit.passed(sum, &days))
        })
    });
    over.collect()
}

/// Days whose sum is past its limit, each once, at the planned meal that adds most to it.
fn past_of_a_day(meals: &[&MealOfWeek<'_>], limit: &DayLimit) -> Vec<Broken> {
    let amount = |meal: &MealOfWeek<'_>| limit.amount_of_meal(meal.servings());
    let days: BTreeSet<Date> = meals.iter().map(|meal| meal.day).collect();
    let over = days.into_iter().filter_map(|day| {
        let of_day = meals.iter().filter(|meal| meal.day == day);
        let sum: f64 = of_day.clone().map(|meal| amount(meal)).sum();
        let planned = of_day.filter(|meal| meal.planned && amount(meal) > 0.0);
        // Of meals that add the same the last.
        let most = planned.max_by(|a, b| amount(a).total_cmp(&amount(b)))?;
        let is_past = sum > limit.most + ROUNDING;
        is_past.then(|| most.broken(Rule::Limits, limit.passed(sum, "a day")))
    });
    over.collect()
}
