//! Warnings about cubes that would not be eaten in time, or are kept too long, each a sentence
//! without its full stop. Objections to the food itself are in [`objections`](super::objections).

use jiff::civil::Date;

use super::Forecast;
use crate::notebook::{Book, BookError, Store};
use crate::recipe::Batch;
use crate::safety::FreezerLimit;

/// Warns before cooking of cubes that would be wasted, with the factor that would make the batch
/// fit.
pub fn too_much(
    book: &Book,
    store: &Store,
    day: Date,
    life: u32,
    cubes: u32,
) -> Result<Vec<String>, BookError> {
    let forecast = Forecast::of(book, store, day, life)?;
    let pace = forecast.pace;
    if pace.cubes_a_day <= 0.0 {
        return Ok(Vec::new());
    }
    let room = forecast.room(life);
    if cubes <= room.cubes {
        return Ok(Vec::new());
    }
    Ok(vec![format!(
        "{} of these {cubes} cubes will not be eaten by their last day at {:.1} cubes a day; {:.2} \
         times this batch would fit",
        cubes - room.cubes,
        pace.cubes_a_day,
        f64::from(room.cubes) / f64::from(cubes)
    )])
}

/// Warns where the days exceed those of published charts.
pub(super) fn too_long(batch: &Batch, life: u32) -> Result<Option<String>, BookError> {
    let classes = batch
        .prepared
        .ingredients
        .iter()
        .map(|ingredient| ingredient.class.0.as_str());
    let limit =
        FreezerLimit::of(&classes.collect::<Vec<_>>())?.filter(|limit| life > limit.limit_days);
    Ok(limit.map(|limit| {
        format!(
            "{life} days is past the {} that published charts give {} ({})",
            limit.limit_days, limit.kind, limit.source
        )
    }))
}
