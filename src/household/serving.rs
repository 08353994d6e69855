//! A meal is served, and what is to be known of it before.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::USUAL_SERVING;
use super::objections::{BookJudge, Judged, MealToJudge};
use super::serving_parser::{TypedServings, helping};
use crate::food::Pantry;
use crate::notebook::{Book, BookError, Child, Feeding, PlannedServing, Served, Slot, Store};
use crate::nutrition::{Serving, Source};
use crate::planning::supply::{StockOrigin, Supply};
use crate::problem::Problem;
use crate::safety::{Context, Objection, gravest_first};
use crate::spoken::Lookup;
use crate::words;

/// A meal that was served.
#[derive(Debug)]
pub struct RecordedMeal {
    /// The meal as recorded.
    pub served: Served,
    /// The warnings, each a sentence without its full stop.
    pub warnings: Vec<String>,
}

/// The findings about a meal before it is recorded.
#[derive(Debug, Default)]
pub struct BeforeMeal {
    /// The objections to the meal, the gravest first.
    pub objections: Vec<Objection>,
    /// The other warnings, each a sentence without its full stop.
    pub warnings: Vec<String>,
}

/// Records a meal, unless an objection blocks it and the caller does not override it.
pub fn serve(
    book: &Book,
    store: &mut Store,
    pantry: &Pantry,
    (child, anyway): (&Child, impl FnOnce(&[Objection]) -> bool),
    feeding: &Feeding<'_>,
) -> Result<Judged<RecordedMeal>, BookError> {
    let before = before_serving(book, store, pantry, child, feeding)?;
    Judged::unless_stopped(before.objections, anyway, || record(store, feeding))
}

/// Looks up the findings about a meal before it is recorded.
pub fn before_serving(
    book: &Book,
    store: &Store,
    pantry: &Pantry,
    child: &Child,
    feeding: &Feeding<'_>,
) -> Result<BeforeMeal, BookError> {
    let asked = MealToJudge {
        child,
        day: feeding.day,
        context: Context::Served,
        seen: feeding.reaction,
    };
    let judge = BookJudge::new(&book.settings, Some(store), pantry)?;
    let (servings, warnings) = on_the_spoon(store, feeding)?;
    Ok(BeforeMeal {
        objections: judge.meal(&asked, &servings)?,
        warnings,
    })
}

/// The objections to a usual serving of each batch in the freezer, by the number of the batch, for each child of the
/// book.
pub fn freezer_objections(
    book: &Book,
    store: &Store,
    pantry: &Pantry,
    day: Date,
) -> Result<BTreeMap<i64, Vec<Objection>>, BookError> {
    let judge = BookJudge::new(&book.settings, Some(store), pantry)?;
    let stock = store.stock()?;
    let ids: Vec<i64> = stock.iter().map(|stock| stock.batch.id).collect();
    let cubes = store.cubes(&ids)?;
    let usual = stock.iter().filter_map(|stock| {
        let cube = cubes.get(&stock.batch.id)?;
        let serving = cube.times(f64::from(stock.left).min(USUAL_SERVING));
        Some((stock.batch.id, serving))
    });
    let (batches, servings): (Vec<i64>, Vec<Serving>) = usual.unzip();
    let portions = judge.portions_of_each(&servings)?;
    let mut found: BTreeMap<i64, Vec<Objection>> = BTreeMap::new();
    for child in &book.settings.children {
        let eater = judge.eater(child, day)?;
        let objections = judge.each(&eater, Context::Served, &portions);
        for (batch, objections) in batches.iter().zip(objections) {
            found.entry(*batch).or_default().extend(objections);
        }
    }
    for objections in found.values_mut() {
        gravest_first(objections);
    }
    Ok(found)
}

/// The servings of a meal, as far as its cubes are in the freezer, and warnings about cubes past their last day.
fn on_the_spoon(
    store: &Store,
    feeding: &Feeding<'_>,
) -> Result<(Vec<Serving>, Vec<String>), BookError> {
    let stock = store.stock()?;
    let mut supply = Supply::of_stock(&stock);
    let ids: Vec<i64> = stock.iter().map(|stock| stock.batch.id).collect();
    let cubes = store.cubes(&ids)?;
    let (mut servings, mut warnings) = (Vec::new(), Vec::new());
    for pick in feeding.picks {
        for (lot, count) in supply.take(pick, feeding.day).parts {
            if let StockOrigin::Batch(id) = lot.origin
                && let Some(cube) = cubes.get(&id)
            {
                servings.push(cube.times(f64::from(count)));
                warnings.extend(past_its_day(id, lot.use_by, feeding.day));
            }
        }
    }
    for helping in feeding.foods {
        let allergens = helping.allergens.clone();
        servings.push(Serving::of_food(
            Source::Other,
            &helping.food,
            helping.mass,
            allergens,
        )?);
    }
    Ok((servings, warnings))
}

fn past_its_day(batch: i64, use_by: Date, day: Date) -> Option<String> {
    let last = words::day(use_by);
    (use_by < day).then(|| format!("the cubes of batch #{batch} are past their last day, {last}"))
}

fn record(store: &mut Store, feeding: &Feeding<'_>) -> Result<RecordedMeal, BookError> {
    let served = store.serve(feeding)?;
    let parts = served.parts.iter();
    let warnings = parts.filter_map(|(batch, _)| past_its_day(batch.id, batch.use_by, feeding.day));
    Ok(RecordedMeal {
        warnings: warnings.collect(),
        served,
    })
}

/// The planned parts of a meal, as they are served; `None` where nothing is planned.
///
/// Errors: a planned food is in no table.
pub fn planned_meal<L: Lookup>(
    store: &Store,
    lookup: &L,
    slot: &Slot,
) -> Result<Option<TypedServings>, L::Error>
where
    L::Error: From<BookError> + From<Problem>,
{
    let mut plan = store.planned(slot.day, slot.day)?;
    let servings = plan.meals.remove(slot).unwrap_or_default();
    if servings.is_empty() {
        return Ok(None);
    }
    let mut parsed = TypedServings::default();
    let pantry = lookup.foods()?;
    for serving in servings {
        match serving {
            PlannedServing::Cubes(pick) => parsed.picks.push(pick),
            PlannedServing::Food(id, mass) => {
                let food = pantry.foods(std::slice::from_ref(&id))?.pop().flatten();
                let gone = || Problem::new(format!("no food has the id {id}, which is planned"));
                parsed.foods.push(helping(food.ok_or_else(gone)?, mass)?);
            }
        }
    }
    Ok(Some(parsed))
}
