//! A reaction that was seen after a meal on record: what to do about it.

use jiff::civil::Date;

use super::objections::{BookJudge, MealToJudge};
use crate::food::Pantry;
use crate::notebook::{Book, BookError, Child, Store};
use crate::safety::{FeedingStage, Objection, RESPONSE};

/// What the judge says to a reaction in the parent's words.
pub fn reaction_response(
    (book, store): (&Book, &Store),
    pantry: &Pantry,
    child: &Child,
    (day, seen): (Date, &str),
) -> Result<Vec<Objection>, BookError> {
    let asked = MealToJudge {
        child,
        day,
        context: FeedingStage::Served,
        seen,
    };
    let mut found = BookJudge::new(&book.settings, Some(store), pantry)?.meal(&asked, &[])?;
    found.retain(|one| one.hazard == RESPONSE);
    Ok(found)
}
