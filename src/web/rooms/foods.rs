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
    layout: Layout,
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
pub(in crate::web) fn find(request: &PageRequest<'_>) -> Result<Reply, PageError> {
    let words = request.address.query.text("words");
    let own = own_names(request.state.own(&request.place)?.as_ref());
    let foods = request
        .state
        .foods(&request.place)
        .map_err(|error| request.state.tell(&error.to_string()))
        .ok();
    let found = match &foods {
        Some(_) => FoundPart::listed(request, words)?.render()?,
        None => String::new(),
    };
    Reply::page(&FoodsPage {
        part: ImportStatus::to_begin(request),
        layout: Layout::of(request, "Foods and data", "/foods"),
        words,
        found,
        sources: foods.map(|foods| sources(request, &foods.table)),
        own: own.len(),
    })
}

/// The datasets in use, the preferred one first.
fn sources(request: &PageRequest<'_>, table: &FoodTable) -> Vec<DatasetRow> {
    let data = request.state.food_data(&request.place);
    let source = |(at, about): (usize, &SourceInfo)| {
        let builtin = table.is_builtin(at);
        DatasetRow {
            read: stored_day(&about.imported),
            kept: match data {
                _ if builtin => "built in",
                FoodData::Named(_) => "in the folder named at the start of the page",
                _ => "in this book",
            },
            droppable: !builtin && request.address.is_local && !request.place.demo,
            about: about.clone(),
        }
    };
    table.sources().iter().enumerate().map(source).collect()
}
