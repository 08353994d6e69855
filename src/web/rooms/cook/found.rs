//! Foods found while a recipe is written, each a button that adds it.

use askama::Template;

use crate::web::fault::Fault;
use crate::web::rooms::foods::{Found, found_by};
use crate::web::rooms::words::counted;
use crate::web::visit::{Answer, Visit};

/// So many foods are offered.
const OFFERED: usize = 8;

#[derive(Template)]
#[template(path = "web/offered.html")]
pub(super) struct Offered<'a> {
    words: &'a str,
    found: Vec<Found>,
    said: String,
}

/// The foods that the words of the address find, alone.
pub(in crate::web) fn show(visit: &Visit<'_>) -> Result<Answer, Fault> {
    Answer::page(&Offered::of(visit, visit.asked.query.text("words"))?)
}

impl<'a> Offered<'a> {
    pub(super) fn of(visit: &Visit<'_>, words: &'a str) -> Result<Self, Fault> {
        let found = found_by(visit, words, OFFERED)?;
        let said = if words.is_empty() {
            String::new()
        } else {
            format!(
                "{} found",
                counted(u32::try_from(found.len()).unwrap_or(u32::MAX), "food")
            )
        };
        Ok(Self { words, found, said })
    }
}
