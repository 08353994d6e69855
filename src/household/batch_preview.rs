//! The cost and the warnings of a batch before it is cooked, from the book.

use jiff::civil::Date;

use super::{cubes_of, too_much};
use crate::cost::Comparison;
use crate::notebook::{Book, BookError, Store};
use crate::portion::Tray;
use crate::recipe::Batch;

/// The findings of the book about a batch before it is cooked.
#[derive(Debug)]
pub struct BatchPreview {
    /// The cost at the prices of the day, beside the jar.
    pub beside: Comparison,
    /// The warnings, each a sentence without its full stop.
    pub warnings: Vec<String>,
    /// The days that the cubes keep in the freezer.
    pub keeps_days: u32,
}

/// Looks up the findings about a batch of the recipe called `name` on a day; `life` is the number of days that its
/// cubes keep, where the recipe states it.
pub fn batch_preview(
    book: &Book,
    store: &Store,
    name: &str,
    batch: &Batch,
    tray: &Tray,
    (day, life): (Date, Option<u32>),
) -> Result<BatchPreview, BookError> {
    let beside = Comparison {
        mass: batch.masses.puree,
        cost: store.cost_of(batch, day)?,
        ready_made: book.settings.ready_made_for(name).cloned(),
    };
    let life = life.unwrap_or(book.settings.freezer_days);
    let warnings = too_much(book, store, day, life, cubes_of(batch, tray))?;
    Ok(BatchPreview {
        beside,
        warnings,
        keeps_days: life,
    })
}
