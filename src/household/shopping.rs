//! What to buy for a plan of the book.

use std::collections::BTreeMap;

use data_import::FoodId;
use jiff::civil::Date;

use super::calculated;
use super::plan_facts::first_tray;
use crate::food::Pantry;
use crate::notebook::{Book, BookError, Purchase, Store};
use crate::nutrition::BreastMilk;
use crate::planning::agenda::{Agenda, AgendaMeal, AgendaPart, Outcome};
use crate::planning::facts::{Facts, Span};
use crate::planning::shop::{Need, ShoppingList};
use crate::portion::Target;

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
