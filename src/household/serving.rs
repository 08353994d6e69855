//! A meal is served.

use super::warnings;
use crate::notebook::{Book, BookError, Child, Feeding, Served, Store};

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
