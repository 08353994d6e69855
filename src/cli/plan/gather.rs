//! Gathers what the book knows, for a plan to be held against.

use std::collections::BTreeMap;

use data_import::FoodId;
use jiff::ToSpan as _;
use trayful::food::Pantry;
use trayful::notebook::{Book, Plan, PlannedServing, Store};
use trayful::planning::facts::{Dish, Facts};
use trayful::portion::{Target, Tray};
use trayful::recipe::Recipe;
use trayful::safety::CautionTable;

use super::Span;
use crate::cli::Session;
use crate::cli::batch::calculated;
use crate::cli::failure::Failure;

/// What the book knows of some days. Tomorrow is always among them, for what is to be thawed tonight.
pub(in crate::cli) fn facts<'a>(
    session: &Session,
    book: &'a Book,
    store: &Store,
    span: Span,
) -> Result<Facts<'a>, Failure> {
    facts_with(session, book, store, span, Plan::default())
}

/// The same, with what is about to be planned in place of what was.
pub(super) fn facts_with<'a>(
    session: &Session,
    book: &'a Book,
    store: &Store,
    span: Span,
    new: Plan,
) -> Result<Facts<'a>, Failure> {
    let first = span.from.min(span.today);
    let last = span.to.max(span.today.saturating_add(1.day()));
    let mut plan = store.planned(first, last)?;
    let mut asked = foods_in(&plan);
    plan.meals.extend(new.meals);
    plan.cooking.extend(new.cooking);
    let stock = store.stock()?;
    let ids: Vec<i64> = stock.iter().map(|stock| stock.batch.id).collect();
    let cautions = CautionTable::builtin()?;
    let mut eaten = BTreeMap::new();
    let mut tastes = BTreeMap::new();
    for child in &book.settings.children {
        let name = child.name.clone();
        eaten.insert(name.clone(), store.eaten(&name, first, last)?);
        tastes.insert(name.clone(), store.tastes(&name, span.today)?);
    }
    asked.extend(foods_in(&plan));
    asked.sort();
    asked.dedup();
    let found = session.pantry(None)?.foods(&asked)?.into_iter().flatten();
    let foods = found.map(|food| {
        let allergens = cautions.allergens_of(&food).map(String::from).collect();
        (food.id.clone(), (food, allergens))
    });
    Ok(Facts {
        today: span.today,
        settings: &book.settings,
        dishes: dishes(session, book, &names_in(&plan))?,
        foods: foods.collect(),
        cubes: store.cubes(&ids)?,
        batches: store.batches()?,
        stock,
        plan,
        eaten,
        tastes,
    })
}

/// The recipes that a plan names.
fn names_in(plan: &Plan) -> Vec<String> {
    let picks = plan.meals.values().flatten().filter_map(|part| match part {
        PlannedServing::Cubes(pick) => Some(pick.name.clone()),
        PlannedServing::Food(..) => None,
    });
    let cooking = plan.cooking.values().flatten();
    picks.chain(cooking.map(|one| one.recipe.clone())).collect()
}

/// The foods that a plan names.
fn foods_in(plan: &Plan) -> Vec<FoodId> {
    let foods = plan.meals.values().flatten().filter_map(|part| match part {
        PlannedServing::Food(food, _) => Some(food.clone()),
        PlannedServing::Cubes(_) => None,
    });
    foods.collect()
}

/// Those of these names that are recipes of the book, calculated for its first tray.
pub(in crate::cli) fn dishes(
    session: &Session,
    book: &Book,
    names: &[String],
) -> Result<BTreeMap<String, Dish>, Failure> {
    let mut recipes: BTreeMap<String, Recipe> = BTreeMap::new();
    for name in book.recipe_names()? {
        if names.contains(&name) {
            recipes.insert(name.clone(), book.recipe(&name)?);
        }
    }
    let ids: Vec<_> = recipes.values().flat_map(Recipe::foods).collect();
    let pantry = session.pantry(None)?.laid_out_for(&ids)?;
    let cautions = CautionTable::builtin()?;
    let mut dishes = BTreeMap::new();
    for (name, recipe) in recipes {
        let dish = dish(book, &recipe, &pantry, &cautions)?;
        dishes.insert(name, dish);
    }
    Ok(dishes)
}

fn dish(
    book: &Book,
    recipe: &Recipe,
    pantry: &Pantry,
    cautions: &CautionTable,
) -> Result<Dish, Failure> {
    let trays = &book.settings.trays;
    let tray = trays.first().cloned().unwrap_or_else(Tray::usual);
    let batch = calculated(recipe, &Target::AsWritten, &tray, pantry)?;
    let cube = batch.cube(tray.cube_mass(batch.density), |food| {
        cautions.allergens_of(food).map(String::from).collect()
    });
    Ok(Dish {
        title: recipe.title.clone(),
        cubes_a_tray: tray.wells,
        keeps: recipe.freezer.days.unwrap_or(book.settings.freezer_days),
        cube,
    })
}
