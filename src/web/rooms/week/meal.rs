//! The form for one meal of the plan.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use askama::Template;
use jiff::civil::Date;

use super::{HERE, near, planned};
use crate::household::PlanValidation;
use crate::notebook::{Helping, Plan, PlannedServing, Slot, Store};
use crate::report::spoken_day;
use crate::web::error::PageError;
use crate::web::fields::{Fields, Wrong};
use crate::web::layout::Layout;
use crate::web::request::{PageRequest, Reply};
use crate::web::rooms::bowl::{self, RECIPE, ServingRow};

#[derive(Template)]
#[template(path = "web/week-meal.html")]
struct MealPage {
    frame: Layout,
    slot: Slot,
    when: String,
    rows: Vec<ServingRow>,
    other: String,
    wrong: Wrong,
}

/// Shows the form: as the address fills it in, else as the meal is planned.
pub(super) fn show(visit: &PageRequest<'_>) -> Result<Reply, PageError> {
    let store = visit.record()?;
    let asked = &visit.asked.query;
    let slot = slot(visit, store, asked)?;
    if asked.value("other").is_some() || asked.beginning(RECIPE).next().is_some() {
        return Reply::page(&refilled(visit, store, slot, asked, Wrong::default())?);
    }
    let planned = store.planned(slot.day, slot.day)?.meals.remove(&slot);
    let (counted, other) = counted(visit, store, slot.day, planned.unwrap_or_default())?;
    let rows = rows(visit, store, slot.day, &|name| {
        counted.get(name).copied().unwrap_or(0).to_string()
    })?;
    Reply::page(&filled(visit, slot, rows, other, Wrong::default()))
}

/// Records what the meal is to be.
pub(super) fn record(visit: &PageRequest<'_>, fields: &Fields) -> Result<Reply, PageError> {
    let store = visit.record()?;
    let slot = slot(visit, store, fields)?;
    let mut wrong = Wrong::default();
    let (parts, foods) = parts(visit, store, fields, &mut wrong)?;
    if wrong.is_empty() {
        let mut plan = Plan::default();
        plan.meals.insert(slot.clone(), parts);
        if let Some(done) = planned(
            visit,
            (&plan, &foods),
            slot.day,
            (fields, "/week/meal"),
            &mut wrong,
        )? {
            return Ok(done);
        }
    }
    Reply::wrong(&refilled(visit, store, slot, fields, wrong)?)
}

/// The form as it is filled in by fields.
fn refilled(
    visit: &PageRequest<'_>,
    store: &Store,
    slot: Slot,
    fields: &Fields,
    wrong: Wrong,
) -> Result<MealPage, PageError> {
    let rows = rows(visit, store, slot.day, &|name| {
        bowl::cubes(&format!("{RECIPE}{name}"), fields)
    })?;
    let other = fields.text("other").to_string();
    Ok(filled(visit, slot, rows, other, wrong))
}

/// The servings in the fields, and the foods as they were typed: none, where the form asks for none.
fn parts(
    visit: &PageRequest<'_>,
    store: &Store,
    fields: &Fields,
    wrong: &mut Wrong,
) -> Result<(Vec<PlannedServing>, Vec<Helping>), PageError> {
    if fields.text("do") == "empty" {
        return Ok((Vec::new(), Vec::new()));
    }
    let typed = bowl::typed(visit, fields, wrong)?;
    let parts = typed.planned();
    let rules = PlanValidation::of(&visit.book, store)?;
    if parts.is_empty() && wrong.is_empty() {
        wrong.say("cubes", "Say what is planned, or choose to plan nothing.");
    } else if let Err(problems) = rules.admit(&visit.book, &parts) {
        wrong.problems("cubes", &problems);
    }
    Ok((parts, typed.foods))
}

/// The meal that a form or an address is about.
fn slot(visit: &PageRequest<'_>, store: &Store, fields: &Fields) -> Result<Slot, PageError> {
    let on = near(visit, fields, "on")?;
    let rules = PlanValidation::of(&visit.book, store)?;
    let validation = rules.validation(&visit.book);
    Ok(validation.slot(on, Some(fields.text("child")), fields.text("meal"))?)
}

/// A dish that may be planned.
struct DishOption {
    title: String,
    /// Cubes left that can be eaten on the day, and cubes past theirs.
    left: u32,
    past: u32,
}

impl DishOption {
    fn about(&self) -> String {
        match (self.left, self.past) {
            (0, 0) => "to be cooked".to_string(),
            (left, 0) => format!("{left} left"),
            (0, past) => format!("to be cooked; {past} past their day"),
            (left, past) => format!("{left} left; {past} more past their day"),
        }
    }
}

/// The recipes of the book and of the freezer by their names.
fn dishes(
    visit: &PageRequest<'_>,
    store: &Store,
    on: Date,
) -> Result<BTreeMap<String, DishOption>, PageError> {
    let mut dishes = BTreeMap::new();
    for stock in store.stock()? {
        let title = stock.batch.title;
        let dish = dishes.entry(stock.batch.name).or_insert(DishOption {
            title,
            left: 0,
            past: 0,
        });
        if stock.batch.use_by >= on {
            dish.left += stock.left;
        } else {
            dish.past += stock.left;
        }
    }
    for name in visit.book.recipe_names()? {
        if let Entry::Vacant(vacant) = dishes.entry(name) {
            let title = visit.book.recipe(vacant.key())?.title;
            vacant.insert(DishOption {
                title,
                left: 0,
                past: 0,
            });
        }
    }
    Ok(dishes)
}

fn rows(
    visit: &PageRequest<'_>,
    store: &Store,
    on: Date,
    cubes: &dyn Fn(&str) -> String,
) -> Result<Vec<ServingRow>, PageError> {
    let dishes = dishes(visit, store, on)?.into_iter();
    let row = |(name, dish): (String, DishOption)| {
        let row = ServingRow {
            cubes: cubes(&name),
            about: dish.about(),
            title: dish.title,
            name: format!("{RECIPE}{name}"),
        };
        (dish.left == 0, row)
    };
    let mut rows: Vec<(bool, ServingRow)> = dishes.map(row).collect();
    // Dishes in the freezer come first.
    rows.sort_by_key(|(lacking, _)| *lacking);
    Ok(rows.into_iter().map(|(_, row)| row).collect())
}

/// The servings that are planned already: cubes of recipes that have a field, and the rest as text.
fn counted(
    visit: &PageRequest<'_>,
    store: &Store,
    on: Date,
    planned: Vec<PlannedServing>,
) -> Result<(BTreeMap<String, u32>, String), PageError> {
    let recipes = dishes(visit, store, on)?;
    let mut counted = BTreeMap::new();
    let mut words = Vec::new();
    for one in planned {
        match one {
            PlannedServing::Cubes(pick)
                if recipes.contains_key(&pick.name) && pick.cubes.halved() == 0 =>
            {
                counted.insert(pick.name, pick.cubes.taken());
            }
            PlannedServing::Cubes(pick) => words.push(format!("{} {}", pick.cubes, pick.name)),
            PlannedServing::Food(id, mass) => words.push(format!("{} g {id}", mass.grams())),
        }
    }
    Ok((counted, words.join(", ")))
}

fn filled(
    visit: &PageRequest<'_>,
    slot: Slot,
    rows: Vec<ServingRow>,
    other: String,
    wrong: Wrong,
) -> MealPage {
    let when = spoken_day(slot.day);
    MealPage {
        frame: Layout::of(visit, format!("Plan {}, {when}", slot.meal), HERE),
        slot,
        when,
        rows,
        other,
        wrong,
    }
}
