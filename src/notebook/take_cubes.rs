//! Taking cubes out of the freezer, those to be eaten first first.

use jiff::civil::Date;
use rusqlite::Transaction;

use super::freezer::{FrozenBatch, Stock, stock};
use super::store::WriteError;
use crate::portion::CubeCount;
use crate::problem::Problem;
use crate::words;

/// Takes cubes of a recipe (or of one batch, named `#7`), oldest first.
pub(super) fn take(
    transaction: &Transaction<'_>,
    pick: &super::Pick,
    day: Date,
) -> Result<Vec<(FrozenBatch, CubeCount)>, WriteError> {
    let stock = stock(transaction, Some(&pick.name))?;
    // Batches that were frozen later did not exist yet.
    let (in_time, later): (Vec<Stock>, Vec<Stock>) =
        stock.into_iter().partition(|stock| stock.batch.day <= day);
    let left: u32 = in_time.iter().map(|stock| stock.left).sum();
    if left < pick.cubes.taken() {
        let problem = lacking(transaction, pick, left)?;
        return Err(match later.first() {
            Some(first) => problem.hint(frozen_later(&first.batch, day)),
            None => problem,
        }
        .into());
    }
    let mut wanted = pick.cubes;
    let mut taken = Vec::new();
    for Stock { batch, left } in in_time {
        let cubes = wanted.take(left);
        if !cubes.is_none() {
            taken.push((batch, cubes));
        }
    }
    Ok(taken)
}

/// Takes cubes as [`take`] does, to be thrown away.
///
/// Errors: half a cube is to be thrown away, though nobody splits a frozen cube.
pub(super) fn take_whole(
    transaction: &Transaction<'_>,
    pick: &super::Pick,
    day: Date,
) -> Result<Vec<(FrozenBatch, u32)>, WriteError> {
    if pick.cubes.halved() > 0 {
        let what = "a frozen cube is thrown away whole";
        return Err(Problem::new(what)
            .hint("the half of a cube that was not served is gone already")
            .into());
    }
    let taken = take(transaction, pick, day)?.into_iter();
    Ok(taken.map(|(batch, cubes)| (batch, cubes.taken())).collect())
}

/// The hint where a batch was frozen after the meal that is to have it.
fn frozen_later(batch: &FrozenBatch, day: Date) -> String {
    format!(
        "batch #{} of it was frozen on {}, after {}: correct the day of the one or the other",
        batch.id,
        words::day(batch.day),
        words::day(day)
    )
}

fn lacking(
    transaction: &Transaction<'_>,
    pick: &super::Pick,
    left: u32,
) -> rusqlite::Result<Problem> {
    let mut names: Vec<_> = stock(transaction, None)?
        .into_iter()
        .map(|stock| stock.batch.name)
        .collect();
    names.sort();
    names.dedup();
    let what = match left {
        0 => format!("there is no cube of “{}” in the freezer", pick.name),
        1 => format!(
            "there is 1 cube of “{}”, not {}",
            pick.name,
            pick.cubes.taken()
        ),
        left => format!(
            "there are {left} cubes of “{}”, not {}",
            pick.name, pick.cubes
        ),
    };
    Ok(Problem::new(what).hint(match names.as_slice() {
        [] => "the freezer is empty".to_string(),
        names => format!("the freezer holds {}", names.join(", ")),
    }))
}
