//! A meal is served.

use super::objections::{Asked, BookJudge, Judged};
use super::said::{Listener, Lookup, Spoken};
use crate::food::Pantry;
use crate::notebook::{Book, BookError, Child, Feeding, PlannedServing, Served, Slot, Store};
use crate::nutrition::{Serving, Source};
use crate::planning::supply::{Origin, Supply};
use crate::safety::{Context, Objection};

/// A meal that was served.
#[derive(Debug)]
pub struct Meal {
    /// What was served.
    pub served: Served,
    /// What is to be known, each a sentence without its full stop.
    pub warnings: Vec<String>,
}

/// Records a meal, unless an objection stops it and it is not meant all the same.
pub fn serve(
    book: &Book,
    store: &mut Store,
    pantry: &Pantry,
    (child, anyway): (&Child, impl FnOnce(&[Objection]) -> bool),
    feeding: &Feeding<'_>,
) -> Result<Judged<Meal>, BookError> {
    let objections = before_serving(book, store, pantry, child, feeding)?;
    Judged::unless_stopped(objections, anyway, || record(store, feeding))
}

/// What speaks against a meal before it is recorded.
pub fn before_serving(
    book: &Book,
    store: &Store,
    pantry: &Pantry,
    child: &Child,
    feeding: &Feeding<'_>,
) -> Result<Vec<Objection>, BookError> {
    let asked = Asked {
        child,
        day: feeding.day,
        context: Context::Served,
        seen: feeding.reaction,
    };
    let judge = BookJudge::new(&book.settings, Some(store), pantry)?;
    judge.meal(&asked, &servings(store, feeding)?)
}

/// What a meal is made of, as far as its cubes are in the freezer.
fn servings(store: &Store, feeding: &Feeding<'_>) -> Result<Vec<Serving>, BookError> {
    let stock = store.stock()?;
    let mut supply = Supply::of_stock(&stock);
    let ids: Vec<i64> = stock.iter().map(|stock| stock.batch.id).collect();
    let cubes = store.cubes(&ids)?;
    let mut servings = Vec::new();
    for pick in feeding.picks {
        for (lot, count) in supply.take(pick, feeding.day).parts {
            if let Origin::Batch(id) = lot.origin
                && let Some(cube) = cubes.get(&id)
            {
                servings.push(cube.times(f64::from(count)));
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
    Ok(servings)
}

fn record(store: &mut Store, feeding: &Feeding<'_>) -> Result<Meal, BookError> {
    let served = store.serve(feeding)?;
    let past = served
        .parts
        .iter()
        .filter(|(batch, _)| batch.use_by < feeding.day);
    let warnings = past.map(|(batch, _)| {
        format!(
            "the cubes of batch #{} are past their last day, {}",
            batch.id, batch.use_by
        )
    });
    let warnings = warnings.collect();
    Ok(Meal { served, warnings })
}

/// What is planned for a meal, as it is served; `None` where nothing is.
///
/// Errors: a planned food is in no table.
pub fn planned_meal<L: Lookup>(
    book: &Book,
    store: &Store,
    lookup: &L,
    slot: &Slot,
) -> Result<Option<Spoken>, L::Error> {
    let mut plan = store.planned(slot.day, slot.day)?;
    let servings = plan.meals.remove(slot).unwrap_or_default();
    if servings.is_empty() {
        return Ok(None);
    }
    let mut listener = Listener::new(lookup, book);
    let mut spoken = Spoken::default();
    for serving in servings {
        match serving {
            PlannedServing::Cubes(pick) => spoken.picks.push(pick),
            PlannedServing::Food(food, mass) => {
                let amount = format!("{} g", mass.grams());
                let helping = listener.helping("the plan", &amount, food.as_str())?;
                spoken.foods.push(helping);
            }
        }
    }
    Ok(Some(spoken))
}
