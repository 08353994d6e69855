//! Foods found by kitchen words, and the data they come from.

use askama::Template;
use data_import::SourceInfo;

use super::import::{Part, dated};
use crate::food::{FoodData, FoodTable, found, own_names};
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
    /// `None` where the food data does not open.
    sources: Option<Vec<Source>>,
    own: usize,
    part: Part,
}

/// A food that was found.
pub(super) struct Found {
    pub(super) id: String,
    pub(super) name: String,
    pub(super) about: String,
}

/// A dataset in use.
struct Source {
    about: SourceInfo,
    release: String,
    read: String,
    kept: &'static str,
    /// Whether it may be dropped here.
    droppable: bool,
}

/// Finds foods.
pub(in crate::web) fn find(visit: &Visit<'_>) -> Result<Answer, Fault> {
    let words = visit.asked.query.text("words");
    let own = own_names(visit.kitchen.own(&visit.place)?.as_ref());
    let foods = visit
        .kitchen
        .foods(&visit.place)
        .map_err(|error| visit.kitchen.tell(&error.to_string()))
        .ok();
    let hits = match &foods {
        Some(_) => found_by(visit, words, LISTED)?,
        None => Vec::new(),
    };
    Answer::page(&FoodsPage {
        part: Part::to_begin(visit),
        frame: Frame::of(visit, "Foods and data", "/foods"),
        words,
        hits,
        sources: foods.map(|foods| sources(visit, &foods.table)),
        own: own.len(),
    })
}

/// The datasets in use, the preferred one first.
fn sources(visit: &Visit<'_>, table: &FoodTable) -> Vec<Source> {
    let data = visit.kitchen.food_data(&visit.place);
    let source = |(at, about): (usize, &SourceInfo)| {
        let builtin = table.is_builtin(at);
        Source {
            release: dated(&about.release),
            read: dated(&about.imported),
            kept: match data {
                _ if builtin => "built in",
                FoodData::Named(_) => "in the folder named at the start of the page",
                _ => "in this book",
            },
            droppable: !builtin && visit.asked.at_home && !visit.place.demo,
            about: about.clone(),
        }
    };
    table.sources().iter().enumerate().map(source).collect()
}

/// The foods that kitchen words find.
pub(super) fn found_by(visit: &Visit<'_>, words: &str, most: usize) -> Result<Vec<Found>, Fault> {
    if words.is_empty() || words.chars().count() > LONGEST {
        return Ok(Vec::new());
    }
    let own = own_names(visit.kitchen.own(&visit.place)?.as_ref());
    let foods = visit.kitchen.foods(&visit.place)?;
    let hits = found(&foods.index, &own, words, most)?.map_err(Fault::broken)?;
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
