//! The cost and the warnings of a batch before it is cooked, from the book.

use jiff::civil::Date;

use super::{cubes_of, too_much};
use crate::buying::{UsPrice, UsualCost};
use crate::cost::{BatchCost, Comparison};
use crate::notebook::{Book, BookError, Store};
use crate::portion::Tray;
use crate::recipe::Batch;

/// The findings of the book about a batch before it is cooked.
#[derive(Debug)]
pub struct BatchPreview {
    /// The cost at the prices of the day, compared with the jar.
    pub beside: Comparison,
    /// The usual cost of the foods without a price, in a book of US dollars; never added to money
    /// that was paid.
    pub usual: Option<UsualCost>,
    /// The warnings, each a sentence without its full stop.
    pub warnings: Vec<String>,
    /// The days that the cubes keep in the freezer.
    pub keeps_days: u32,
}

/// Looks up the findings about a batch of the recipe called `name` on a day; `life` is the number
/// of days that its cubes keep, where the recipe states it.
pub fn batch_preview(
    book: &Book,
    store: &Store,
    name: &str,
    batch: &Batch,
    tray: &Tray,
    (day, life): (Date, Option<u32>),
) -> Result<BatchPreview, BookError> {
    let cost = store.cost_of(batch, day)?;
    let usual = usual_cost(batch, &cost, &book.settings.currency)?;
    let beside = Comparison {
        mass: batch.masses.puree,
        cost,
        ready_made: book.settings.ready_made_for(name).cloned(),
    };
    let life = life.unwrap_or(book.settings.freezer_days);
    let warnings = too_much(book, store, day, life, cubes_of(batch, tray))?;
    Ok(BatchPreview {
        beside,
        usual,
        warnings,
        keeps_days: life,
    })
}

/// The usual cost of the foods of a batch that have no price; `None` in a book of another currency,
/// and where no food has a usual price.
fn usual_cost(
    batch: &Batch,
    cost: &BatchCost,
    currency: &str,
) -> Result<Option<UsualCost>, BookError> {
    if cost.unpriced.is_empty() || currency != UsPrice::CURRENCY {
        return Ok(None);
    }
    let parts = batch.prepared.ingredients.iter();
    let unpriced = parts.filter(|part| cost.unpriced.iter().any(|id| id == part.food.id.as_str()));
    Ok(UsualCost::of(unpriced.map(|part| {
        (&part.food.id, part.food.name.as_str(), part.purchased())
    }))?)
}
