//! One meal of the plan: what it is to be, or nothing.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use askama::Template;

use super::{HERE, near, planned};
use crate::household::PlanRules;
use crate::notebook::{Plan, PlannedServing, Slot, Store};
use crate::report::spoken_day;
use crate::web::fault::Fault;
use crate::web::fields::{Fields, Wrong};
use crate::web::frame::Frame;
use crate::web::rooms::bowl::{self, RECIPE, Row};
use crate::web::visit::{Answer, Visit};

#[derive(Template)]
#[template(path = "web/week-meal.html")]
struct MealPage {
    frame: Frame,
    slot: Slot,
    when: String,
    rows: Vec<Row>,
    other: String,
    wrong: Wrong,
}

/// Shows the form.
pub(super) fn show(visit: &Visit<'_>) -> Result<Answer, Fault> {
    let store = visit.store()?;
    let slot = slot(visit, &store, &visit.asked.query)?;
    let planned = store.planned(slot.day, slot.day)?.meals.remove(&slot);
    let (counted, other) = counted(visit, &store, planned.unwrap_or_default())?;
    let rows = rows(visit, &store, &|name| {
        counted.get(name).copied().unwrap_or(0).to_string()
    })?;
    Answer::page(&filled(visit, slot, rows, other, Wrong::default()))
}

/// Records what the meal is to be.
pub(super) fn record(visit: &Visit<'_>, fields: &Fields) -> Result<Answer, Fault> {
    let store = visit.store()?;
    let slot = slot(visit, &store, fields)?;
    let mut wrong = Wrong::default();
    let parts = parts(visit, &store, fields, &mut wrong)?;
    if wrong.is_empty() {
        let mut plan = Plan::default();
        plan.meals.insert(slot.clone(), parts);
        if let Some(done) = planned(visit, &plan, slot.day, &mut wrong)? {
            return Ok(done);
        }
    }
    let rows = rows(visit, &store, &|name| {
        bowl::cubes(&format!("{RECIPE}{name}"), fields)
    })?;
    let other = fields.text("other").to_string();
    Answer::wrong(&filled(visit, slot, rows, other, wrong))
}

/// What the form tells: nothing, where that is what was asked for.
fn parts(
    visit: &Visit<'_>,
    store: &Store,
    fields: &Fields,
    wrong: &mut Wrong,
) -> Result<Vec<PlannedServing>, Fault> {
    if fields.text("do") == "empty" {
        return Ok(Vec::new());
    }
    let parts = bowl::said(visit, fields, wrong)?.planned();
    let rules = PlanRules::of(&visit.book, store)?;
    if parts.is_empty() && wrong.is_empty() {
        wrong.say("cubes", "Say what is planned, or choose to plan nothing.");
    } else if let Err(problems) = rules.admit(&visit.book, &parts) {
        wrong.problems("cubes", &problems);
    }
    Ok(parts)
}

/// The meal that a form or an address is about.
fn slot(visit: &Visit<'_>, store: &Store, fields: &Fields) -> Result<Slot, Fault> {
    let on = near(visit, fields, "on")?;
    let rules = PlanRules::of(&visit.book, store)?;
    let validation = rules.validation(&visit.book);
    Ok(validation.slot(on, Some(fields.text("child")), fields.text("meal"))?)
}

/// The recipes of the book and of the freezer by their names, with their titles and the cubes left of them.
fn recipes(visit: &Visit<'_>, store: &Store) -> Result<BTreeMap<String, (String, u32)>, Fault> {
    let mut recipes = BTreeMap::new();
    for stock in store.stock()? {
        let title = stock.batch.title.clone();
        let known = recipes.entry(stock.batch.name).or_insert((title, 0));
        known.1 += stock.left;
    }
    for name in visit.book.recipe_names()? {
        if let Entry::Vacant(vacant) = recipes.entry(name) {
            let title = visit.book.recipe(vacant.key())?.title;
            vacant.insert((title, 0));
        }
    }
    Ok(recipes)
}

fn rows(
    visit: &Visit<'_>,
    store: &Store,
    cubes: &dyn Fn(&str) -> String,
) -> Result<Vec<Row>, Fault> {
    let recipes = recipes(visit, store)?.into_iter();
    let row = |(name, (title, left)): (String, (String, u32))| Row {
        cubes: cubes(&name),
        title,
        about: if left == 0 {
            "to be cooked".to_string()
        } else {
            format!("{left} left")
        },
        name: format!("{RECIPE}{name}"),
    };
    let mut rows: Vec<(bool, Row)> = recipes.map(|one| (one.1.1 == 0, row(one))).collect();
    // What is there comes first.
    rows.sort_by_key(|(lacking, _)| *lacking);
    Ok(rows.into_iter().map(|(_, row)| row).collect())
}

/// What is planned already: cubes of recipes that have a field, and the rest in words.
fn counted(
    visit: &Visit<'_>,
    store: &Store,
    planned: Vec<PlannedServing>,
) -> Result<(BTreeMap<String, u32>, String), Fault> {
    let recipes = recipes(visit, store)?;
    let mut counted = BTreeMap::new();
    let mut words = Vec::new();
    for one in planned {
        match one {
            PlannedServing::Cubes(pick) if recipes.contains_key(&pick.name) => {
                counted.insert(pick.name, pick.cubes);
            }
            PlannedServing::Cubes(pick) => words.push(format!("{} {}", pick.cubes, pick.name)),
            PlannedServing::Food(id, mass) => words.push(format!("{} g {id}", mass.grams())),
        }
    }
    Ok((counted, words.join(", ")))
}

fn filled(visit: &Visit<'_>, slot: Slot, rows: Vec<Row>, other: String, wrong: Wrong) -> MealPage {
    let when = spoken_day(slot.day);
    MealPage {
        frame: Frame::of(visit, format!("Plan {}, {when}", slot.meal), HERE),
        slot,
        when,
        rows,
        other,
        wrong,
    }
}
