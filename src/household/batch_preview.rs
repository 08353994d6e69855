//! What the book says of a batch before it is cooked.

use jiff::civil::Date;

use super::{cubes_of, too_much};
use crate::cost::Comparison;
use crate::notebook::{Book, BookError, Store};
use crate::portion::Tray;
use crate::recipe::Batch;

/// What is known before a batch is cooked.
#[derive(Debug)]
pub struct BatchPreview {
    /// What it costs at the prices of the day, beside the jar.
    pub beside: Comparison,
    /// What is to be known, each a sentence without its full stop.
    pub warnings: Vec<String>,
}

/// What the book says of a batch of the recipe called `name`, on a day; `life` is the days that its cubes keep, where the
/// recipe says so.
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
    Ok(BatchPreview { beside, warnings })
}
