//! The rules that every plan keeps: judged in whole cubes and dates, never in floats.

use std::collections::{BTreeMap, BTreeSet};

use data_import::FoodId;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::{Cooking, Origin, Plan, PlannedMeal, Request};
use crate::nutrition::ServedFood;

/// A rule that no proposal breaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rule {
    /// No more cubes than there are.
    Stock,
    /// Not before they are frozen, not after the use-by date.
    UseBy,
    /// As many meals as the age wants, each once.
    Meals,
    /// As many cubes a meal as the age wants.
    Cubes,
    /// One new food at a time, with days of waiting between.
    NewFoods,
    /// Nothing that a reaction is on record for.
    Reaction,
    /// Cooking on cook days, in whole trays, no more than can be filled.
    CookDays,
}

/// A rule that a plan breaks, and where.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Broken {
    /// Which rule.
    pub rule: Rule,
    /// The day, where it is about one.
    pub day: Option<Date>,
    /// Index of the child, where it is about one.
    pub child: Option<usize>,
    /// In words.
    pub words: String,
}

impl Broken {
    fn new(rule: Rule, day: Option<Date>, child: Option<usize>, words: String) -> Self {
        Self {
            rule,
            day,
            child,
            words,
        }
    }
}

/// Every rule that a plan breaks, in the order of the rules.
pub(crate) fn broken(request: &Request, plan: &Plan) -> Vec<Broken> {
    let mut all = stock(request, plan);
    all.extend(use_by(request, plan));
    all.extend(meals(request, plan));
    all.extend(cubes(request, plan));
    for child in 0..request.children.len() {
        all.extend(new_foods(request, plan, child));
    }
    all.extend(reactions(request, plan));
    all.extend(cook_days(request, plan));
    all
}

fn stock(request: &Request, plan: &Plan) -> Vec<Broken> {
    let mut taken: BTreeMap<Origin, u32> = BTreeMap::new();
    for part in plan.meals.iter().flat_map(|meal| &meal.parts) {
        *taken.entry(part.origin).or_default() += part.cubes;
    }
    for (batch, cubes) in request
        .fixed
        .iter()
        .flat_map(|meal| &meal.parts)
        .filter_map(|part| part.cubes)
    {
        *taken.entry(Origin::Batch(batch)).or_default() += cubes;
    }
    let over = taken.into_iter().filter_map(|(origin, taken)| {
        let there = cubes_of(request, plan, origin);
        let words = || {
            format!(
                "{} of {}: {taken} are planned, {there} are there",
                cubes_word(taken),
                origin.title(request)
            )
        };
        (taken > there).then(|| Broken::new(Rule::Stock, None, None, words()))
    });
    over.collect()
}

/// Cubes that there are of an origin.
fn cubes_of(request: &Request, plan: &Plan, origin: Origin) -> u32 {
    match origin {
        Origin::Batch(batch) => request.batches.get(batch).map_or(0, |one| one.cubes),
        Origin::Cooking { recipe, day } => {
            let cooked = plan
                .cookings
                .iter()
                .filter(|one| one.recipe == recipe && one.day == day);
            let trays: u32 = cooked.map(|one| one.trays).sum();
            request
                .recipes
                .get(recipe)
                .map_or(0, |one| one.cubes_a_tray.saturating_mul(trays))
        }
    }
}

fn use_by(request: &Request, plan: &Plan) -> Vec<Broken> {
    let parts = plan
        .meals
        .iter()
        .flat_map(|meal| meal.parts.iter().map(move |part| (meal, part.origin)));
    let wrong = parts.filter_map(|(meal, origin)| {
        let (from, until) = servable(request, origin)?;
        let title = origin.title(request);
        let words = if meal.day < from {
            format!("{title} is not frozen until {}", request.day_name(from))
        } else if meal.day > until {
            format!("{title} is to be used by {}", request.day_name(until))
        } else {
            return None;
        };
        Some(Broken::new(
            Rule::UseBy,
            Some(meal.day),
            Some(meal.child),
            words,
        ))
    });
    wrong.collect()
}

/// First and last day on which cubes can be served.
fn servable(request: &Request, origin: Origin) -> Option<(Date, Date)> {
    match origin {
        Origin::Batch(batch) => request.batches.get(batch).map(|one| (one.from, one.use_by)),
        Origin::Cooking { recipe, day } => {
            let recipe = request.recipes.get(recipe)?;
            let from = if recipe.same_day {
                day
            } else {
                day.tomorrow().ok()?
            };
            Some((
                from,
                day.saturating_add(i64::from(recipe.freezer_days).days()),
            ))
        }
    }
}

fn meals(request: &Request, plan: &Plan) -> Vec<Broken> {
    let mut found = Vec::new();
    for (child, eater) in request.children.iter().enumerate() {
        for (day, need) in request.days.iter().zip(&eater.days) {
            let planned = plan
                .meals
                .iter()
                .filter(|meal| meal.child == child && meal.day == *day && meal.cubes() > 0);
            let settled = request
                .fixed
                .iter()
                .filter(|meal| meal.child == child && meal.day == *day);
            let names: Vec<&str> = planned
                .map(|meal| meal.meal.as_str())
                .chain(settled.map(|meal| meal.meal.as_str()))
                .collect();
            let mut report =
                |words| found.push(Broken::new(Rule::Meals, Some(*day), Some(child), words));
            let once: BTreeSet<&str> = names.iter().copied().collect();
            if once.len() < names.len() {
                report("a meal is planned twice".to_string());
            }
            if let Some(name) = once
                .iter()
                .find(|name| !eater.meals.iter().any(|meal| meal == **name))
            {
                report(format!("`{name}` is not a meal of the day"));
            }
            let count = u32::try_from(once.len()).unwrap_or(u32::MAX);
            // A household that names fewer meals than are usual has none to fill the rest with.
            let least =
                (*need.meals.start()).min(u32::try_from(eater.meals.len()).unwrap_or(u32::MAX));
            if count < least || count > *need.meals.end() {
                report(format!(
                    "{count} meals, where {least} to {} are usual at {} months",
                    need.meals.end(),
                    need.age.0
                ));
            }
        }
    }
    found
}

fn cubes(request: &Request, plan: &Plan) -> Vec<Broken> {
    let wrong = plan.meals.iter().filter_map(|meal| {
        let eater = request.children.get(meal.child)?;
        let need = eater.days.get(request.day_index(meal.day)?)?;
        let cubes = meal.cubes();
        let words = || {
            format!(
                "{}: {cubes} {}, where {} to {} are wanted",
                meal.meal,
                cubes_word(cubes),
                need.cubes.start(),
                need.cubes.end()
            )
        };
        let fits = cubes == 0 || need.cubes.contains(&cubes);
        (!fits).then(|| Broken::new(Rule::Cubes, Some(meal.day), Some(meal.child), words()))
    });
    wrong.collect()
}

/// The foods of each day of a child, settled meals included.
fn foods_by_day<'a>(
    request: &'a Request,
    plan: &Plan,
    child: usize,
) -> BTreeMap<Date, Vec<&'a ServedFood>> {
    let mut days: BTreeMap<Date, Vec<&ServedFood>> = BTreeMap::new();
    for meal in plan.meals.iter().filter(|meal| meal.child == child) {
        let cubes = meal
            .parts
            .iter()
            .filter_map(|part| part.origin.cube(request));
        days.entry(meal.day)
            .or_default()
            .extend(cubes.flat_map(|cube| &cube.foods));
    }
    for meal in request.fixed.iter().filter(|meal| meal.child == child) {
        let foods = meal.parts.iter().flat_map(|part| &part.serving.foods);
        days.entry(meal.day).or_default().extend(foods);
    }
    days
}

/// The first tastes that a plan brings a child, by day, each with the food's name.
pub(crate) fn first_tastes(
    request: &Request,
    plan: &Plan,
    child: usize,
) -> BTreeMap<Date, BTreeMap<FoodId, String>> {
    let mut tasted: BTreeSet<FoodId> = request.children[child].known.keys().cloned().collect();
    let mut firsts: BTreeMap<Date, BTreeMap<FoodId, String>> = BTreeMap::new();
    for (day, foods) in foods_by_day(request, plan, child) {
        for food in foods {
            if tasted.insert(food.id.clone()) {
                firsts
                    .entry(day)
                    .or_default()
                    .insert(food.id.clone(), food.name.clone());
            }
        }
    }
    firsts
}

fn new_foods(request: &Request, plan: &Plan, child: usize) -> Vec<Broken> {
    let mut found = Vec::new();
    let waiting = i64::from(request.waiting_days.max(1)).days();
    let mut last = request.children[child].last_first();
    for (day, foods) in first_tastes(request, plan, child) {
        let names: Vec<&str> = foods.values().map(String::as_str).collect();
        let mut report =
            |words| found.push(Broken::new(Rule::NewFoods, Some(day), Some(child), words));
        if names.len() > 1 {
            report(format!(
                "{} new foods on one day: {}",
                names.len(),
                names.join("; ")
            ));
        }
        if let Some(before) = last
            && day < before.saturating_add(waiting)
        {
            report(format!(
                "{} is new, and the last new food was on {}: wait until {}",
                names.join("; "),
                request.day_name(before),
                request.day_name(before.saturating_add(waiting))
            ));
        }
        last = last.max(Some(day));
    }
    found
}

fn reactions(request: &Request, plan: &Plan) -> Vec<Broken> {
    let mut found = Vec::new();
    for meal in &plan.meals {
        let Some(eater) = request.children.get(meal.child) else {
            continue;
        };
        for food in foods_of(request, meal) {
            if let Some(seen) = eater.excluded.get(&food.id) {
                let words = format!("{} is in it: {seen}", food.name);
                found.push(Broken::new(
                    Rule::Reaction,
                    Some(meal.day),
                    Some(meal.child),
                    words,
                ));
            }
        }
    }
    found
}

fn foods_of<'a>(request: &'a Request, meal: &PlannedMeal) -> Vec<&'a ServedFood> {
    let cubes = meal
        .parts
        .iter()
        .filter_map(|part| part.origin.cube(request));
    cubes.flat_map(|cube| &cube.foods).collect()
}

fn cook_days(request: &Request, plan: &Plan) -> Vec<Broken> {
    let mut found = Vec::new();
    let mut trays: BTreeMap<(Date, usize), u32> = BTreeMap::new();
    for Cooking {
        day,
        recipe,
        trays: more,
    } in &plan.cookings
    {
        *trays.entry((*day, *recipe)).or_default() += more;
    }
    let mut by_day: BTreeMap<Date, u32> = BTreeMap::new();
    for ((day, recipe), trays) in trays {
        *by_day.entry(day).or_default() += trays;
        let Some(recipe) = request.recipes.get(recipe) else {
            continue;
        };
        let mut report = |words| found.push(Broken::new(Rule::CookDays, Some(day), None, words));
        if !recipe.cook_days.contains(&day) {
            report(format!(
                "{} is not a day to cook {}",
                request.day_name(day),
                recipe.title
            ));
        }
        if trays > recipe.most_trays {
            report(format!(
                "{trays} trays of {}, where one cooking fills {}",
                recipe.title, recipe.most_trays
            ));
        }
    }
    for (day, trays) in by_day {
        if request.trays_a_day.is_some_and(|most| trays > most) {
            let words = format!(
                "{trays} trays to fill, where there are {}",
                request.trays_a_day.unwrap_or_default()
            );
            found.push(Broken::new(Rule::CookDays, Some(day), None, words));
        }
    }
    found
}

fn cubes_word(cubes: u32) -> &'static str {
    if cubes == 1 { "cube" } else { "cubes" }
}
