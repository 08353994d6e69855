//! Objections to planned meals, and the dishes that planning must not give to a child.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use super::BookJudge;
use super::objections::alone;
use crate::food::same_food;
use crate::notebook::{BookError, Child, Plan, PlannedServing, Slot};
use crate::nutrition::{AgeMonths, ServedFood, Serving, Source};
use crate::planning::facts::{BarredDays, Facts};
use crate::planning::findings::meals_to_come;
use crate::planning::supply::was_cooked;
use crate::safety::{
    Case, ChildFacts, EatenMeal, FeedingStage, Objection, Portion, distinct, gravest_first,
};

/// The objections to planned meals that are still to come, considering the meals eaten and planned
/// around them, and to what is to be cooked on the days that are asked for; the gravest first.
pub fn plan_objections(
    judge: &BookJudge<'_>,
    facts: &Facts<'_>,
    which: impl Fn(&Slot) -> bool,
    cooking: impl Fn(Date) -> bool,
) -> Result<Vec<Objection>, BookError> {
    let planned = meals_to_come(facts);
    let mut found = Vec::new();
    for child in &facts.settings.children {
        let meals = planned.iter().filter(|meal| meal.child.name == child.name);
        let meals: Vec<(&Slot, Vec<Portion>)> = meals
            .map(|meal| Ok((&meal.slot, judge.portions(&meal.servings)?)))
            .collect::<Result<_, BookError>>()?;
        let mut known = judge.facts(child, facts.today)?;
        let mut before: Option<Date> = None;
        for (at, (slot, portions)) in meals.iter().enumerate() {
            if before != Some(slot.day) {
                before = Some(slot.day);
                known.age = Some(child.age_on(slot.day));
                let earlier = meals.iter().filter(|(other, _)| other.day < slot.day);
                for (other, portions) in earlier {
                    taste(judge, &mut known, portions, other.day);
                }
            }
            if which(slot) {
                found.extend(judge.judge().objections(&Case {
                    child: &known,
                    day: slot.day,
                    context: FeedingStage::Planned,
                    portions,
                    others: &others(judge, child, &meals, at)?,
                    seen: "",
                }));
            }
            // The foods count as tasted at once: a second new allergen on the same day is one too
            // many.
            taste(judge, &mut known, portions, slot.day);
        }
    }
    found.extend(cooking_objections(judge, facts, cooking)?);
    gravest_first(&mut found);
    Ok(distinct(&found))
}

/// The objections to the meals and the cooking of a plan that is part of the facts.
pub fn objections_to_plan(
    judge: &BookJudge<'_>,
    facts: &Facts<'_>,
    plan: &Plan,
) -> Result<Vec<Objection>, BookError> {
    plan_objections(
        judge,
        facts,
        |slot| plan.meals.contains_key(slot),
        |day| plan.cooking.contains_key(&day),
    )
}

/// The blocks and warnings about dishes that are still to be cooked, on the day of the first meal
/// with them, or else of the cooking. They are judged for the children whose planned meals have the
/// dish, or for all children of the book if no meal has it. When its foods may be tasted is a
/// matter of the meals.
fn cooking_objections(
    judge: &BookJudge<'_>,
    facts: &Facts<'_>,
    which: impl Fn(Date) -> bool,
) -> Result<Vec<Objection>, BookError> {
    let mut found = Vec::new();
    let days = facts.plan.cooking.range(facts.today..);
    for (day, cooking) in days.filter(|(day, _)| which(**day)) {
        let to_cook = cooking
            .iter()
            .filter(|session| !was_cooked(facts, *day, &session.recipe));
        let to_cook =
            to_cook.filter_map(|session| Some((session, facts.dishes.get(&session.recipe)?)));
        for (session, dish) in to_cook {
            let portions = judge.portions(std::slice::from_ref(&dish.cube))?;
            let eaters = eaters_of(facts, &session.recipe);
            let children = facts.settings.children.iter();
            for child in
                children.filter(|child| eaters.is_empty() || eaters.contains(&&*child.name))
            {
                let on =
                    first_meal_with(facts, (&child.name, &session.recipe), *day).unwrap_or(*day);
                let facts = ChildFacts {
                    tasted: None,
                    ..judge.facts(child, on)?
                };
                let planned = (on, FeedingStage::Planned);
                let objections = alone(judge.judge(), &facts, planned, &portions);
                found.extend(objections.into_iter().filter(Objection::bars_a_plan));
            }
        }
    }
    Ok(found)
}

/// The first day after a cooking on which a child has cubes of the recipe.
fn first_meal_with(facts: &Facts<'_>, (child, recipe): (&str, &str), cooked: Date) -> Option<Date> {
    let mut meals = meals_with(facts, recipe);
    let first = meals.find(|slot| slot.child == child && slot.day > cooked)?;
    Some(first.day)
}

/// The children whose meals to come have cubes of a recipe.
pub(super) fn eaters_of<'f>(facts: &'f Facts<'_>, recipe: &str) -> BTreeSet<&'f str> {
    let meals = meals_with(facts, recipe);
    meals.map(|slot| slot.child.as_str()).collect()
}

/// The meals to come that have cubes of a recipe, by day.
fn meals_with<'f>(facts: &'f Facts<'_>, recipe: &str) -> impl Iterator<Item = &'f Slot> {
    let has = move |servings: &[PlannedServing]| {
        let mut picks = servings.iter();
        picks.any(|part| matches!(part, PlannedServing::Cubes(pick) if pick.name == recipe))
    };
    let meals = facts.plan.meals.iter();
    let today = facts.today;
    let meals = meals.filter(move |(slot, servings)| slot.day >= today && has(servings));
    meals.map(|(slot, _)| slot)
}

/// The other meals around a planned one: those on record, and those planned for other times.
fn others(
    judge: &BookJudge<'_>,
    child: &Child,
    meals: &[(&Slot, Vec<Portion>)],
    at: usize,
) -> Result<Vec<EatenMeal>, BookError> {
    let Some((slot, _)) = meals.get(at) else {
        return Ok(Vec::new());
    };
    let mut others = judge.eaten_around(child, slot.day)?;
    let planned = meals.iter().enumerate().filter(|(other, _)| *other != at);
    others.extend(planned.map(|(_, (slot, portions))| EatenMeal {
        day: slot.day,
        portions: portions.clone(),
    }));
    Ok(others)
}

/// Counts the foods of a planned meal as tasted from its day on.
fn taste(judge: &BookJudge<'_>, known: &mut ChildFacts, portions: &[Portion], day: Date) {
    let Some(tasted) = &mut known.tasted else {
        return;
    };
    for portion in portions {
        let name = same_food(&portion.food.name);
        // A food that is known in another form is not new on the day of the meal.
        let first = *tasted.names.entry(name).or_insert(day);
        tasted
            .foods
            .entry(portion.food.id.to_string())
            .or_insert(first);
        for allergen in judge.judge().allergens().of(&portion.food) {
            tasted.allergens.entry(allergen.to_string()).or_insert(day);
        }
    }
}

/// The reasons why dishes are barred for a child on each of some days, by the key of the dish: the
/// gravest objection to a cube that bars a plan at the age of the day, by what is on record today.
pub(super) fn barred<'f>(
    judge: &BookJudge<'_>,
    (child, today): (&Child, Date),
    days: &[Date],
    dishes: impl IntoIterator<Item = (String, &'f Serving)>,
) -> Result<BTreeMap<String, BarredDays>, BookError> {
    let mut facts = judge.facts(child, today)?;
    // The judge asks for the age in months, which seldom changes within a plan.
    let mut days_by_age: BTreeMap<AgeMonths, Vec<Date>> = BTreeMap::new();
    for day in days {
        let age = child.age_on(*day);
        days_by_age.entry(age).or_default().push(*day);
    }
    let mut barred: BTreeMap<String, BarredDays> = BTreeMap::new();
    for (key, cube) in dishes {
        let portions = judge.portions(std::slice::from_ref(cube))?;
        for (age, days) in &days_by_age {
            facts.age = Some(*age);
            let planned = (today, FeedingStage::Planned);
            let found = alone(judge.judge(), &facts, planned, &portions);
            if let Some(grave) = found.into_iter().find(Objection::bars_a_plan) {
                let why = days.iter().map(|day| (*day, grave.text.clone()));
                barred.entry(key.clone()).or_default().extend(why);
            }
        }
    }
    Ok(barred)
}

/// 100 g of each food as a portion for the judge, as it is in a cube.
pub(super) fn hundred_grams(
    judge: &BookJudge<'_>,
    foods: impl IntoIterator<Item = ServedFood>,
) -> Result<Vec<Portion>, BookError> {
    let hundred = crate::quantity::Mass::from_grams(100.0);
    let foods = foods.into_iter().map(|food| ServedFood {
        edible: Some(hundred),
        ..food
    });
    let serving = Serving {
        source: Source::Puree,
        what: String::new(),
        mass: hundred,
        nutrients: BTreeMap::new(),
        foods: foods.collect(),
        liquid: None,
        portion: None,
    };
    judge.portions(std::slice::from_ref(&serving))
}
