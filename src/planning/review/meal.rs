//! One meal of a plan: its cubes, its foods, its size.

use std::collections::BTreeMap;

use data_import::FoodId;
use jiff::civil::Date;

use super::foods::{foods_of, mass_of};
use super::{Finding, Rule};
use crate::notebook::{Child, Pick};
use crate::nutrition::{AgeMonths, ServedFood};
use crate::planning::agenda::{AgendaMeal, AgendaPart, Outcome};
use crate::planning::facts::Facts;
use crate::planning::supply::{Origin, Taken};

/// What is wrong with one meal, for itself.
pub(super) fn findings(facts: &Facts<'_>, meal: &AgendaMeal) -> Vec<Finding> {
    let mut found = Vec::new();
    let mut report = |rule, words| {
        found.push(Finding {
            day: meal.slot.day,
            child: meal.slot.child.clone(),
            meal: meal.slot.meal.clone(),
            rule,
            words,
        });
    };
    if meal.outcome != Outcome::Open {
        return found;
    }
    let Some(child) = eater(facts, meal, &mut report) else {
        return found;
    };
    for part in &meal.parts {
        if let AgendaPart::Cubes(pick, taken) = part {
            stock(facts, pick, taken, meal.slot.day, &mut report);
        }
    }
    known_foods(facts, child, &foods_of(facts, meal), &mut report);
    let mass = mass_of(facts, meal);
    let age = child.age_on(meal.slot.day);
    let most = most_grams(age);
    if mass.grams() > most {
        let words = format!(
            "{:.0} g at {} months, where up to {most:.0} g are usual for a meal (WHO, Infant and young \
             child feeding: model chapter, 2009; from memory)",
            mass.grams(),
            age.0
        );
        report(Rule::TooMuch, words);
    }
    found
}

/// The child of a meal that is still to come; else what is wrong with child, meal or day is reported.
fn eater<'a>(
    facts: &'a Facts<'_>,
    meal: &AgendaMeal,
    report: &mut impl FnMut(Rule, String),
) -> Option<&'a Child> {
    let slot = &meal.slot;
    let unknown = |what, name| format!("the book knows no {what} called {name}");
    let mut children = facts.settings.children.iter();
    let Some(child) = children.find(|child| child.name == slot.child) else {
        report(Rule::Unknown, unknown("child", &slot.child));
        return None;
    };
    if !facts.settings.meals.contains(&slot.meal) {
        report(Rule::Unknown, unknown("meal", &slot.meal));
    }
    if slot.day < child.born {
        let words = format!("{} is born on {}", child.name, child.born);
        report(Rule::Unborn, words);
        return None;
    }
    if slot.day < facts.today {
        let words = "nothing is on record for what was planned";
        report(Rule::NotTickedOff, words.to_string());
        return None;
    }
    Some(child)
}

/// Whether the cubes of a pick are there, in time.
fn stock(
    facts: &Facts<'_>,
    pick: &Pick,
    taken: &Taken,
    day: Date,
    report: &mut impl FnMut(Rule, String),
) {
    let title = facts.title(&pick.name);
    let there = pick.cubes - taken.short;
    let id = pick.name.strip_prefix('#').and_then(|id| id.parse().ok());
    let gone = id.filter(|id| facts.stock.iter().all(|stock| stock.batch.id != *id));
    let unknown = facts.batches.iter().all(|batch| batch.name != pick.name)
        && !facts.dishes.contains_key(&pick.name);
    match (gone, taken.more_from) {
        _ if taken.short == 0 => {}
        (Some(id), _) => {
            let named = facts
                .batch(id)
                .map_or(String::new(), |batch| format!(" ({})", batch.title));
            report(Rule::Gone, format!("no cube of batch #{id}{named} is left"));
        }
        (_, Some(more)) => {
            let words = format!(
                "{} of {title}: {there} by then, more only from {more}",
                cubes(pick.cubes)
            );
            report(Rule::NotFrozenYet, words);
        }
        _ if id.is_none() && unknown => {
            report(
                Rule::NoRecipe,
                format!("there is no recipe `{}`", pick.name),
            );
        }
        _ => {
            let words = format!(
                "{} of {title}: {there} left for it; cook more, or plan something else",
                cubes(pick.cubes)
            );
            report(Rule::TooFew, words);
        }
    }
    for (lot, number) in &taken.parts {
        if lot.use_by < day {
            let which = match lot.origin {
                Origin::Batch(id) => format!("(#{id})"),
                Origin::Cooking(cooked) => format!("(to be cooked on {cooked})"),
            };
            let words = format!(
                "{} of {title} {which}: last day {}",
                cubes(*number),
                lot.use_by
            );
            report(Rule::PastLastDay, words);
        }
    }
}

/// What was noted after these foods, and which allergies are on record.
fn known_foods(
    facts: &Facts<'_>,
    child: &Child,
    foods: &BTreeMap<FoodId, ServedFood>,
    report: &mut impl FnMut(Rule, String),
) {
    let mut noted: BTreeMap<String, Vec<&str>> = BTreeMap::new();
    for taste in facts
        .tastes
        .get(&child.name)
        .into_iter()
        .flat_map(|record| &record.foods)
    {
        let in_it = foods.values().any(|food| food.id.as_str() == taste.food);
        if let Some((day, words)) = taste.open_reaction().filter(|_| in_it) {
            noted
                .entry(format!("{words} on {day}"))
                .or_default()
                .push(&taste.name);
        }
    }
    for (seen, names) in noted {
        let words = format!(
            "after a meal with {} you noted: {seen}; ask your paediatrician first",
            names.join("; ")
        );
        report(Rule::Reaction, words);
    }
    for food in foods.values() {
        let on_record = |allergen: &&String| {
            child
                .allergies
                .iter()
                .any(|known| known.eq_ignore_ascii_case(allergen))
        };
        for allergen in food.allergens.iter().filter(on_record) {
            let words = format!(
                "{} holds {allergen}, which is on record as an allergy; ask your paediatrician first",
                food.name
            );
            report(Rule::Allergy, words);
        }
    }
}

/// What a meal comes to at most as a rule: half a cup of 250 ml at 6 to 11 months, a whole one at 12 to 23 (WHO, Infant and
/// young child feeding: model chapter, 2009; from memory). A purée weighs about 1 g/ml.
fn most_grams(age: AgeMonths) -> f64 {
    if age.0 < 12 { 125.0 } else { 250.0 }
}

fn cubes(count: u32) -> String {
    format!("{count} {}", if count == 1 { "cube" } else { "cubes" })
}
