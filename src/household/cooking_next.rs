//! The amount to cook next, so that nothing is thrown away.

use std::collections::BTreeSet;

use jiff::civil::Date;
use serde::Serialize;

use super::plan_facts::first_tray;
use super::{BookJudge, Forecast, calculated};
use crate::food::Pantry;
use crate::notebook::{Book, BookError, Child, FrozenBatch, Room, Stock, Store};
use crate::portion::{Cubes, Target};
use crate::safety::{Objection, Severity};

/// The room for a new batch, and the recipes to choose from.
#[derive(Debug)]
pub struct CookNext {
    /// The forecast of how the freezer is eaten.
    pub forecast: Forecast,
    /// The number of foods that each child knows.
    pub known_foods: Vec<KnownFoods>,
    /// The room for a new batch; `None` where no pace is known.
    pub room: Option<Room>,
    /// The book's recipes, those with the fewest cubes in the freezer on top.
    pub recipes: Vec<NextRecipe>,
}

/// The number of foods that a child knows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KnownFoods {
    /// The child.
    pub child: String,
    /// The number of foods that were eaten, at least in part.
    pub foods: usize,
}

/// A recipe that may be cooked next.
#[derive(Debug, Clone, Serialize)]
pub struct NextRecipe {
    /// The name of the recipe.
    #[serde(rename = "recipe")]
    pub name: String,
    /// Cubes in the freezer.
    #[serde(rename = "cubes_left")]
    pub left: u32,
    /// Cubes that a batch as written makes, not rounded.
    #[serde(rename = "batch_cubes")]
    pub makes: f64,
    /// The factor by which that batch fills the room.
    pub factor: f64,
    /// The objections to the recipe, the gravest first.
    pub objections: Vec<Objection>,
}

/// Calculates how much to cook on a day.
pub fn cook_next(
    book: &Book,
    store: &Store,
    pantry: Pantry,
    day: Date,
) -> Result<CookNext, BookError> {
    let keeps_days = book.settings.freezer_days;
    let mut forecast = Forecast::of(book, store, day, keeps_days)?;
    forecast.keep(&for_somebody(book, store, &pantry, day)?);
    let known_foods = book.settings.children.iter().map(|child| {
        Ok(KnownFoods {
            child: child.name.clone(),
            foods: store.tastes(&child.name, day)?.known_by_name().len(),
        })
    });
    let known_foods = known_foods.collect::<Result<_, BookError>>()?;
    let room = (forecast.pace.cubes_a_day > 0.0).then(|| forecast.room(keeps_days));
    let recipes = match room {
        Some(room) => recipes(book, store, day, &forecast.stock, room.cubes, pantry)?,
        None => Vec::new(),
    };
    Ok(CookNext {
        forecast,
        known_foods,
        room,
        recipes,
    })
}

/// The batches in the freezer that some child of the book may have; the others are not counted
/// among what will be eaten.
fn for_somebody(
    book: &Book,
    store: &Store,
    pantry: &Pantry,
    day: Date,
) -> Result<BTreeSet<i64>, BookError> {
    let batches = store.stock()?.into_iter().map(|stock| stock.batch);
    let batches: Vec<FrozenBatch> = batches.collect();
    let judge = BookJudge::new(&book.settings, Some(store), pantry)?;
    let judged = judge.batches(store, &batches, day)?;
    let children = &book.settings.children;
    let is_stopped = |objections: &[Objection], child: &Child| {
        let mut stops = objections.iter();
        stops.any(|stop| stop.severity == Severity::Block && stop.child == child.name)
    };
    let may = batches.iter().zip(&judged).filter(|(_, objections)| {
        let mut children = children.iter();
        children.len() == 0 || children.any(|child| !is_stopped(objections, child))
    });
    Ok(may.map(|(batch, _)| batch.id).collect())
}

fn recipes(
    book: &Book,
    store: &Store,
    day: Date,
    stock: &[Stock],
    room: u32,
    pantry: Pantry,
) -> Result<Vec<NextRecipe>, BookError> {
    let mut written = Vec::new();
    for name in book.recipe_names()? {
        written.push((book.recipe(&name)?, name));
    }
    let foods = written.iter().flat_map(|(recipe, _)| recipe.foods());
    let pantry = pantry.laid_out_for(&foods.collect::<Vec<_>>())?;
    let tray = first_tray(book);
    let judge = BookJudge::new(&book.settings, Some(store), &pantry)?;
    let mut recipes = Vec::new();
    for (recipe, name) in written {
        let batch = calculated(&recipe, &Target::AsWritten, &tray, &pantry)?;
        let makes = Cubes::of(batch.masses.puree, tray.cube_mass(batch.density)).count;
        let objections = judge.batch(&batch, &tray, day, None)?;
        let batches = stock.iter().filter(|stock| stock.batch.name == name);
        recipes.push(NextRecipe {
            left: batches.map(|stock| stock.left).sum(),
            name,
            makes,
            factor: if makes > 0.0 {
                f64::from(room) / makes
            } else {
                0.0
            },
            objections,
        });
    }
    recipes.sort_by(|a, b| (a.left, &a.name).cmp(&(b.left, &b.name)));
    Ok(recipes)
}
