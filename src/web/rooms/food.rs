//! The page of a food: values with their origin, measures, and the nutrients of which it is a good
//! source.

use askama::Template;

use super::phrases;
use crate::food::FoodId;
use crate::household::{BookJudge, FoodFacts, FoodView};
use crate::nutrition::IntakeTable;
use crate::report::{
    COOKERY_SAID, FoodReport, LabelEntry, ObjectionLine, RESIDUES_SAID, objection_lines,
};
use crate::safety::CautionTable;
use crate::web::error::PageError;
use crate::web::layout::Layout;
use crate::web::request::{PageRequest, Reply};
use crate::web::wording::in_words;
use crate::words::capital;

#[derive(Template)]
#[template(path = "web/food.html")]
struct FoodRoom {
    layout: Layout,
    report: FoodReport,
    refuse: String,
    objections: Vec<ObjectionLine>,
    warnings: Vec<String>,
    good_for: Vec<[String; 3]>,
    eaten: String,
    cookery_said: &'static str,
    /// Sentences on residues, washing and organic food, and the source of the counts.
    residues_said: [&'static str; 4],
    values: Vec<Value>,
    /// Whether the dataset states the origin of values.
    with_origin: bool,
    defer: String,
}

/// A value of the dataset.
struct Value {
    name: &'static str,
    amount: String,
    unit: &'static str,
    origin: String,
}

/// Shows a food.
pub(in crate::web) fn show(request: &PageRequest<'_>) -> Result<Reply, PageError> {
    let id: FoodId = request.part("food")?;
    let pantry = request.state.pantry(&request.place)?;
    let food = pantry
        .foods(std::slice::from_ref(&id))?
        .pop()
        .flatten()
        .ok_or(PageError::NotFound)?;
    let store = request.record()?;
    let facts = FoodFacts::of(
        &food,
        &FoodView {
            pantry: &pantry,
            book: Some(&request.book),
            store: Some(store),
            day: request.today,
            age: phrases::age(request),
        },
    )?;
    let month = u32::from(request.today.month().unsigned_abs());
    let mut report = FoodReport::new(
        &food,
        &pantry.provenance(&id)?,
        &IntakeTable::builtin()?,
        &facts,
        (phrases::age(request), Some(month)),
    )?;
    report.label = pantry.label(&id).map(|label| LabelEntry::new(label, &[]));
    let judge = BookJudge::new(&request.book.settings, Some(store), &pantry)?;
    report.objections = judge.food(&food, request.today, None)?;
    let stops = judge.stops(std::slice::from_ref(&food), request.today, None)?;
    let mut stops = stops.iter().flatten();
    report.stopped = stops.any(|one| request.is_seen(&one.child));
    let values = report.food.nutrients.iter().map(|value| Value {
        name: value.plain,
        amount: report.shown(value),
        unit: value.unit,
        origin: value.origin_words(),
    });
    let values: Vec<_> = values.collect();
    Reply::page(&FoodRoom {
        layout: Layout::of(request, food.name.clone(), "/foods"),
        refuse: report.food.refuse_words(),
        objections: objection_lines(&report.objections),
        warnings: pantry.warnings([&id]).iter().map(in_words).collect(),
        good_for: report.good_for_rows(),
        eaten: capital(&report.eaten.words),
        cookery_said: COOKERY_SAID,
        residues_said: RESIDUES_SAID,
        with_origin: values.iter().any(|value| !value.origin.is_empty()),
        values,
        defer: CautionTable::builtin()?.defer().to_string(),
        report,
    })
}
