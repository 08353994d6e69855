//! Scaling: the factor that makes a batch fill exactly what is wanted, and what the amounts a
//! kitchen scale can show then really give.

use data_import::Error;

use super::{Batch, Prepared, PreparedIngredient};
use crate::portion::{Cubes, Rounding, Target, Tray};
use crate::problem::Problem;
use crate::quantity::Mass;

/// A batch scaled further than this from its recipe is another recipe (judgement).
const FURTHEST: f64 = 1000.0;
/// How often, at most, a batch that falls short by rounding is taken a little larger (judgement).
const MOST_STEPS: u32 = 20;
/// The least share by which it is then taken larger (judgement).
const LEAST_STEP: f64 = 1e-4;
/// A share of a cube that is not counted as short.
const COUNTING_SLACK: f64 = 1e-9;

/// Scales a prepared recipe to the target, rounds what is to be weighed out, and calculates what
/// that really gives.
///
/// Errors: the tables cannot be read; or the target cannot be met.
pub fn scaled_batch(
    prepared: &Prepared,
    target: &Target,
    tray: &Tray,
) -> Result<Result<Batch, Problem>, Error> {
    let written = match prepared.clone().calculate()? {
        Ok(batch) => batch,
        Err(problem) => return Ok(Err(problem)),
    };
    if *target == Target::AsWritten {
        return Ok(Ok(written));
    }
    let mut factor = match factor(&written, target, tray) {
        Ok(factor) => factor,
        Err(problem) => return Ok(Err(problem)),
    };
    let wanted = factor * cubes_of(&written, tray);
    // Rounding up can thicken a purée, and a thicker one makes a little fewer cubes: then a
    // little more of everything is taken.
    for _ in 0..MOST_STEPS {
        let scaled = match prepared.scaled(factor, target.rounding()).calculate()? {
            Ok(batch) => batch,
            Err(problem) => return Ok(Err(problem)),
        };
        let short = wanted / cubes_of(&scaled, tray) - 1.0;
        if target.rounding() != Rounding::Up || short < COUNTING_SLACK {
            return Ok(Ok(scaled));
        }
        factor *= 1.0 + short.max(LEAST_STEP);
    }
    prepared.scaled(factor, target.rounding()).calculate()
}

fn cubes_of(batch: &Batch, tray: &Tray) -> f64 {
    Cubes::of(batch.masses.puree, tray.cube_mass(batch.density)).count
}

/// How often the written batch goes into the target. Every mass is proportional to the factor and
/// the density does not depend on it, so one division is exact.
fn factor(written: &Batch, target: &Target, tray: &Tray) -> Result<f64, Problem> {
    let cubes = cubes_of(written, tray);
    let wanted = |count: f64| count / cubes;
    let factor = match target {
        Target::AsWritten => 1.0,
        Target::Trays(trays) => wanted(f64::from(*trays) * f64::from(tray.wells)),
        Target::Cubes(count) => wanted(f64::from(*count)),
        Target::Servings(servings) => {
            wanted(f64::from(*servings) * f64::from(written.prepared.serving.cubes))
        }
        Target::UseUp { food, pack } => {
            let of_it = written
                .prepared
                .ingredients
                .iter()
                .filter(|one| one.food.id == *food);
            let purchased = of_it.map(PreparedIngredient::purchased).sum();
            if *pack <= Mass::ZERO {
                return Err(Problem::new("the pack to use up is empty")
                    .hint("write what it weighs, such as 2 lb"));
            }
            if purchased <= Mass::ZERO {
                return Err(Problem::new(format!("food {food} is not in the recipe"))
                    .hint("use up one of the recipe's own ingredients"));
            }
            *pack / purchased
        }
    };
    let possible = factor > 1.0 / FURTHEST && factor < FURTHEST;
    if possible {
        return Ok(factor);
    }
    Err(Problem::new(format!(
        "the recipe would have to be made {factor:.4} times"
    ))
    .hint("ask for a number of trays, cubes or servings nearer to what the recipe makes"))
}
