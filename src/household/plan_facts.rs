//! The facts of a book that plans are compared with.

use std::collections::{BTreeMap, BTreeSet};

use data_import::FoodId;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::BookJudge;
use super::calculated;
use super::eaters::Household;
use super::plan_objections::{barred, hundred_grams};
use super::serving::cubes_in;
use crate::food::Pantry;
use crate::notebook::{Book, BookError, Plan, PlannedServing, Store};
use crate::nutrition::{Grouping, ServedFood, Serving, Source, TraitTable};
use crate::planning::facts::{Facts, RecipeFacts, Span};
use crate::portion::{Target, Tray};
use crate::quantity::Mass;
use crate::recipe::{CubeMade, Recipe};
use crate::safety::AllergenTable;

/// The days before the first one in which meals on record are gathered: long enough to estimate the
/// size of a meal (judgement).
const DAYS_BACK: i64 = 60;
/// The days after a cooking whose planned meals decide who eats of it (judgement).
const EATEN_WITHIN: i64 = 14;

/// Gathers the facts about some days, with `new` in place of the plan for the same meals and the
/// cooking of the same days. Tomorrow is always among the days, for the cubes to thaw tonight.
pub fn plan_facts<'a>(
    book: &'a Book,
    store: &Store,
    pantry: Pantry,
    span: Span,
    new: Plan,
) -> Result<Facts<'a>, BookError> {
    gathered(book, store, pantry, (span, new), &[])
}

/// Gathers the facts about some days, with recipes in addition to those that are planned.
pub(super) fn gathered<'a>(
    book: &'a Book,
    store: &Store,
    pantry: Pantry,
    (span, new): (Span, Plan),
    more_recipes: &[String],
) -> Result<Facts<'a>, BookError> {
    let first = span.from.min(span.today);
    let last = span.to.max(span.today.saturating_add(1.day()));
    // Dishes to be cooked are judged for those who eat them on the days after.
    let cooked = new.cooking.keys().next_back();
    let eaten = cooked.map(|day| day.saturating_add(EATEN_WITHIN.days()));
    let last = last.max(eaten.unwrap_or(last));
    let mut plan = store.planned(first, last)?;
    let mut asked = foods_in(&plan);
    plan.meals.extend(new.meals);
    plan.cooking.extend(new.cooking);
    asked.extend(foods_in(&plan));
    let mut names = names_in(&plan);
    names.extend_from_slice(more_recipes);
    let recipes = recipes(book, &names)?;
    let stock = store.stock()?;
    let cubes = cubes_in(&stock, store)?;
    let in_cubes = cubes.values().flat_map(|cube| &cube.foods);
    let mut ids: BTreeSet<FoodId> = in_cubes.map(|food| food.id.clone()).collect();
    ids.extend(recipes.values().flat_map(Recipe::foods));
    ids.extend(asked.iter().cloned());
    let ids: Vec<FoodId> = ids.into_iter().collect();
    let pantry = pantry.laid_out_for(&ids)?;
    let mut facts = Facts {
        today: span.today,
        settings: &book.settings,
        foods: BTreeMap::new(),
        grams: BTreeMap::new(),
        groups: BTreeMap::new(),
        eaters: Vec::new(),
        barred: Vec::new(),
        usual_cube: usual_cube(&first_tray(book)),
        dishes: dishes_of(book, recipes, &pantry)?,
        cubes,
        batches: store.batches()?,
        stock,
        plan,
        eaten: BTreeMap::new(),
        tastes: BTreeMap::new(),
    };
    table_foods(&mut facts, &pantry, &asked)?;
    groups(&mut facts, &pantry, &ids)?;
    add_children(
        &mut facts,
        (book, store),
        &pantry,
        (first, last),
        (span.from, span.to),
    )?;
    Ok(facts)
}

/// Adds the children of the book: what each needs, ate and tasted, and the dishes that are barred
/// for it.
fn add_children(
    facts: &mut Facts<'_>,
    (book, store): (&Book, &Store),
    pantry: &Pantry,
    (first, last): (Date, Date),
    planned: (Date, Date),
) -> Result<(), BookError> {
    let judge = BookJudge::new(&book.settings, Some(store), pantry)?;
    let tray = first_tray(book);
    let household = Household {
        book,
        store,
        judge: &judge,
        pantry,
        tray: &tray,
        today: facts.today,
        days: (first, last),
        planned,
        foods: hundred_grams(&judge, foods_of_dishes(facts))?,
    };
    let days: Vec<Date> = first
        .series(1.day())
        .take_while(|day| *day <= last)
        .collect();
    for child in &book.settings.children {
        let name = child.name.clone();
        let from = first.saturating_sub(DAYS_BACK.days());
        let eaten = store.eaten(&name, from, last)?;
        let before = first.yesterday().unwrap_or(first);
        let tastes = store.tastes(&name, facts.today)?;
        let known = store.tastes(&name, before)?;
        facts
            .eaters
            .push(household.eater(child, &known, &tastes, &eaten)?);
        let barred = barred(&judge, (child, facts.today), &days, dishes_in(facts))?;
        facts.barred.push(barred);
        facts.eaten.insert(name.clone(), eaten);
        facts.tastes.insert(name, tastes);
    }
    Ok(())
}

/// The dishes that can be on a plate, by the key under which they are planned: batches and recipes.
fn dishes_in<'f>(facts: &'f Facts<'_>) -> impl Iterator<Item = (String, &'f Serving)> {
    let batches = facts.cubes.iter();
    let batches = batches.map(|(id, cube)| (format!("#{id}"), cube));
    let dishes = facts.dishes.iter();
    batches.chain(dishes.map(|(name, dish)| (name.clone(), &dish.cube)))
}

/// Each food that can be on a plate, once.
fn foods_of_dishes(facts: &Facts<'_>) -> Vec<ServedFood> {
    let dishes = dishes_in(facts)
        .map(|(_, cube)| cube)
        .chain(facts.grams.values());
    let foods = dishes.flat_map(|serving| &serving.foods);
    let once: BTreeMap<&FoodId, &ServedFood> = foods.map(|food| (&food.id, food)).collect();
    once.into_values().cloned().collect()
}

/// The foods that a plan names, each with its allergens, and one gram of it.
fn table_foods(facts: &mut Facts<'_>, pantry: &Pantry, asked: &[FoodId]) -> Result<(), BookError> {
    let allergens = AllergenTable::builtin()?;
    for food in pantry.foods(asked)?.into_iter().flatten() {
        let held: Vec<String> = allergens.of(&food).map(String::from).collect();
        let gram = Mass::from_grams(1.0);
        let gram = Serving::of_food(Source::Other, &food, gram, held.clone())?;
        facts.grams.insert(food.id.clone(), gram);
        facts.foods.insert(food.id.clone(), (food, held));
    }
    Ok(())
}

/// The food group of each food that counts towards a group.
fn groups(facts: &mut Facts<'_>, pantry: &Pantry, ids: &[FoodId]) -> Result<(), BookError> {
    let traits = TraitTable::builtin()?;
    for food in pantry.foods(ids)?.into_iter().flatten() {
        if let Grouping::Group(group) = traits.of(&food).grouping {
            facts.groups.insert(food.id, group);
        }
    }
    Ok(())
}

/// The recipes that a plan names.
fn names_in(plan: &Plan) -> Vec<String> {
    let picks = plan.meals.values().flatten().filter_map(|part| match part {
        PlannedServing::Cubes(pick) => Some(pick.name.clone()),
        PlannedServing::Food(..) => None,
    });
    let cooking = plan.cooking.values().flatten();
    picks
        .chain(cooking.map(|session| session.recipe.clone()))
        .collect()
}

/// The foods that a plan names.
fn foods_in(plan: &Plan) -> Vec<FoodId> {
    let foods = plan.meals.values().flatten().filter_map(|part| match part {
        PlannedServing::Food(food) => Some(food.id.clone()),
        PlannedServing::Cubes(_) => None,
    });
    foods.collect()
}

/// The recipes of the book with these names.
fn recipes(book: &Book, names: &[String]) -> Result<BTreeMap<String, Recipe>, BookError> {
    let mut recipes = BTreeMap::new();
    for name in book.recipe_names()? {
        if names.contains(&name) {
            recipes.insert(name.clone(), book.recipe(&name)?);
        }
    }
    Ok(recipes)
}

/// The recipes of the book with these names, calculated for its first tray.
pub(super) fn dishes(
    book: &Book,
    pantry: Pantry,
    names: &[String],
) -> Result<BTreeMap<String, RecipeFacts>, BookError> {
    let recipes = recipes(book, names)?;
    let ids: Vec<_> = recipes.values().flat_map(Recipe::foods).collect();
    dishes_of(book, recipes, &pantry.laid_out_for(&ids)?)
}

fn dishes_of(
    book: &Book,
    recipes: BTreeMap<String, Recipe>,
    pantry: &Pantry,
) -> Result<BTreeMap<String, RecipeFacts>, BookError> {
    let allergens = AllergenTable::builtin()?;
    let mut dishes = BTreeMap::new();
    for (name, recipe) in recipes {
        dishes.insert(name, dish(book, &recipe, pantry, &allergens)?);
    }
    Ok(dishes)
}

/// A recipe, calculated for the first tray of the book.
pub(super) fn dish(
    book: &Book,
    recipe: &Recipe,
    pantry: &Pantry,
    allergens: &AllergenTable,
) -> Result<RecipeFacts, BookError> {
    let tray = first_tray(book);
    let batch = calculated(recipe, &Target::AsWritten, &tray, pantry)?;
    let cube = batch.cube(
        CubeMade::of(tray.cube_mass(batch.density), &tray.name),
        |food| allergens.of(food).map(String::from).collect(),
    );
    Ok(RecipeFacts {
        title: recipe.title.clone(),
        cubes_a_tray: tray.wells,
        keeps: recipe.freezer.days.unwrap_or(book.settings.freezer_days),
        cube,
    })
}

/// What a cube of a tray weighs: a purée weighs about a gram in a millilitre (judgement).
pub(super) fn usual_cube(tray: &Tray) -> Mass {
    tray.cube_mass(1.0)
}

/// The book's first tray, else the usual one.
pub(super) fn first_tray(book: &Book) -> Tray {
    let first = book.settings.trays.first();
    first.cloned().unwrap_or_else(Tray::usual)
}
