//! What to buy for a plan of the book.

use std::collections::BTreeMap;

use data_import::{Food, FoodId};
use jiff::civil::Date;

use super::plan_facts::first_tray;
use super::{Asked, BookJudge, calculated};
use crate::food::Pantry;
use crate::notebook::{Book, BookError, Purchase, Store};
use crate::nutrition::{BreastMilk, Serving, Source};
use crate::planning::agenda::{Agenda, AgendaMeal, AgendaPart, Outcome};
use crate::planning::facts::{Facts, Span};
use crate::planning::shop::{Need, ShoppingList};
use crate::portion::Target;
use crate::quantity::Mass;
use crate::safety::{Context, Objection, Texture, distinct, gravest_first};

/// What to buy for the days of a plan that are still to come: for what is not cooked yet, and for what comes from the table.
pub fn shopping_list(
    book: &Book,
    store: &Store,
    pantry: &Pantry,
    (facts, span): (&Facts<'_>, Span),
) -> Result<ShoppingList, BookError> {
    let agenda = Agenda::of(facts).between(span.from.max(span.today), span.to);
    let mut needs = to_cook(book, pantry, &agenda)?;
    needs.extend(at_the_table(facts, &agenda));
    let last = last_bought(store, &needs, span.today)?;
    Ok(ShoppingList::of(&needs, &last, &book.settings.seasons))
}

/// What speaks against what is bought for: the batches that are to be cooked, for each child, and the food from the table,
/// for the child whose meal it is.
pub fn shopping_objections(
    judge: &BookJudge<'_>,
    (book, pantry): (&Book, &Pantry),
    (facts, span): (&Facts<'_>, Span),
) -> Result<Vec<Objection>, BookError> {
    let agenda = Agenda::of(facts).between(span.from.max(span.today), span.to);
    let tray = first_tray(book);
    let mut found = Vec::new();
    for one in agenda.cooking.iter().filter(|one| !one.done) {
        let recipe = book.recipe(&one.recipe)?;
        let batch = calculated(&recipe, &Target::Trays(one.trays), &tray, pantry)?;
        found.extend(judge.batch(&batch, &tray, one.day, None)?);
    }
    for meal in agenda
        .meals
        .iter()
        .filter(|meal| meal.outcome == Outcome::Open)
    {
        let Ok(child) = book.settings.child(Some(&meal.slot.child)) else {
            continue;
        };
        let asked = Asked {
            child,
            day: meal.slot.day,
            context: Context::Planned,
            seen: "",
        };
        found.extend(judge.meal(&asked, &from_the_table(facts, meal)?)?);
    }
    // How coarse it is to be is said where it is cooked.
    found.retain(|one: &Objection| one.hazard != Texture::ID);
    let mut found = distinct(&found);
    gravest_first(&mut found);
    Ok(found)
}

/// The food from the table in a meal.
fn from_the_table(facts: &Facts<'_>, meal: &AgendaMeal) -> Result<Vec<Serving>, BookError> {
    let foods = meal.parts.iter().filter_map(|part| match part {
        AgendaPart::Food(id, mass) => Some((facts.foods.get(id)?, *mass)),
        AgendaPart::Cubes(..) => None,
    });
    let serving = |((food, allergens), mass): (&(Food, Vec<String>), Mass)| {
        Ok(Serving::of_food(
            Source::Other,
            food,
            mass,
            allergens.clone(),
        )?)
    };
    foods.map(serving).collect()
}

fn to_cook(book: &Book, pantry: &Pantry, agenda: &Agenda) -> Result<Vec<Need>, BookError> {
    let tray = first_tray(book);
    let mut needs = Vec::new();
    for one in agenda.cooking.iter().filter(|one| !one.done) {
        let recipe = book.recipe(&one.recipe)?;
        let batch = calculated(&recipe, &Target::Trays(one.trays), &tray, pantry)?;
        let parts = batch.prepared.ingredients.iter();
        let bought = parts.filter(|part| part.class.0 != "water");
        needs.extend(bought.map(|part| Need {
            food: part.food.clone(),
            purchased: part.purchased(),
            used_for: one.recipe.clone(),
        }));
    }
    Ok(needs)
}

/// Food from the table; breast milk is not bought.
fn at_the_table(facts: &Facts<'_>, agenda: &Agenda) -> Vec<Need> {
    let open = |meal: &&AgendaMeal| meal.outcome == Outcome::Open;
    let parts = agenda
        .meals
        .iter()
        .filter(open)
        .flat_map(|meal| &meal.parts);
    let foods = parts.filter_map(|part| match part {
        AgendaPart::Food(id, mass) if id.as_str() != BreastMilk::FOOD => {
            Some((facts.foods.get(id)?, *mass))
        }
        _ => None,
    });
    foods
        .map(|((food, _), mass)| Need::of_table(food.clone(), mass, "the table".to_string()))
        .collect()
}

/// The purchase of each food whose price is in force on a day.
fn last_bought(
    store: &Store,
    needs: &[Need],
    day: Date,
) -> Result<BTreeMap<FoodId, Purchase>, BookError> {
    let mut last = BTreeMap::new();
    for need in needs {
        let id = &need.food.id;
        if !last.contains_key(id)
            && let Some(purchase) = store.price(id.as_str(), day)?
        {
            last.insert(id.clone(), purchase);
        }
    }
    Ok(last)
}
