//! Foods found by kitchen words, and the data they come from.

use askama::Template;

use crate::food::{found, own_names};
use crate::web::fault::Fault;
use crate::web::frame::Frame;
use crate::web::plain::plain;
use crate::web::visit::{Answer, Visit};

/// So many foods are listed.
const LISTED: usize = 20;
/// Words longer than this name no food.
const LONGEST: usize = 100;

#[derive(Template)]
#[template(path = "web/foods.html")]
struct FoodsPage<'a> {
    frame: Frame,
    words: &'a str,
    hits: Vec<Found>,
    sources: Vec<Source<'a>>,
    own: usize,
}

/// A food that was found.
pub(super) struct Found {
    pub(super) id: String,
    pub(super) name: String,
    pub(super) about: String,
}

/// A dataset in use.
struct Source<'a> {
    name: &'a str,
    release: &'a str,
    foods: usize,
    values: usize,
    imported: String,
}

/// Finds foods.
pub(in crate::web) fn find(visit: &Visit<'_>) -> Result<Answer, Fault> {
    let words = visit.asked.query.text("words");
    let own = own_names(visit.kitchen.own(&visit.place)?.as_ref());
    let hits = found_by(visit, words, LISTED)?;
    let sources = visit.kitchen.table().sources().iter().map(|source| Source {
        name: &source.name,
        release: &source.release,
        foods: source.foods,
        values: source.values,
        imported: plain(&source.imported),
    });
    Answer::page(&FoodsPage {
        frame: Frame::of(visit, "Foods and data", "/foods"),
        words,
        hits,
        sources: sources.collect(),
        own: own.len(),
    })
}

/// The foods that kitchen words find.
pub(super) fn found_by(visit: &Visit<'_>, words: &str, most: usize) -> Result<Vec<Found>, Fault> {
    if words.is_empty() || words.chars().count() > LONGEST {
        return Ok(Vec::new());
    }
    let own = own_names(visit.kitchen.own(&visit.place)?.as_ref());
    let hits = found(visit.kitchen.index(), &own, words, most)?.map_err(Fault::broken)?;
    let hit = |hit: crate::food::search::Hit| Found {
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
