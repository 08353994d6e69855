//! Weight, length and head size as they are typed.

use jiff::civil::Date;

use crate::notebook::{Measured, Measurement};
use crate::problem::{Place, Problem, SourceText};
use crate::quantity::{Mass, read_mass};
use crate::words::quoted;

/// Reads a measurement of a child: a mass with its unit, or a length.
///
/// Errors: it is none, or none that a child has.
pub fn measurement(day: Date, what: Measured, text: &str) -> Result<Measurement, Problem> {
    // Bounds of what can be meant, to catch a wrong unit (judgement): they say nothing of what a child should have.
    let (value, range) = match what {
        Measured::Weight => (typed_mass(text)?.grams(), 300.0..=60_000.0),
        Measured::Length => (centimetres(text)?, 20.0..=150.0),
        Measured::Head => (centimetres(text)?, 15.0..=65.0),
    };
    if range.contains(&value) {
        return Ok(Measurement { day, what, value });
    }
    let what = format!("that is no {} of a child", what.word());
    Err(Problem::new(what).hint("look at the number and the unit"))
}

/// A mass that is typed.
///
/// Errors: it is none.
pub fn typed_mass(text: &str) -> Result<Mass, Problem> {
    let place = Place::whole(&SourceText::new("the amount", text));
    read_mass(text).map_err(|error| Problem::at(place, error.to_string()).hint(error.hint()))
}

/// A length that is typed, in centimetres.
///
/// Errors: it is none.
pub fn centimetres(text: &str) -> Result<f64, Problem> {
    let (number, factor) = match text.trim().strip_suffix("in") {
        // One inch is 2.54 cm exactly (NIST SP 811).
        Some(inches) => (inches, 2.54),
        None => (text.trim().trim_end_matches("cm"), 1.0),
    };
    let length = number
        .trim()
        .parse::<f64>()
        .ok()
        .filter(|one| one.is_finite());
    length.map(|length| length * factor).ok_or_else(|| {
        Problem::new(format!("{} is no length", quoted(text)))
            .hint("write it in centimetres or inches, such as 71.5 cm or 28 in")
    })
}
