//! The page of a food: values with their origin, measures, and the nutrients of which it is a good source.

use askama::Template;

use super::phrases;
use crate::food::FoodId;
use crate::household::BookJudge;
use crate::nutrition::IntakeTable;
use crate::report::objection_lines;
use crate::report::{FoodReport, LabelEntry, ObjectionLine, decimals};
use crate::safety::CautionTable;
use crate::web::error::PageError;
use crate::web::layout::Layout;
use crate::web::request::{PageRequest, Reply};
use crate::web::wording::in_words;

#[derive(Template)]
#[template(path = "web/food.html")]
struct FoodRoom {
    frame: Layout,
    report: FoodReport,
    refuse: String,
    objections: Vec<ObjectionLine>,
    warnings: Vec<String>,
    good_for: Vec<[String; 3]>,
    two_cubes: String,
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
pub(in crate::web) fn show(visit: &PageRequest<'_>) -> Result<Reply, PageError> {
    let id: FoodId = visit.part("food")?;
    let pantry = visit.kitchen.pantry(&visit.place)?;
    let food = pantry
        .foods(std::slice::from_ref(&id))?
        .pop()
        .flatten()
        .ok_or(PageError::NotFound)?;
    let age = phrases::age(visit);
    let mut report = FoodReport::new(
        &food,
        &pantry.provenance(&id)?,
        &IntakeTable::builtin()?,
        age,
    )?;
    report.label = pantry.label(&id).map(|label| LabelEntry::new(label, &[]));
    let store = visit.store()?;
    let judge = BookJudge::new(&visit.book.settings, Some(&store), &pantry)?;
    let objections = judge.food(&food, visit.today)?;
    let values = report.food.nutrients.iter().map(|value| Value {
        name: value.plain,
        amount: report.shown(value),
        unit: value.unit,
        origin: value.origin_words(),
    });
    let values: Vec<_> = values.collect();
    Reply::page(&FoodRoom {
        frame: Layout::of(visit, food.name.clone(), "/foods"),
        refuse: report.food.refuse_words(),
        objections: objection_lines(&objections),
        warnings: pantry.warnings([&id]).iter().map(in_words).collect(),
        good_for: report.good_for_rows(),
        two_cubes: decimals(report.two_cubes_g, 0),
        with_origin: values.iter().any(|value| !value.origin.is_empty()),
        values,
        defer: CautionTable::builtin()?.defer().to_string(),
        report,
    })
}
