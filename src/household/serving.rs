//! A meal is served.

use super::said::{Listener, Lookup, Spoken};
use super::warnings;
use crate::notebook::{Book, BookError, Child, Feeding, PlannedServing, Served, Slot, Store};

/// A meal that was served.
#[derive(Debug)]
pub struct Meal {
    /// What was served.
    pub served: Served,
    /// What is to be known, each a sentence without its full stop.
    pub warnings: Vec<String>,
}

/// Records a meal, and says what was to be known before.
pub fn serve(
    book: &Book,
    store: &mut Store,
    child: &Child,
    feeding: &Feeding<'_>,
) -> Result<Meal, BookError> {
    let mut told = warnings::before_serving(book, store, feeding, child)?;
    let served = store.serve(feeding)?;
    let past = served
        .parts
        .iter()
        .filter(|(batch, _)| batch.use_by < feeding.day);
    told.extend(past.map(|(batch, _)| {
        format!(
            "the cubes of batch #{} are past their last day, {}",
            batch.id, batch.use_by
        )
    }));
    Ok(Meal {
        served,
        warnings: told,
    })
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
