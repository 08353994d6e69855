//! The value of an entry in its form: as it is shown, and as a new one is typed.

use data_import::NutrientId;
use jiff::civil::Date;

use crate::household::{dose, measurement, milk_part};
use crate::notebook::{EntryDetail, EntryPart, LogEntry, Measured, MilkPart};
use crate::problem::Problem;
use crate::quantity::Mass;
use crate::report::{dose_words, kilograms};
use crate::spoken::{Context, Reader, parts};
use crate::web::fields::with_meant;
use crate::web::{PageRequest, PageResult, Wrong};
use crate::words::joined;

/// Whether the text is the value as the form shows it, so that its rounding is not taken for a
/// change.
pub(super) fn is_shown(entry: &LogEntry, words: &str) -> bool {
    field(entry).is_some_and(|shown| shown.value == words)
}

/// A weight in grams, a length in centimetres; what is wrong is noted.
pub(super) fn measure((what, day): (&str, Date), words: &str, wrong: &mut Wrong) -> Option<f64> {
    let what = match what {
        "weight" => Measured::Weight,
        "length" => Measured::Length,
        _ => Measured::Head,
    };
    let read = measurement(day, what, words);
    noted(read.map(|measured| measured.value), wrong)
}

/// A dose in the unit of the nutrient table; what is wrong is noted.
pub(super) fn dose_of(
    nutrient: NutrientId,
    words: &str,
    wrong: &mut Wrong,
) -> PageResult<Option<f64>> {
    match words {
        "0" => Ok(Some(0.0)),
        words => Ok(noted(dose(words, nutrient)?, wrong)),
    }
}

/// A value that was read; what is wrong with it is noted.
fn noted(read: Result<f64, Problem>, wrong: &mut Wrong) -> Option<f64> {
    wrong.noted("words", read)
}

/// The milks of a day in the words of a parent; what is not clear is noted.
pub(super) fn milks(
    request: &PageRequest<'_>,
    words: &str,
    wrong: &mut Wrong,
) -> PageResult<Option<Vec<MilkPart>>> {
    let typed = parts(&[words.to_string()]);
    if typed.is_empty() {
        wrong.say("words", "Write the milk of the day, or none.");
    }
    let mut reader = Reader::new(request, Context::Drink);
    let mut milks = Vec::new();
    let meant = |unclear: &str, meant: &str| with_meant(words, unclear, meant);
    for milk in typed.iter().filter(|milk| *milk != "none") {
        let Some(taken) = wrong.check_food("words", reader.sure(milk), meant)? else {
            return Ok(None);
        };
        milks.push(milk_part(&taken)?);
    }
    Ok(Some(milks))
}

/// The milks of a day as a parent writes them.
fn written(milks: &[EntryPart]) -> String {
    let milk = |part: &EntryPart| match part {
        EntryPart::Feeds(feeds, _) => format!("breast {feeds} feeds"),
        EntryPart::Food { mass, id, .. } => format!("{} g {id}", mass.grams()),
        _ => "breast".to_string(),
    };
    match milks {
        [] => "none".into(),
        milks => joined(milks.iter().map(milk), ", "),
    }
}

/// The field for the value of an entry.
#[derive(Debug)]
pub(super) struct EntryField {
    pub(super) label: &'static str,
    pub(super) hint: &'static str,
    /// How a phone types it: the `inputmode` of HTML.
    pub(super) inputmode: &'static str,
    pub(super) value: String,
}

/// The field for the value of an entry, by its kind; `None` where it has none.
pub(super) fn field(entry: &LogEntry) -> Option<EntryField> {
    let words = |label, words: &String| (label, "In your words.", "text", words.clone());
    let (label, hint, inputmode, value) = match &entry.detail {
        EntryDetail::Batch { cubes, .. } => (
            "How many cubes it made",
            "What is in the batch is spread over them; it is a correction, not waste.",
            "numeric",
            cubes.to_string(),
        ),
        EntryDetail::Purchase { price, .. } => (
            "What was paid",
            "Such as 3.49; the costs of batches follow.",
            "decimal",
            price.map_or_else(String::new, |price| price.amount().to_string()),
        ),
        EntryDetail::Measure { what, value } if what == "weight" => (
            "Weight",
            "With its unit, such as 8.4 kg or 18 lb.",
            "text",
            kilograms(Mass::from_grams(*value)),
        ),
        EntryDetail::Measure { value, .. } => (
            "How long, or how far round",
            "In centimetres, or in inches, such as 28 in.",
            "text",
            format!("{value} cm"),
        ),
        EntryDetail::Supplement {
            nutrient, amount, ..
        } => (
            "Dose of a day",
            "With its unit, such as 400 IU, 10 µg, 7.5 mg; 0 where it was missed.",
            "text",
            match *amount {
                0.0 => "0".into(),
                amount => dose_words(*nutrient, amount),
            },
        ),
        EntryDetail::Milk { parts, .. } => (
            "Milk of a day",
            "Such as: breast 5 feeds, 300 ml infant formula; or none.",
            "text",
            written(parts),
        ),
        EntryDetail::Discard { why, .. } => words("Why", why),
        EntryDetail::Question { words: seen }
        | EntryDetail::Answer { words: seen, .. }
        | EntryDetail::Note { words: seen, .. }
        | EntryDetail::Reaction { words: seen, .. } => words("Words", seen),
        _ => return None,
    };
    Some(EntryField {
        label,
        hint,
        inputmode,
        value,
    })
}
