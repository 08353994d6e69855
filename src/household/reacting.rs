//! The response to a reaction that was seen after a meal on record.

use jiff::civil::Date;

use super::objections::{BookJudge, MealToJudge};
use crate::food::Pantry;
use crate::notebook::{Book, BookError, Child, Store};
use crate::safety::{FeedingStage, Objection, RESPONSE};

/// The response of the judge to a reaction in the parent's words.
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
    found.retain(|objection| objection.hazard == RESPONSE);
    Ok(found)
}
