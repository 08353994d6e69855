//! Calculating a frozen batch again: with the weighed mass of the blended batch, or without a food
//! that was not in it.

use data_import::FoodId;
use jiff::civil::Date;

use super::correcting::AppliedCorrection;
use super::freezing::{rest, weighed_doubt};
use crate::cooking::ClassTable;
use crate::food::Pantry;
use crate::notebook::{Book, BookError, EntryDetail, Recooked, Store};
use crate::portion::Rounding;
use crate::problem::{Located, Problem};
use crate::quantity::Mass;
use crate::recipe::{Kitchen, Prepared};
use crate::safety::AllergenTable;
use crate::words::{capital, joined, quoted};

/// A recipe is taken for the one that was cooked if its amounts were multiplied by nearly one
/// factor: the largest is no more than this share above the least (judgement).
const SAME_AMOUNTS: f64 = 0.02;

/// The difference of a batch from its recipe when it was cooked.
#[derive(Debug, Clone, Default)]
pub struct Difference {
    /// The weighed mass of the blended batch.
    pub weighed: Option<Mass>,
    /// Foods of the recipe that were not in it.
    pub without: Vec<FoodId>,
}

/// Calculates a batch again, and corrects it on record.
///
/// Errors: the recipe is gone, or no longer the one that was cooked; a food to be left out is not
/// in the recipe.
pub fn recook(
    (book, store): (&Book, &mut Store),
    pantry: &Pantry,
    number: i64,
    difference: &Difference,
    today: Date,
) -> Result<AppliedCorrection, BookError> {
    let Some(entry) = store.entry(number)? else {
        return Err(Problem::new(format!("there is no entry {number}")).into());
    };
    let EntryDetail::Batch {
        name, cubes, cube, ..
    } = &entry.detail
    else {
        return Err(Problem::new(format!("entry {number} is no batch")).into());
    };
    let recipe = book.recipe(name)?;
    let kitchen = Kitchen {
        foods: pantry,
        classes: ClassTable::builtin()?,
    };
    let prepared = kitchen.prepare(&recipe)??;
    let factor = factor(&prepared, &store.purchased(entry.target)?, name)?;
    let as_cooked = prepared.scaled(factor, Rounding::Exact);
    let mut before = as_cooked.clone();
    // The mass of a full cube is on record for the purée as it counted so far.
    if let Some(value) = store.whole_batch(entry.target)? {
        before.weighed = Some(Located { value, place: None });
    }
    let before = before.calculate()??;
    let left_out = left_out(&as_cooked, difference);
    let after = different(as_cooked, difference, name)?.calculate()??;
    let full = match store.full_cube(entry.target)? {
        Some(full) => full * (after.density / before.density),
        // The same mass of purée was frozen as before; the rest was eaten at once.
        None => {
            let frozen = (*cube * f64::from(*cubes) / before.masses.puree).min(1.0);
            after.masses.puree * (frozen / f64::from(*cubes))
        }
    };
    let table = AllergenTable::builtin()?;
    let recooked = Recooked {
        batch: &after,
        full,
        table: &table,
    };
    let corrected = store.recook(number, &recooked, today)?;
    let puree = after.masses.puree;
    let not_frozen = match &corrected.now.detail {
        EntryDetail::Batch { cubes, cube, .. } => rest(puree, *cube * f64::from(*cubes), *cube),
        _ => None,
    };
    let doubt = difference.weighed.and_then(|_| weighed_doubt(&after));
    let doubt = doubt.map(capital).into_iter();
    let counts = std::iter::once(format!(
        "The purée counts as {:.0} g{}; every meal with its cubes follows",
        puree.grams(),
        if difference.weighed.is_some() {
            ", weighed"
        } else {
            ", estimated"
        }
    ));
    Ok(AppliedCorrection {
        follows: doubt
            .chain(left_out)
            .chain(counts)
            .chain(not_frozen)
            .collect(),
        corrected,
    })
}

/// The factor by which the recipe was multiplied, by the masses as bought that are on record.
fn factor(prepared: &Prepared, recorded: &[(FoodId, Mass)], name: &str) -> Result<f64, Problem> {
    let changed = || {
        Problem::new(format!(
            "the recipe {} is not as it was when this batch was cooked",
            quoted(name)
        ))
        .hint("take the batch back and freeze it again with the recipe as it was")
    };
    let mut factors: Vec<f64> = Vec::new();
    for (food, mass) in recorded {
        let of_it = prepared
            .ingredients
            .iter()
            .filter(|ingredient| ingredient.food.id == *food);
        let written: Mass = of_it
            .map(crate::recipe::PreparedIngredient::purchased)
            .sum();
        if written <= Mass::ZERO {
            return Err(changed());
        }
        factors.push(*mass / written);
    }
    let (least, most) = factors
        .iter()
        .fold((f64::INFINITY, 0.0_f64), |(least, most), one| {
            (least.min(*one), most.max(*one))
        });
    if factors.is_empty() || most > least * (1.0 + SAME_AMOUNTS) {
        return Err(changed());
    }
    Ok(factors.iter().sum::<f64>() / factors.len() as f64)
}

/// The foods that were not in the batch, in words; `None` where all were.
fn left_out(prepared: &Prepared, difference: &Difference) -> Option<String> {
    let foods = prepared.ingredients.iter().map(|one| &one.food);
    let missing = foods.filter(|food| difference.without.contains(&food.id));
    let mut names: Vec<&str> = missing.map(|food| food.name.as_str()).collect();
    names.dedup();
    (!names.is_empty()).then(|| format!("Without {}", joined(names, "; ")))
}

fn different(
    mut prepared: Prepared,
    difference: &Difference,
    name: &str,
) -> Result<Prepared, Problem> {
    for food in &difference.without {
        let before = prepared.ingredients.len();
        prepared
            .ingredients
            .retain(|ingredient| ingredient.food.id != *food);
        if prepared.ingredients.len() == before {
            let what = format!("food {food} is not in the recipe {}", quoted(name));
            return Err(Problem::new(what).hint("leave out one of its own ingredients"));
        }
    }
    if let Some(mass) = difference.weighed {
        prepared.weighed = Some(Located {
            value: mass,
            place: None,
        });
    } else if !difference.without.is_empty() {
        // The weighed mass was that of a batch with the food.
        prepared.weighed = None;
    }
    Ok(prepared)
}
