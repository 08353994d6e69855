//! An entry of the record is corrected: what the judge says to a meal as it really was, and what follows from it.

use jiff::civil::Date;

use super::drinking::check_milk;
use super::objections::{BookJudge, Judged, MealToJudge};
use super::reacting::{call_for_help, reaction_response};
use super::serving::served;
use super::serving_parser::helping;
use crate::food::{Food, Pantry};
use crate::notebook::{
    Book, BookError, Child, Corrected, Correction, EntryDetail, EntryPart, LogEntry, MilkAmount,
    MilkPart, Store,
};
use crate::nutrition::{BreastMilk, Serving};
use crate::problem::Problem;
use crate::quantity::Mass;
use crate::safety::{FeedingStage, Objection, RESPONSE};
use crate::words::counted;

/// An entry that was corrected.
#[derive(Debug)]
pub struct AppliedCorrection {
    /// The entry before and after.
    pub corrected: Corrected,
    /// What follows for other entries, each a sentence without its full stop.
    pub follows: Vec<String>,
}

/// Corrects an entry. A meal, a milk or a known food with other food, of another child or on another day is judged first: unless `anyway`, called
/// with the objections, overrides it, an objection that blocks leaves the record as it is.
pub fn correct(
    (book, store): (&Book, &mut Store),
    pantry: &Pantry,
    (number, correction): (i64, &Correction),
    today: Date,
    anyway: impl FnOnce(&[Objection]) -> bool,
) -> Result<Judged<AppliedCorrection>, BookError> {
    check_milk(correction.milk.as_deref().unwrap_or_default())?;
    let objections = match store.entry(number)? {
        Some(entry) => objections(book, store, pantry, &entry, correction)?,
        None => Vec::new(),
    };
    Judged::unless_stopped(objections, anyway, || {
        let corrected = store.correct(number, correction, today)?;
        let follows = follows(store, &corrected)?;
        Ok(AppliedCorrection { corrected, follows })
    })
}

/// What to do about a reaction that new words tell of, and the objections to a meal, a milk or a known food as it is to be;
/// none where neither words nor food nor child nor day are others.
fn objections(
    book: &Book,
    store: &Store,
    pantry: &Pantry,
    entry: &LogEntry,
    correction: &Correction,
) -> Result<Vec<Objection>, BookError> {
    let name = correction.child.as_deref().unwrap_or(&entry.child);
    let words = correction.words.as_deref().unwrap_or_default();
    let Some(child) = book.child(name) else {
        return Ok(call_for_help(name, words).into_iter().collect());
    };
    let on = correction.day.unwrap_or(entry.day);
    let elsewhere = correction.day.is_some() || correction.child.is_some();
    let judge = BookJudge::new(&book.settings, Some(store), pantry)?;
    let mut found = match &entry.detail {
        EntryDetail::Reaction { .. } => {
            reaction_response((book, store), pantry, child, (on, words))?
        }
        _ => call_for_help(name, words).into_iter().collect(),
    };
    found.extend(match (&entry.detail, &correction.milk) {
        (EntryDetail::Milk { .. }, Some(milk)) => judge.milk(child, on, milk)?,
        (EntryDetail::Milk { parts, .. }, None) if elsewhere => {
            judge.milk(child, on, &poured(pantry, parts)?)?
        }
        (EntryDetail::Known { food, .. }, _) if elsewhere => {
            judge.had_before(child, on, &[on_record(pantry, food)?])?
        }
        (EntryDetail::Meal { .. }, _) => {
            of_meal((&judge, store, pantry), entry, (child, on), correction)?
        }
        _ => Vec::new(),
    });
    Ok(found)
}

/// The milks of a day on record whose amounts were measured.
fn poured(pantry: &Pantry, parts: &[EntryPart]) -> Result<Vec<MilkPart>, BookError> {
    let mut milks = Vec::new();
    for part in parts {
        if let EntryPart::Food { mass, id, .. } = part {
            milks.push(MilkPart {
                helping: helping(on_record(pantry, id)?, *mass)?,
                breast: id == BreastMilk::FOOD,
                amount: MilkAmount::Mass(*mass),
            });
        }
    }
    Ok(milks)
}

/// A food of an entry.
///
/// Errors: it is not among the foods any more.
fn on_record(pantry: &Pantry, id: &str) -> Result<Food, BookError> {
    let food = pantry.foods(&[id.parse()?])?.pop().flatten();
    food.ok_or_else(|| not_among_the_foods(id))
}

/// The objections to a meal as it is to be.
fn of_meal(
    (judge, store, pantry): (&BookJudge<'_>, &Store, &Pantry),
    entry: &LogEntry,
    (child, on): (&Child, Date),
    correction: &Correction,
) -> Result<Vec<Objection>, BookError> {
    let Correction {
        day,
        child: other,
        servings,
        more,
        reaction,
        ..
    } = correction;
    let elsewhere = day.is_some() || other.is_some();
    let EntryDetail::Meal {
        parts,
        reaction: seen,
        ..
    } = &entry.detail
    else {
        return Ok(Vec::new());
    };
    if !elsewhere && servings.is_none() && more.is_none() && reaction.is_none() {
        return Ok(Vec::new());
    }
    let mut given = Vec::new();
    let kept: &[EntryPart] = if servings.is_some() { &[] } else { parts };
    for part in kept {
        match part {
            EntryPart::Cubes(cubes, _, batch) => {
                given.extend(cube(store, *batch)?.map(|cube| cube.times(cubes.served())));
            }
            EntryPart::Food {
                mass, id, typed, ..
            } => {
                let helping = helping(on_record(pantry, id)?, *mass)?;
                given.push(served(&helping.named(typed))?);
            }
            _ => {}
        }
    }
    for (picks, foods) in servings.iter().chain(more) {
        for pick in picks {
            let batch = stocked(store, &pick.name)?;
            if let Some(cube) = batch.map(|batch| cube(store, batch)).transpose()?.flatten() {
                given.push(cube.times(pick.cubes.served()));
            }
        }
        for one in foods {
            given.push(served(one)?);
        }
    }
    let asked = MealToJudge {
        child,
        day: on,
        context: FeedingStage::Served,
        seen: reaction.as_deref().unwrap_or(seen),
    };
    let mut objections = judge.corrected_meal(&asked, &given, (entry.day, seen))?;
    if !elsewhere && servings.is_none() && more.is_none() {
        // Nothing else was given than before: what counts is how to respond to what was seen.
        objections.retain(|one| one.hazard == RESPONSE);
    }
    Ok(objections)
}

/// An entry cannot be judged without one of its foods.
fn not_among_the_foods(id: &str) -> BookError {
    let what = format!("the entry has the food {id}, which the food data in use does not have");
    let hint = "put it back among the own foods, or say again what it really was";
    Problem::new(what).hint(hint).into()
}

fn cube(store: &Store, batch: i64) -> Result<Option<Serving>, BookError> {
    Ok(store.cubes(&[batch])?.remove(&batch))
}

/// A batch of this recipe, or of this number.
fn stocked(store: &Store, name: &str) -> Result<Option<i64>, BookError> {
    if let Some(number) = name.strip_prefix('#') {
        return Ok(number.parse().ok());
    }
    let batches = store.batches()?;
    Ok(batches
        .iter()
        .rev()
        .find(|one| one.name == name)
        .map(|one| one.id))
}

/// What follows from a correction for other entries.
fn follows(store: &Store, corrected: &Corrected) -> Result<Vec<String>, BookError> {
    let (EntryDetail::Batch { cubes: was, .. }, EntryDetail::Batch { cubes, cube, .. }) =
        (&corrected.was.detail, &corrected.now.detail)
    else {
        return Ok(Vec::new());
    };
    if was == cubes {
        return Ok(Vec::new());
    }
    let stock = store.stock()?;
    let left = stock
        .iter()
        .find(|one| one.batch.id == corrected.now.target);
    let left = left.map_or(0, |one| one.left);
    let used = cubes - left.min(*cubes);
    let frozen = *cube * f64::from(*cubes);
    let whole = store.whole_batch(corrected.now.target)?;
    let rest = whole.filter(|whole| *whole - frozen >= Mass::from_grams(1.0));
    let spread = format!("{}, {:.0} g each", counted(*cubes, "cube"), cube.grams());
    let mut follows = vec![match rest {
        Some(_) => format!(
            "{spread}, as much as a well holds; the rest counts as eaten at once, and nothing of it as waste"
        ),
        None => {
            format!("The batch is spread over {spread}; it counts as a correction, not as waste")
        }
    }];
    if used > 0 {
        follows.push(format!(
            "Used already, and with the new figures from now on: {}; {left} left",
            counted(used, "cube")
        ));
    }
    Ok(follows)
}
