//! What a book knows that a plan is held against.

use std::collections::BTreeMap;

use data_import::FoodId;
use jiff::ToSpan as _;

use super::calculated;
use crate::food::Pantry;
use crate::notebook::{Book, BookError, Plan, PlannedServing, Store};
use crate::planning::facts::{Dish, Facts, Span};
use crate::portion::{Target, Tray};
use crate::recipe::Recipe;
use crate::safety::AllergenTable;

/// What the book knows of some days, with `new` in place of what is planned for the same meals and the cooking of the
/// same days. Tomorrow is always among the days, for what is to be thawed tonight.
pub fn plan_facts<'a>(
    book: &'a Book,
    store: &Store,
    pantry: Pantry,
    span: Span,
    new: Plan,
) -> Result<Facts<'a>, BookError> {
    let first = span.from.min(span.today);
    let last = span.to.max(span.today.saturating_add(1.day()));
    let mut plan = store.planned(first, last)?;
    let mut asked = foods_in(&plan);
    plan.meals.extend(new.meals);
    plan.cooking.extend(new.cooking);
    asked.extend(foods_in(&plan));
    asked.sort();
    asked.dedup();
    let stock = store.stock()?;
    let ids: Vec<i64> = stock.iter().map(|stock| stock.batch.id).collect();
    let allergens = AllergenTable::builtin()?;
    let mut eaten = BTreeMap::new();
    let mut tastes = BTreeMap::new();
    for child in &book.settings.children {
        let name = child.name.clone();
        eaten.insert(name.clone(), store.eaten(&name, first, last)?);
        tastes.insert(name.clone(), store.tastes(&name, span.today)?);
    }
    let found = pantry.foods(&asked)?.into_iter().flatten();
    let foods = found.map(|food| {
        let held = allergens.of(&food).map(String::from).collect();
        (food.id.clone(), (food, held))
    });
    Ok(Facts {
        today: span.today,
        settings: &book.settings,
        foods: foods.collect(),
        dishes: dishes(book, pantry, &names_in(&plan))?,
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
pub(super) fn dishes(
    book: &Book,
    pantry: Pantry,
    names: &[String],
) -> Result<BTreeMap<String, Dish>, BookError> {
    let mut recipes: BTreeMap<String, Recipe> = BTreeMap::new();
    for name in book.recipe_names()? {
        if names.contains(&name) {
            recipes.insert(name.clone(), book.recipe(&name)?);
        }
    }
    if recipes.is_empty() {
        return Ok(BTreeMap::new());
    }
    let ids: Vec<_> = recipes.values().flat_map(Recipe::foods).collect();
    let pantry = pantry.laid_out_for(&ids)?;
    let allergens = AllergenTable::builtin()?;
    let mut dishes = BTreeMap::new();
    for (name, recipe) in recipes {
        dishes.insert(name, dish(book, &recipe, &pantry, &allergens)?);
    }
    Ok(dishes)
}

fn dish(
    book: &Book,
    recipe: &Recipe,
    pantry: &Pantry,
    allergens: &AllergenTable,
) -> Result<Dish, BookError> {
    let tray = first_tray(book);
    let batch = calculated(recipe, &Target::AsWritten, &tray, pantry)?;
    let cube = batch.cube(tray.cube_mass(batch.density), |food| {
        allergens.of(food).map(String::from).collect()
    });
    Ok(Dish {
        title: recipe.title.clone(),
        cubes_a_tray: tray.wells,
        keeps: recipe.freezer.days.unwrap_or(book.settings.freezer_days),
        cube,
    })
}

/// The book's first tray, else the usual one.
pub(super) fn first_tray(book: &Book) -> Tray {
    let first = book.settings.trays.first();
    first.cloned().unwrap_or_else(Tray::usual)
}
