//! A plan held against what the book knows: one rule after another, each finding with its day, child and meal.

use std::collections::{BTreeMap, BTreeSet};

use data_import::FoodId;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::agenda::{Agenda, AgendaMeal, AgendaPart, Outcome};
use super::facts::Facts;
use super::supply::{Origin, Taken};
use crate::notebook::{Child, Pick};
use crate::nutrition::{AgeMonths, ServedFood};
use crate::quantity::Mass;

/// Which rule a finding is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rule {
    /// The book knows no such child or meal.
    Unknown,
    /// The child is not born yet.
    Unborn,
    /// There is no such recipe, and no cube of it.
    NoRecipe,
    /// The batch is gone.
    Gone,
    /// More cubes are planned than there are.
    TooFew,
    /// Planned for a day before the cubes are frozen.
    NotFrozenYet,
    /// Planned for a day after their last.
    PastLastDay,
    /// Two new foods on one day.
    TwoNewFoods,
    /// A new food before the days of waiting are over.
    TooSoon,
    /// A food after which something was noted.
    Reaction,
    /// An allergen that is on record as an allergy.
    Allergy,
    /// More than a usual meal at that age.
    TooMuch,
    /// A day that is past, with nothing on record for what was planned.
    NotTickedOff,
}

impl Rule {
    /// The word for it in the JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Unknown => "unknown",
            Self::Unborn => "unborn",
            Self::NoRecipe => "no-recipe",
            Self::Gone => "gone",
            Self::TooFew => "too-few",
            Self::NotFrozenYet => "not-frozen-yet",
            Self::PastLastDay => "past-last-day",
            Self::TwoNewFoods => "two-new-foods",
            Self::TooSoon => "too-soon",
            Self::Reaction => "reaction",
            Self::Allergy => "allergy",
            Self::TooMuch => "too-much",
            Self::NotTickedOff => "not-ticked-off",
        }
    }
}

/// Something that is wrong with a plan.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Finding {
    /// The day.
    pub day: Date,
    /// The child; empty for a cooking.
    pub child: String,
    /// The meal; empty where it is about the whole day.
    pub meal: String,
    /// Which rule.
    pub rule: Rule,
    /// In words.
    pub words: String,
}

/// Everything that is wrong with the plan of some days, both included, by day, child and meal.
pub fn review(facts: &Facts<'_>, from: Date, to: Date) -> Vec<Finding> {
    let agenda = Agenda::of(facts);
    let mut found: Vec<Finding> = Vec::new();
    for meal in &agenda.meals {
        found.extend(of_meal(facts, meal));
    }
    for child in &facts.settings.children {
        found.extend(new_foods(facts, child, &agenda));
    }
    for one in &agenda.cooking {
        let mut report = |rule, words| found.push(Finding {
            day: one.day,
            child: String::new(),
            meal: String::new(),
            rule,
            words,
        });
        if !facts.dishes.contains_key(&one.recipe) {
            report(Rule::NoRecipe, format!("there is no recipe `{}` to cook", one.recipe));
        } else if one.day < facts.today && !one.done {
            let words = format!("no batch of {} was frozen that day", facts.title(&one.recipe));
            report(Rule::NotTickedOff, words);
        }
    }
    found.retain(|one| (from..=to).contains(&one.day));
    let order = |meal: &str| facts.settings.meals.iter().position(|one| one == meal);
    found.sort_by_key(|one| (one.day, one.child.clone(), order(&one.meal), one.rule));
    found
}

/// What is wrong with one meal, for itself.
fn of_meal(facts: &Facts<'_>, meal: &AgendaMeal) -> Vec<Finding> {
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
    let children = &facts.settings.children;
    let Some(child) = children.iter().find(|child| child.name == meal.slot.child) else {
        report(Rule::Unknown, format!("the book knows no child called {}", meal.slot.child));
        return found;
    };
    if !facts.settings.meals.contains(&meal.slot.meal) {
        report(Rule::Unknown, format!("the book knows no meal called {}", meal.slot.meal));
    }
    if meal.slot.day < child.born {
        report(Rule::Unborn, format!("{} is born on {}", child.name, child.born));
        return found;
    }
    if meal.slot.day < facts.today {
        report(Rule::NotTickedOff, "nothing is on record for what was planned".to_string());
        return found;
    }
    for part in &meal.parts {
        if let AgendaPart::Cubes(pick, taken) = part {
            stock(facts, pick, taken, meal.slot.day, &mut report);
        }
    }
    let foods = foods_of(facts, meal);
    known_foods(facts, child, &foods, &mut report);
    let mass = mass_of(facts, meal);
    let most = most_grams(child.age_on(meal.slot.day));
    if mass.grams() > most {
        let words = format!(
            "{:.0} g at {} months, where up to {most:.0} g are usual for a meal (WHO, Infant and young \
             child feeding: model chapter, 2009; from memory)",
            mass.grams(),
            child.age_on(meal.slot.day).0
        );
        report(Rule::TooMuch, words);
    }
    found
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
            let named = facts.batch(id).map_or(String::new(), |batch| format!(" ({})", batch.title));
            report(Rule::Gone, format!("no cube of batch #{id}{named} is left"));
        }
        (_, Some(more)) => {
            let words = format!(
                "{} of {title}: {there} then, more only from {more} on",
                cubes(pick.cubes)
            );
            report(Rule::NotFrozenYet, words);
        }
        _ if id.is_none() && unknown => {
            report(Rule::NoRecipe, format!("there is no recipe `{}`", pick.name));
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
            let words = format!("{} of {title} {which}: last day {}", cubes(*number), lot.use_by);
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
    for taste in facts.tastes.get(&child.name).into_iter().flat_map(|record| &record.foods) {
        let in_it = foods.values().any(|food| food.id.as_str() == taste.food);
        if let Some((day, words)) = taste.reactions.last().filter(|_| in_it) {
            noted.entry(format!("{words} on {day}")).or_default().push(&taste.name);
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
            child.allergies.iter().any(|known| known.eq_ignore_ascii_case(allergen))
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

/// Two new foods on a day, and new foods that come too soon, from today on.
fn new_foods(facts: &Facts<'_>, child: &Child, agenda: &Agenda) -> Vec<Finding> {
    let Some(record) = facts.tastes.get(&child.name) else {
        return Vec::new();
    };
    let mut known: BTreeSet<String> = record.foods.iter().map(|taste| taste.food.clone()).collect();
    let mut last = record.last_first();
    let mut found = Vec::new();
    let to_come = agenda.meals.iter().filter(|meal| {
        meal.slot.child == child.name
            && meal.slot.day >= facts.today
            && meal.outcome == Outcome::Open
    });
    let mut days: BTreeMap<Date, Vec<&AgendaMeal>> = BTreeMap::new();
    for meal in to_come {
        days.entry(meal.slot.day).or_default().push(meal);
    }
    for (day, meals) in days {
        let mut new: Vec<String> = Vec::new();
        let mut at: Vec<&str> = Vec::new();
        for meal in meals {
            for food in foods_of(facts, meal).into_values() {
                if known.insert(food.id.to_string()) {
                    new.push(food.name);
                    at.push(&meal.slot.meal);
                }
            }
        }
        at.dedup();
        let mut report = |rule, words| found.push(Finding {
            day,
            child: child.name.clone(),
            meal: if let [meal] = at.as_slice() { (*meal).to_string() } else { String::new() },
            rule,
            words,
        });
        if new.is_empty() {
            continue;
        }
        let names = new.join("; ");
        if new.len() > 1 {
            let words = format!("{} new foods on one day: {names}; one at a time", new.len());
            report(Rule::TwoNewFoods, words);
        }
        let waiting = i64::from(facts.settings.waiting_days).days();
        let free = last.map(|last| last.saturating_add(waiting)).filter(|free| *free > day);
        if let Some(free) = free {
            report(Rule::TooSoon, format!("{names}: new, and the next new food is due on {free}"));
        }
        last = last.max(Some(day));
    }
    found
}

/// Every food of a meal, each once.
pub(super) fn foods_of(facts: &Facts<'_>, meal: &AgendaMeal) -> BTreeMap<FoodId, ServedFood> {
    let mut foods = BTreeMap::new();
    let mut add = |food: &ServedFood| {
        foods.entry(food.id.clone()).or_insert_with(|| food.clone());
    };
    for part in &meal.parts {
        match part {
            AgendaPart::Cubes(pick, taken) => {
                for (lot, _) in &taken.parts {
                    let cube = match lot.origin {
                        Origin::Batch(id) => facts.cubes.get(&id),
                        Origin::Cooking(_) => facts.dishes.get(&lot.name).map(|dish| &dish.cube),
                    };
                    cube.into_iter().flat_map(|cube| &cube.foods).for_each(&mut add);
                }
                // Cubes that are not there yet hold what the recipe says.
                if taken.short > 0
                    && let Some(dish) = facts.dishes.get(&pick.name)
                {
                    dish.cube.foods.iter().for_each(&mut add);
                }
            }
            AgendaPart::Food(id, mass) => {
                if let Some((food, allergens)) = facts.foods.get(id) {
                    add(&ServedFood {
                        id: id.clone(),
                        name: food.name.clone(),
                        edible: Some(*mass),
                        iron: None,
                        allergens: allergens.clone(),
                    });
                }
            }
        }
    }
    foods
}

/// The mass of a meal, as far as its cubes are known.
fn mass_of(facts: &Facts<'_>, meal: &AgendaMeal) -> Mass {
    let part = |part: &AgendaPart| match part {
        AgendaPart::Food(_, mass) => *mass,
        AgendaPart::Cubes(pick, taken) => {
            let dish = |name: &str| facts.dishes.get(name).map(|dish| dish.cube.mass);
            let lots = taken.parts.iter().map(|(lot, cubes)| {
                let each = match lot.origin {
                    Origin::Batch(id) => facts.cubes.get(&id).map(|cube| cube.mass),
                    Origin::Cooking(_) => dish(&lot.name),
                };
                each.unwrap_or(Mass::ZERO) * f64::from(*cubes)
            });
            let lacking = dish(&pick.name).unwrap_or(Mass::ZERO) * f64::from(taken.short);
            lots.sum::<Mass>() + lacking
        }
    };
    meal.parts.iter().map(part).sum()
}

/// What a meal comes to at most as a rule: half a cup of 250 ml at 6 to 11 months, a whole one at 12 to 23 (WHO, Infant and
/// young child feeding: model chapter, 2009; from memory). A purée weighs about 1 g/ml.
fn most_grams(age: AgeMonths) -> f64 {
    if age.0 < 12 { 125.0 } else { 250.0 }
}

fn cubes(count: u32) -> String {
    format!("{count} {}", if count == 1 { "cube" } else { "cubes" })
}
