//! The marks of dishes in a list that an objection stops.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::household::{BookJudge, freezer_objections};
use crate::notebook::{Child, Settings};
use crate::nutrition::SOLIDS_FROM;
use crate::portion::Tray;
use crate::recipe::Batch;
use crate::safety::Objection;
use crate::spoken::Lookup as _;
use crate::web::{PageRequest, PageResult};
use crate::words::together;

/// The mark beside a dish that objections stop: `Stop`, or `Stop for Ada` where the book has
/// several children; empty where nothing stops it.
pub(super) fn mark(objections: &[Objection], settings: &Settings) -> String {
    let mut children: Vec<&str> = Vec::new();
    for block in objections.iter().filter(|objection| objection.is_block()) {
        if !children.contains(&block.child.as_str()) {
            children.push(&block.child);
        }
    }
    let is_named = settings.children.len() > 1 && !children.contains(&"");
    match children.as_slice() {
        [] => String::new(),
        stopped if is_named => format!("Stop for {}", together(stopped)),
        _ => "Stop".into(),
    }
}

/// The marks of the batches in the freezer by their numbers, for one child, else for those that are
/// seen. Where the foods cannot be opened, no batch has a mark: the list is still shown, and the
/// room Freezer says that nothing is judged.
pub(super) fn of_freezer(
    request: &PageRequest<'_>,
    on: Date,
    child: Option<&Child>,
) -> PageResult<BTreeMap<i64, String>> {
    let Ok(pantry) = request.foods() else {
        return Ok(BTreeMap::new());
    };
    let found = freezer_objections(&request.book, request.record()?, &pantry, on)?;
    let marks = found.into_iter().map(|(batch, mut found)| {
        found.retain(|objection| is_about(request, objection, child));
        (batch, mark(&found, &request.book.settings))
    });
    Ok(marks.collect())
}

/// The mark of a recipe as it is cooked, for one child, else for those that are seen.
pub(super) fn of_batch(
    request: &PageRequest<'_>,
    judge: &BookJudge<'_>,
    (batch, tray): (&Batch, &Tray),
    (on, child): (Date, Option<&Child>),
) -> PageResult<String> {
    let mut found = judge.batch(batch, tray, on, None)?;
    found.retain(|objection| is_about(request, objection, child));
    Ok(mark(&found, &request.book.settings))
}

/// Whether an objection is about a child, else about one that is seen.
fn is_about(request: &PageRequest<'_>, objection: &Objection, child: Option<&Child>) -> bool {
    match child {
        Some(child) => objection.child == child.name,
        None => is_about_an_eater(request, objection),
    }
}

/// Whether an objection is about a child that is seen. That a newborn child has milk alone is left
/// out beside one who eats: said of every dish, it would hide what stops one dish alone. Whoever
/// serves a dish to the newborn is stopped then.
pub(super) fn is_about_an_eater(request: &PageRequest<'_>, objection: &Objection) -> bool {
    let eats = |child: &Child| child.age_on(request.today) >= SOLIDS_FROM;
    let beside_an_eater = || request.children().iter().any(eats);
    let of_milk_age = objection.is_block() && objection.is_before_solids();
    request.is_seen(&objection.child) && !(of_milk_age && beside_an_eater())
}
