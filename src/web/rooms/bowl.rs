//! Cubes and other food in the fields of a form or of a query.

use crate::household::{ServingParser, TypedServings, pick};
use crate::notebook::Stock;
use crate::spoken::parts;
use crate::web::error::PageError;
use crate::web::fields::{Fields, Wrong, with_meant};
use crate::web::request::PageRequest;

/// The prefix of a field for cubes of a batch, before its number.
pub(super) const CUBES: &str = "cubes-";
/// The prefix of a field for cubes of a recipe, before its name.
pub(super) const RECIPE: &str = "recipe-";
/// The longest text for other food, in characters.
const LONGEST: usize = 200;

/// A field for the cubes of a batch or a recipe, or for its trays.
#[derive(Debug)]
pub(super) struct ServingRow {
    /// The name of the field.
    pub(super) name: String,
    pub(super) title: String,
    pub(super) about: String,
    pub(super) cubes: String,
}

impl ServingRow {
    /// A row for a batch, with the number of cubes in the fields.
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

/// The number of cubes in the fields; empty for none.
pub(super) fn cubes(name: &str, fields: &Fields) -> String {
    match fields.text(name) {
        "" => "0".to_string(),
        text => text.to_string(),
    }
}

/// Parses the servings of the fields. A batch that no longer exists is an error and not skipped.
pub(super) fn typed(
    visit: &PageRequest<'_>,
    fields: &Fields,
    wrong: &mut Wrong,
) -> Result<TypedServings, PageError> {
    let other = super::phrases::short(fields, "other", LONGEST, wrong).unwrap_or_default();
    let words = parts(&[other.to_string()]);
    let typed = ServingParser::new(visit, &visit.book).all(&words);
    let meant = |unclear: &str, meant: &str| with_meant(other, unclear, meant);
    let typed = wrong.check_food("other", typed, meant)?;
    let mut typed = typed.unwrap_or_default();
    // Typed cubes come after those of the counters.
    let written = std::mem::take(&mut typed.picks);
    let batches = fields.beginning(CUBES);
    let batches = batches.map(|(number, cubes)| (format!("#{number}"), cubes));
    let recipes = fields.beginning(RECIPE);
    let recipes = recipes.map(|(name, cubes)| (name.to_string(), cubes));
    for (name, cubes) in batches.chain(recipes) {
        if cubes.is_empty() || cubes == "0" {
            continue;
        }
        match pick(&format!("{cubes} {name}")) {
            Ok(pick) => typed.picks.push(pick),
            Err(_) => wrong.say(
                "cubes",
                format!("“{cubes}” is no number of cubes: write a whole number, 1 to 1000."),
            ),
        }
    }
    typed.picks.extend(written);
    Ok(typed)
}
