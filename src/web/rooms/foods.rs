//! Foods found by kitchen words, and the data they come from.

use askama::Template;

use crate::food::{found, own_names};
use crate::web::fault::Fault;
use crate::web::frame::Frame;
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

struct Found {
    id: String,
    name: String,
    about: String,
}

/// A dataset in use.
struct Source<'a> {
    name: &'a str,
    release: &'a str,
    foods: usize,
    values: usize,
    imported: &'a str,
}

/// Finds foods.
pub(in crate::web) fn find(visit: &Visit<'_>) -> Result<Answer, Fault> {
    let words = visit.asked.query.text("words");
    let own = own_names(visit.kitchen.own(&visit.place)?.as_ref());
    let hits = if words.is_empty() || words.chars().count() > LONGEST {
        Vec::new()
    } else {
        found(visit.kitchen.index(), &own, words, LISTED)?.map_err(Fault::broken)?
    };
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
    let sources = visit.kitchen.table().sources().iter().map(|source| Source {
        name: &source.name,
        release: &source.release,
        foods: source.foods,
        values: source.values,
        imported: &source.imported,
    });
    Answer::page(&FoodsPage {
        frame: Frame::of(visit, "Foods and data", "/foods"),
        words,
        hits: hits.into_iter().map(hit).collect(),
        sources: sources.collect(),
        own: own.len(),
    })
}
