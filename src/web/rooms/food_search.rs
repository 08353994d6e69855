//! Foods found by kitchen words: as a part of a page, and alone while the words are typed.

use crate::words::counted;
use askama::Template;

use crate::food::search::Hit;
use crate::food::{found, own_names};
use crate::web::error::PageError;
use crate::web::request::{Answer, PageRequest};

/// So many foods are listed where one is looked up, and offered where one is chosen.
const LISTED: usize = 20;
pub(super) const OFFERED: usize = 8;
/// Words longer than this name no food.
const LONGEST: usize = 100;

/// A food that was found.
pub(super) struct Found {
    pub(super) id: String,
    pub(super) name: String,
    pub(super) about: String,
}

/// Foods to be looked at, each a link.
#[derive(Template)]
#[template(path = "web/found-listed.html")]
pub(super) struct Listed<'a> {
    words: &'a str,
    found: Vec<Found>,
    said: String,
}

/// Foods to put into a recipe, each a button.
#[derive(Template)]
#[template(path = "web/found-offered.html")]
pub(super) struct Offered<'a> {
    words: &'a str,
    found: Vec<Found>,
    said: String,
}

/// The foods that the words of the address find, to be looked at.
pub(in crate::web) fn listed(visit: &PageRequest<'_>) -> Result<Answer, PageError> {
    Answer::page(&Listed::of(visit, visit.asked.query.text("words"))?)
}

/// The same, to put into a recipe.
pub(in crate::web) fn offered(visit: &PageRequest<'_>) -> Result<Answer, PageError> {
    Answer::page(&Offered::of(visit, visit.asked.query.text("words"))?)
}

impl<'a> Listed<'a> {
    pub(super) fn of(visit: &PageRequest<'_>, words: &'a str) -> Result<Self, PageError> {
        let found = found_by(visit, words, LISTED)?;
        let said = said(words, &found);
        Ok(Self { words, found, said })
    }
}

impl<'a> Offered<'a> {
    pub(super) fn of(visit: &PageRequest<'_>, words: &'a str) -> Result<Self, PageError> {
        let found = found_by(visit, words, OFFERED)?;
        let said = said(words, &found);
        Ok(Self { words, found, said })
    }
}

/// A sentence for those who do not see the list.
fn said(words: &str, found: &[Found]) -> String {
    match found.len() {
        _ if words.is_empty() => String::new(),
        0 => "Nothing found".into(),
        many => counted(many, "food") + " found",
    }
}

/// The foods that kitchen words find.
pub(super) fn found_by(
    visit: &PageRequest<'_>,
    words: &str,
    most: usize,
) -> Result<Vec<Found>, PageError> {
    if words.is_empty() || words.chars().count() > LONGEST {
        return Ok(Vec::new());
    }
    let own = own_names(visit.kitchen.own(&visit.place)?.as_ref());
    let foods = visit.kitchen.foods(&visit.place)?;
    let hits = found(&foods.index, &own, words, most)?.map_err(PageError::broken)?;
    let hit = |hit: Hit| Found {
        // Packets have no group; their maker tells them apart.
        about: match data_import::group_name(&hit.group) {
            Some(group) => group.to_string(),
            None if hit.manufacturer.is_empty() => hit.group,
            None => hit.manufacturer,
        },
        id: hit.id,
        name: hit.name,
    };
    Ok(hits.into_iter().map(hit).collect())
}
