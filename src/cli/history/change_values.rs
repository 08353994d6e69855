//! What an entry really was, and how much, as it is typed: read by the kind of the entry.

use trayful::household::{self, is_no_milk, measurement, milk_part, typed_milks};
use trayful::notebook::{Book, Correction, EntryDetail, EntryPart, LogEntry, Measured};
use trayful::problem::Problem;
use trayful::quantity::read_number;
use trayful::spoken::{Context, Taken};

use crate::cli::Session;
use crate::cli::failure::Failure;

/// Reads what an entry really was, by its kind.
pub(super) fn really(
    what: &str,
    entry: &LogEntry,
    correction: &mut Correction,
    book: &Book,
    session: &Session,
) -> Result<Vec<Taken>, Failure> {
    match &entry.detail {
        EntryDetail::Meal { .. } | EntryDetail::Discard { .. } => {
            let typed = session.servings(book, &[what.to_string()])?;
            correction.servings = Some((typed.picks, typed.foods));
            Ok(typed.taken)
        }
        EntryDetail::Milk { .. } => {
            let typed = typed_milks(&[what.to_string()])?;
            let taken = match typed.as_slice() {
                [none] if is_no_milk(none) => Vec::new(),
                typed => session.read_all(typed, Context::Drink)?,
            };
            correction.milk = Some(taken.iter().map(milk_part).collect::<Result<_, _>>()?);
            Ok(taken)
        }
        EntryDetail::Purchase { .. } => {
            let taken = session.read_one(what, Context::Buy)?;
            correction.mass = taken.mass();
            correction.food = Some((taken.food.id.to_string(), taken.food.name.clone()));
            Ok(vec![taken])
        }
        _ => so_much(what, entry, correction, book, session),
    }
}

/// Reads how much it really was, by the kind of the entry.
pub(super) fn so_much(
    amount: &str,
    entry: &LogEntry,
    correction: &mut Correction,
    book: &Book,
    session: &Session,
) -> Result<Vec<Taken>, Failure> {
    match &entry.detail {
        EntryDetail::Batch { .. } => {
            let cubes = amount
                .trim()
                .trim_end_matches("cubes")
                .trim_end_matches("cube")
                .trim();
            correction.cubes = Some(cubes.parse().map_err(|_| {
                Problem::new("the amount of a batch is its number of cubes")
                    .hint("such as --cubes 26")
            })?);
        }
        EntryDetail::Meal { parts, .. } => {
            let [part] = parts.as_slice() else {
                let what = "the meal has several parts, so one amount does not say of which";
                return Err(Problem::new(what)
                    .hint("write all of it with --what")
                    .into());
            };
            let words = match part {
                EntryPart::Cubes(_, _, batch) => format!("{} #{batch}", amount.trim()),
                EntryPart::Food { id, .. } if read_number(amount).is_some() => {
                    format!("{} g {id}", amount.trim())
                }
                EntryPart::Food { id, .. } => format!("{} {id}", amount.trim()),
                _ => amount.to_string(),
            };
            let taken = really(&words, entry, correction, book, session)?;
            if let EntryPart::Food { typed, .. } = part {
                let servings = correction.servings.iter_mut();
                // The words of the entry stay with its food: ground almonds stay ground.
                for helping in servings.flat_map(|(_, foods)| foods) {
                    helping.named.clone_from(typed);
                }
            }
            return Ok(taken);
        }
        EntryDetail::Measure { what, .. } => {
            let day = correction.day.unwrap_or(entry.day);
            let measured = measurement(day, Measured::from_word(what), amount)?;
            correction.value = Some(measured.value);
        }
        EntryDetail::Supplement { nutrient, .. } => {
            correction.value = Some(crate::cli::supplement::dose(amount, *nutrient)?);
        }
        _ => correction.mass = Some(household::typed_mass(amount)?),
    }
    Ok(Vec::new())
}
