//! Cubes and other food, as a form or an address says them.

use crate::household::{Listener, Spoken, pick};
use crate::notebook::Stock;
use crate::spoken::parts;
use crate::web::error::PageError;
use crate::web::fields::{Fields, Wrong};
use crate::web::request::PageRequest;

/// What the name of a field for cubes of a batch begins with; its number follows.
pub(super) const CUBES: &str = "cubes-";
/// What the name of a field for cubes of a recipe begins with; its name follows.
pub(super) const RECIPE: &str = "recipe-";
/// Words for other food are no longer than this.
const LONGEST: usize = 200;

/// A field for the cubes of a batch or a recipe, or for its trays.
#[derive(Debug)]
pub(super) struct Row {
    /// The name of the field.
    pub(super) name: String,
    pub(super) title: String,
    pub(super) about: String,
    pub(super) cubes: String,
}

impl Row {
    /// A row for a batch, with the cubes that were said.
    pub(super) fn of_batch(stock: &Stock, about: String, fields: &Fields) -> Self {
        let name = format!("{CUBES}{}", stock.batch.id);
        Self {
            cubes: cubes(&name, fields),
            title: stock.batch.title.clone(),
            about,
            name,
        }
    }
}

/// The cubes that were said; none where nothing was.
pub(super) fn cubes(name: &str, fields: &Fields) -> String {
    match fields.text(name) {
        "" => "0".to_string(),
        said => said.to_string(),
    }
}

/// The cubes that the fields name, none left out: a batch that is gone is said to be.
pub(super) fn said(
    visit: &PageRequest<'_>,
    fields: &Fields,
    wrong: &mut Wrong,
) -> Result<Spoken, PageError> {
    let other = super::phrases::short(fields, "other", LONGEST, wrong).unwrap_or_default();
    let words = parts(&[other.to_string()]);
    let spoken = Listener::new(visit, &visit.book).all(&words);
    let mut spoken = wrong.heard("other", spoken)?.unwrap_or_default();
    // Cubes that were written as words come behind those that were counted.
    let written = std::mem::take(&mut spoken.picks);
    let batches = fields.beginning(CUBES);
    let batches = batches.map(|(number, cubes)| (format!("#{number}"), cubes));
    let recipes = fields.beginning(RECIPE);
    let recipes = recipes.map(|(name, cubes)| (name.to_string(), cubes));
    for (name, cubes) in batches.chain(recipes) {
        if cubes.is_empty() || cubes == "0" {
            continue;
        }
        match pick(&format!("{cubes} {name}")) {
            Ok(pick) => spoken.picks.push(pick),
            Err(_) => wrong.say(
                "cubes",
                format!("“{cubes}” is no number of cubes: write a whole number, 1 to 1000."),
            ),
        }
    }
    spoken.picks.extend(written);
    Ok(spoken)
}
