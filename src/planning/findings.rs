//! A plan checked against the book and the rules: each finding with its day, child and meal.

use crate::words::{self, counted};
use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use super::CubeSize;
use super::agenda::{Agenda, AgendaMeal, AgendaPart, Outcome};
use super::facts::Facts;
use super::request::foods_of;
use super::rules::{Broken, MealOfWeek, PartOfMeal, PlannedWeek, Rule};
use super::supply::{StockOrigin, TakenCubes};
use crate::notebook::{Child, Eaten, Pick, Slot};
use crate::nutrition::Serving;
use crate::portion::CubeCount;
use crate::safety::Waiting;

/// The kind of a finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum About {
    /// The book knows no such child or meal.
    Unknown,
    /// The child is not born yet.
    Unborn,
    /// No recipe of this name exists, and no cube of it.
    NoRecipe,
    /// The batch is gone.
    Gone,
    /// More cubes are planned than there are.
    TooFew,
    /// Cubes are planned for a day before they are frozen.
    NotFrozenYet,
    /// Cubes are planned for a day after their last.
    PastLastDay,
    /// A rule that the plan breaks.
    Broken(Rule),
    /// A planned meal or cooking of a past day is not on record.
    NotTickedOff,
}

impl About {
    /// The word for the kind in the JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Unknown => "unknown",
            Self::Unborn => "unborn",
            Self::NoRecipe => "no-recipe",
            Self::Gone => "gone",
            Self::TooFew => "too-few",
            Self::NotFrozenYet => "not-frozen-yet",
            Self::PastLastDay => "past-last-day",
            Self::Broken(rule) => rule.row().id,
            Self::NotTickedOff => "not-ticked-off",
        }
    }
}

/// A finding about a plan.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Finding {
    /// The day.
    pub day: Date,
    /// The child; empty for a cooking.
    pub child: String,
    /// The meal; empty where the finding is about the whole day.
    pub meal: String,
    /// The kind of the finding.
    pub about: About,
    /// The finding as a sentence.
    pub words: String,
}

/// Everything that is wrong with the plan of some days, both included, by day, child and meal.
pub fn findings(facts: &Facts<'_>, from: Date, to: Date) -> Vec<Finding> {
    let agenda = Agenda::of(facts);
    let meals = agenda.meals.iter();
    let mut found: Vec<Finding> = meals.flat_map(|meal| of_meal(facts, meal)).collect();
    let broken = week(facts, &agenda).broken().into_iter();
    found.extend(broken.map(|broken| of_rule(facts, broken)));
    found.extend(of_cooking(facts, &agenda));
    sorted(facts, found, (from, to))
}

/// Recommendations for the plan of some days, both included.
pub fn advice(facts: &Facts<'_>, from: Date, to: Date) -> Vec<Finding> {
    let agenda = Agenda::of(facts);
    let week = week(facts, &agenda);
    let missed = week.missed(&facts.groups).into_iter();
    let mut found: Vec<Finding> = missed.map(|missed| of_rule(facts, missed)).collect();
    found.extend(left_to_spoil(facts, &agenda, (from, to)));
    sorted(facts, found, (from, to))
}

fn sorted(facts: &Facts<'_>, mut found: Vec<Finding>, (from, to): (Date, Date)) -> Vec<Finding> {
    found.retain(|finding| (from..=to).contains(&finding.day));
    let order = |meal: &str| facts.settings.meals.iter().position(|name| name == meal);
    found.sort_by_key(|finding| {
        let order = order(&finding.meal);
        (finding.day, finding.child.clone(), order, finding.about)
    });
    found
}

fn of_rule(facts: &Facts<'_>, broken: Broken) -> Finding {
    let child = facts.eaters.get(broken.child);
    Finding {
        day: broken.day,
        child: child.map(|child| child.name.clone()).unwrap_or_default(),
        meal: broken.meal.unwrap_or_default(),
        about: About::Broken(broken.rule),
        words: broken.words,
    }
}

/// The findings about a single meal: child and day, and whether its cubes are there in time.
fn of_meal(facts: &Facts<'_>, meal: &AgendaMeal) -> Vec<Finding> {
    let slot = &meal.slot;
    let mut found = Vec::new();
    let mut report = |about, words| {
        found.push(Finding {
            day: slot.day,
            child: slot.child.clone(),
            meal: slot.meal.clone(),
            about,
            words,
        });
    };
    if meal.outcome != Outcome::Open {
        return found;
    }
    let unknown = |what, name| format!("the book knows no {what} called {name}");
    let mut children = facts.settings.children.iter();
    let Some(child) = children.find(|child| child.name == slot.child) else {
        report(About::Unknown, unknown("child", &slot.child));
        return found;
    };
    if !facts.settings.meals.contains(&slot.meal) {
        report(About::Unknown, unknown("meal", &slot.meal));
    }
    if slot.day < child.born {
        let words = format!("{} is born on {}", child.name, words::day(child.born));
        report(About::Unborn, words);
    } else if slot.day < facts.today {
        let words = "nothing is on record for what was planned";
        report(About::NotTickedOff, words.to_string());
    } else {
        for part in &meal.parts {
            if let AgendaPart::Cubes(pick, taken) = part {
                stock(facts, (pick, taken), slot.day, &mut report);
            }
        }
    }
    found
}

/// Checks that the cubes of a pick are in the freezer in time.
fn stock(
    facts: &Facts<'_>,
    (pick, taken): (&Pick, &TakenCubes),
    day: Date,
    report: &mut impl FnMut(About, String),
) {
    let title = facts.title(&pick.name);
    let available = pick.cubes.taken() - taken.short.taken();
    let wanted = pick.cubes.in_words();
    let id = pick.name.strip_prefix('#').and_then(|id| id.parse().ok());
    let gone = id.filter(|id| facts.stock.iter().all(|stock| stock.batch.id != *id));
    let unknown = facts.batches.iter().all(|batch| batch.name != pick.name)
        && !facts.dishes.contains_key(&pick.name);
    match (gone, taken.more_from) {
        _ if taken.short.is_none() => {}
        (Some(id), _) => {
            let named = facts
                .batch(id)
                .map_or(String::new(), |batch| format!(" ({})", batch.title));
            let words = format!("no cube of batch #{id}{named} is left");
            report(About::Gone, words);
        }
        (_, Some(more)) => {
            let more = words::day(more);
            let words = format!("{wanted} of {title}: {available} by then, more only from {more}");
            report(About::NotFrozenYet, words);
        }
        _ if id.is_none() && unknown => {
            let words = format!("there is no recipe “{}”", pick.name);
            report(About::NoRecipe, words);
        }
        _ => {
            let words = format!(
                "{wanted} of {title}: {available} left for it; cook more, or plan something else"
            );
            report(About::TooFew, words);
        }
    }
    for (lot, number) in taken.parts.iter().filter(|(lot, _)| lot.use_by < day) {
        let which = match lot.origin {
            StockOrigin::Batch(id) => format!("(#{id})"),
            StockOrigin::Cooking(cooked) => format!("(to be cooked on {})", words::day(cooked)),
        };
        let (number, last) = (number.in_words(), words::day(lot.use_by));
        let words = format!("{number} of {title} {which}: last day {last}");
        report(About::PastLastDay, words);
    }
}

fn of_cooking(facts: &Facts<'_>, agenda: &Agenda) -> Vec<Finding> {
    let found = agenda.cooking.iter().filter_map(|cooking| {
        let (about, words) = if !facts.dishes.contains_key(&cooking.recipe) {
            let words = format!("there is no recipe “{}” to cook", cooking.recipe);
            (About::NoRecipe, words)
        } else if cooking.day < facts.today && !cooking.done {
            let title = facts.title(&cooking.recipe);
            (
                About::NotTickedOff,
                format!("no batch of {title} was frozen that day"),
            )
        } else {
            return None;
        };
        Some(Finding {
            day: cooking.day,
            child: String::new(),
            meal: String::new(),
            about,
            words,
        })
    });
    found.collect()
}

/// The cubes whose last day is one of these, and that no planned meal takes.
fn left_to_spoil(facts: &Facts<'_>, agenda: &Agenda, (from, to): (Date, Date)) -> Vec<Finding> {
    let taken = |id: i64| -> u32 {
        let parts = agenda.meals.iter().flat_map(|meal| &meal.parts);
        let lots = parts.filter_map(|part| match part {
            AgendaPart::Cubes(_, taken) => Some(&taken.parts),
            AgendaPart::Food(..) => None,
        });
        let of_it = lots
            .flatten()
            .filter(|(lot, _)| lot.origin == StockOrigin::Batch(id));
        of_it.map(|(_, cubes)| cubes.taken()).sum()
    };
    let stock = facts
        .stock
        .iter()
        .filter(|stock| (from.max(facts.today)..=to).contains(&stock.batch.use_by));
    let left = stock.filter_map(|stock| {
        let left = stock.left.saturating_sub(taken(stock.batch.id));
        (left > 0).then(|| Finding {
            day: stock.batch.use_by,
            child: String::new(),
            meal: String::new(),
            about: About::Broken(Rule::UseFirst),
            words: format!(
                "last day for {} of {}",
                counted(left, "cube"),
                stock.batch.title
            ),
        })
    });
    left.collect()
}

/// The meals eaten and planned, in the form that the rules need.
fn week<'a>(facts: &'a Facts<'_>, agenda: &'a Agenda) -> PlannedWeek<'a> {
    let to_come = agenda
        .meals
        .iter()
        .filter(|meal| meal.outcome == Outcome::Open && meal.slot.day >= facts.today);
    let planned = to_come.filter_map(|meal| planned(facts, meal));
    let children = facts.eaters.iter().enumerate();
    let had = children.flat_map(|(child, eater)| {
        let eaten = facts.eaten.get(&eater.name).into_iter().flatten();
        eaten.map(move |eaten| had(facts, child, eaten))
    });
    PlannedWeek {
        eaters: &facts.eaters,
        meals: planned.chain(had).collect(),
        judged: true,
        waiting: Waiting {
            days: facts.settings.waiting_days,
            after: facts.settings.waiting,
        },
        choice: (0..facts.eaters.len())
            .map(|child| choice(facts, agenda, child))
            .collect(),
    }
    .sorted()
}

/// A planned meal in the future.
#[derive(Debug)]
pub struct MealToCome<'a> {
    /// The child.
    pub child: &'a Child,
    /// The day, child and meal.
    pub slot: Slot,
    /// The cubes and foods that are planned for this meal.
    pub servings: Vec<Serving>,
}

/// The planned meals in the future, in the order of the days.
pub fn meals_to_come<'a>(facts: &'a Facts<'_>) -> Vec<MealToCome<'a>> {
    let agenda = Agenda::of(facts);
    let meals = agenda
        .meals
        .iter()
        .filter(|meal| meal.outcome == Outcome::Open && meal.slot.day >= facts.today);
    let servings = meals.filter_map(|meal| {
        let mut children = facts.settings.children.iter();
        let child = children.find(|child| child.name == meal.slot.child)?;
        let parts = planned(facts, meal)?.parts.into_iter();
        let servings = parts.map(|part| part.serving).collect();
        Some(MealToCome {
            child,
            slot: meal.slot.clone(),
            servings,
        })
    });
    servings.collect()
}

fn place(facts: &Facts<'_>, meal: &str) -> usize {
    let names = &facts.settings.meals;
    let place = names.iter().position(|name| name == meal);
    place.unwrap_or(names.len())
}

fn planned<'a>(facts: &'a Facts<'_>, meal: &'a AgendaMeal) -> Option<MealOfWeek<'a>> {
    let slot = &meal.slot;
    let mut children = facts.eaters.iter();
    let child = children.position(|child| child.name == slot.child)?;
    let mut known = facts.settings.children.iter();
    let born = known.any(|child| child.name == slot.child && child.born <= slot.day);
    if !born || !facts.settings.meals.contains(&slot.meal) {
        return None;
    }
    let mut meal_of_week = MealOfWeek {
        day: slot.day,
        child,
        name: &slot.meal,
        place: place(facts, &slot.meal),
        dishes: BTreeMap::new(),
        parts: Vec::new(),
        planned: true,
    };
    for part in &meal.parts {
        match part {
            AgendaPart::Cubes(pick, taken) => {
                let name = facts.recipe_of(&pick.name);
                meal_of_week.dishes.insert(name, facts.title(&pick.name));
                meal_of_week.parts.extend(cubes_of(facts, pick, taken));
            }
            AgendaPart::Food(food) => {
                let serving = facts.serving_of(food);
                meal_of_week.parts.extend(serving.map(|serving| PartOfMeal {
                    serving,
                    cubes: 0,
                    size: CubeSize::USUAL,
                }));
            }
        }
    }
    Some(meal_of_week)
}

/// The cubes of a pick; those that are not frozen yet have the composition of the recipe.
fn cubes_of(facts: &Facts<'_>, pick: &Pick, taken: &TakenCubes) -> Vec<PartOfMeal> {
    let part = |cube: &Serving, (cubes, size): (CubeCount, CubeSize)| PartOfMeal {
        serving: cube.times(cubes.served()),
        cubes: cubes.taken(),
        size,
    };
    let lots = taken.parts.iter();
    let there = lots
        .filter_map(|(lot, cubes)| Some(part(facts.cube_of(lot)?, (*cubes, facts.cube_size(lot)))));
    let dish = facts
        .dishes
        .get(&pick.name)
        .filter(|_| !taken.short.is_none());
    let lacking = dish.map(|dish| part(&dish.cube, (taken.short, CubeSize::USUAL)));
    there.chain(lacking).collect()
}

fn had<'a>(facts: &'a Facts<'_>, child: usize, eaten: &'a Eaten) -> MealOfWeek<'a> {
    let batches = eaten.cubes.iter().filter_map(|(id, _)| facts.batch(*id));
    let servings = eaten.meal.servings.iter();
    let taken = eaten.cubes.iter().map(|(_, cubes)| cubes.taken());
    let cubes = taken.sum();
    MealOfWeek {
        day: eaten.day,
        child,
        name: &eaten.meal.name,
        place: place(facts, &eaten.meal.name),
        dishes: batches
            .map(|batch| (batch.name.as_str(), batch.title.as_str()))
            .collect(),
        parts: servings
            .enumerate()
            .map(|(at, serving)| PartOfMeal {
                serving: serving.times(eaten.meal.share),
                // The cubes are counted at the first serving: of a past meal it does not matter
                // which serving they are.
                cubes: if at == 0 { cubes } else { 0 },
                size: CubeSize::USUAL,
            })
            .collect(),
        planned: false,
    }
}

/// The number of dishes in the freezer or to be cooked that a child may choose from until the last
/// day that is examined.
fn choice(facts: &Facts<'_>, agenda: &Agenda, child: usize) -> usize {
    let (Some(eater), Some(barred)) = (facts.eaters.get(child), facts.barred.get(child)) else {
        return 0;
    };
    let last = eater.days.keys().next_back().copied();
    let last = last.unwrap_or(facts.today);
    let may = |cube: &Serving| eater.may_choose(foods_of(cube), last);
    let is_barred = |key: &str| {
        let days = barred.get(key);
        days.is_some_and(|days| days.contains_key(&last))
    };
    let stock = facts.stock.iter().filter(|stock| {
        let barred = is_barred(&format!("#{}", stock.batch.id));
        let cube = facts.cubes.get(&stock.batch.id);
        stock.left > 0 && stock.batch.use_by >= facts.today && !barred && cube.is_some_and(may)
    });
    let cooked = agenda.cooking.iter().filter(|one| {
        let dish = facts.dishes.get(&one.recipe);
        !is_barred(&one.recipe) && dish.is_some_and(|dish| may(&dish.cube))
    });
    let names = stock.map(|stock| stock.batch.name.as_str());
    let names = names.chain(cooked.map(|cooking| cooking.recipe.as_str()));
    names.collect::<BTreeSet<_>>().len()
}
