//! The search for foods, and the datasets in use.

use askama::Template;
use data_import::SourceInfo;

use super::food_search::FoundPart;
use super::import::ImportStatus;
use crate::food::{FoodData, FoodTable, own_names};
use crate::web::error::PageError;
use crate::web::layout::Layout;
use crate::web::request::{PageRequest, Reply};
use crate::words::stored_day;

#[derive(Template)]
#[template(path = "web/foods.html")]
struct FoodsPage<'a> {
    frame: Layout,
    words: &'a str,
    found: String,
    /// `None` where the food data does not open.
    sources: Option<Vec<DatasetRow>>,
    own: usize,
    part: ImportStatus,
}

/// A dataset in use.
struct DatasetRow {
    about: SourceInfo,
    read: String,
    kept: &'static str,
    /// Whether the dataset can be dropped here.
    droppable: bool,
}

/// Finds foods.
pub(in crate::web) fn find(visit: &PageRequest<'_>) -> Result<Reply, PageError> {
    let words = visit.asked.query.text("words");
    let own = own_names(visit.kitchen.own(&visit.place)?.as_ref());
    let foods = visit
        .kitchen
        .foods(&visit.place)
        .map_err(|error| visit.kitchen.tell(&error.to_string()))
        .ok();
    let found = match &foods {
        Some(_) => FoundPart::listed(visit, words)?.render()?,
        None => String::new(),
    };
    Reply::page(&FoodsPage {
        part: ImportStatus::to_begin(visit),
        frame: Layout::of(visit, "Foods and data", "/foods"),
        words,
        found,
        sources: foods.map(|foods| sources(visit, &foods.table)),
        own: own.len(),
    })
}

/// The datasets in use, the preferred one first.
fn sources(visit: &PageRequest<'_>, table: &FoodTable) -> Vec<DatasetRow> {
    let data = visit.kitchen.food_data(&visit.place);
    let source = |(at, about): (usize, &SourceInfo)| {
        let builtin = table.is_builtin(at);
        DatasetRow {
            read: stored_day(&about.imported),
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
