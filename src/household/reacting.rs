//! A reaction that was seen after a meal on record, or that other words of a household tell of: what to do about it.

use jiff::civil::Date;

use super::objections::{BookJudge, MealToJudge};
use crate::food::Pantry;
use crate::notebook::{Book, BookError, Child, Store};
use crate::safety::{FeedingStage, Objection, RESPONSE, emergency, response};

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

/// The call for help, where words about a child tell of a severe reaction: in a note, a question, an answer, wherever they are
/// written. It stands before everything else.
pub fn call_for_help(child: &str, words: &str) -> Option<Objection> {
    emergency(words)?;
    let called = response(child, words)?;
    Some(Objection {
        // No food is known of which there should be no more.
        instead: String::new(),
        ..called
    })
}
