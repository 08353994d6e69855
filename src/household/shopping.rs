//! The shopping list of a plan.

use std::collections::{BTreeMap, BTreeSet};

use data_import::{Food, FoodId};
use jiff::civil::Date;

use super::calculated;
use super::objections::{BookJudge, MealToJudge};
use super::plan_facts::first_tray;
use super::plan_objections::eaters_of;
use crate::food::Pantry;
use crate::notebook::{Book, BookError, Purchase, Store};
use crate::nutrition::{BreastMilk, Serving, Source};
use crate::planning::agenda::{Agenda, AgendaCooking, AgendaMeal, AgendaPart, Outcome};
use crate::planning::facts::{Facts, Span};
use crate::planning::shop::{FoodNeed, ShoppingList};
use crate::portion::Target;
use crate::quantity::Mass;
use crate::recipe::Batch;
use crate::safety::{FeedingStage, Objection, Severity, Texture, gravest_first};
use crate::words::joined;

/// The foods to buy for the days of a plan that are still to come: for batches to be cooked, and
/// for food from the table.
pub fn shopping_list(
    book: &Book,
    store: &Store,
    pantry: &Pantry,
    (facts, span): (&Facts<'_>, Span),
) -> Result<ShoppingList, BookError> {
    let days = shopping_days(span);
    let agenda = Agenda::of(facts).between(days.0, days.1);
    let mut needs = to_cook(book, pantry, &agenda)?;
    needs.extend(at_the_table(facts, &agenda));
    let last = last_bought(store, &needs, span.today)?;
    let settings = &book.settings;
    let list = ShoppingList::of(&needs, &last, &settings.seasons);
    let list = list.with_ticks(&store.ticked(days)?);
    Ok(list.with_facts(settings.country, &settings.currency)?)
}

/// The days for which to shop: those still in the future.
pub fn shopping_days(span: Span) -> (Date, Date) {
    (span.from.max(span.today), span.to)
}

/// The objections to the batches that are to be cooked, and to the food from the table of each
/// meal. A batch is judged for the children whose planned meals have it, or for all where no meal
/// has it; for another child the objection says to keep the batch from it.
pub fn shopping_objections(
    book: &Book,
    store: &Store,
    pantry: &Pantry,
    (facts, span): (&Facts<'_>, Span),
) -> Result<Vec<Objection>, BookError> {
    let agenda = Agenda::of(facts).between(span.from.max(span.today), span.to);
    let judge = BookJudge::new(&book.settings, Some(store), pantry)?;
    let tray = first_tray(book);
    let mut found: Vec<Objection> = Vec::new();
    for (cooking, batch) in batches(book, pantry, &agenda)? {
        let eaters = eaters_of(facts, &cooking.recipe);
        for objection in judge.batch(&batch, &tray, cooking.day, None)? {
            let child = objection.child.as_str();
            if eaters.is_empty() || child.is_empty() || eaters.contains(child) {
                found.push(objection);
            } else if objection.is_block() {
                found.push(kept_from(objection, &eaters));
            }
        }
    }
    for meal in open_meals(&agenda) {
        let foods = bought_of(facts, meal);
        let servings = foods.map(|((food, allergens), mass)| {
            Serving::of_food(Source::Other, food, mass, allergens.clone())
        });
        let servings = servings.collect::<Result<Vec<_>, _>>()?;
        let asked = MealToJudge {
            child: book.settings.child(Some(&meal.slot.child))?,
            day: meal.slot.day,
            context: FeedingStage::Planned,
            seen: "",
        };
        found.extend(judge.meal(&asked, &servings)?);
    }
    let mut seen = BTreeSet::new();
    // The texture to aim for is stated where the batch is cooked.
    found.retain(|objection| objection.hazard != Texture::ID);
    found.retain(|objection| {
        let key = (
            objection.hazard.clone(),
            objection.child.clone(),
            objection.foods.clone(),
        );
        seen.insert(key)
    });
    gravest_first(&mut found);
    Ok(found)
}

/// The objection to a dish for a child that is not to have it, with the names of those who eat it
/// and of the child from whom it is kept.
fn kept_from(objection: Objection, eaters: &BTreeSet<&str>) -> Objection {
    Objection {
        severity: Severity::Warn,
        text: format!("Keep it from {}. {}", objection.child, objection.text),
        child: joined(eaters, " and "),
        instead: String::new(),
        ..objection
    }
}

/// The batches that are still to be cooked.
fn batches<'a>(
    book: &Book,
    pantry: &Pantry,
    agenda: &'a Agenda,
) -> Result<Vec<(&'a AgendaCooking, Batch)>, BookError> {
    let tray = first_tray(book);
    let to_cook = agenda.cooking.iter().filter(|cooking| !cooking.done);
    let batches = to_cook.map(|cooking| {
        let recipe = book.recipe(&cooking.recipe)?;
        let batch = calculated(&recipe, &Target::Trays(cooking.trays), &tray, pantry)?;
        Ok((cooking, batch))
    });
    batches.collect()
}

fn to_cook(book: &Book, pantry: &Pantry, agenda: &Agenda) -> Result<Vec<FoodNeed>, BookError> {
    let mut needs = Vec::new();
    for (cooking, batch) in batches(book, pantry, agenda)? {
        let parts = batch.prepared.ingredients.iter();
        let bought = parts.filter(|part| part.class.0 != "water");
        needs.extend(bought.map(|part| FoodNeed {
            food: part.food.clone(),
            purchased: part.purchased(),
            used_for: cooking.recipe.clone(),
        }));
    }
    Ok(needs)
}

fn open_meals(agenda: &Agenda) -> impl Iterator<Item = &AgendaMeal> {
    let meals = agenda.meals.iter();
    meals.filter(|meal| meal.outcome == Outcome::Open)
}

/// Food from the table, with its allergens; breast milk is not bought.
fn bought_of<'a>(
    facts: &'a Facts<'_>,
    meal: &'a AgendaMeal,
) -> impl Iterator<Item = (&'a (Food, Vec<String>), Mass)> {
    meal.parts.iter().filter_map(|part| match part {
        AgendaPart::Food(food) if food.id.as_str() != BreastMilk::FOOD => {
            Some((facts.foods.get(&food.id)?, food.mass))
        }
        _ => None,
    })
}

fn at_the_table(facts: &Facts<'_>, agenda: &Agenda) -> Vec<FoodNeed> {
    open_meals(agenda)
        .flat_map(|meal| bought_of(facts, meal))
        .map(|((food, _), mass)| FoodNeed::of_table(food.clone(), mass, "the table".to_string()))
        .collect()
}

/// The purchase of each food whose price is in force on a day.
fn last_bought(
    store: &Store,
    needs: &[FoodNeed],
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
