//! Pages to print: labels for the freezer, and the card of a recipe for the wall.

use super::cook::{self, Pot};
use super::phrases;
use crate::household::{BookJudge, calculated};
use crate::problem::Problem;
use crate::report::{
    BatchReport, BatchTables, BatchView, KitchenCard, Label, LabelPages, LabelSheet, Paper,
};
use crate::web::{PageAnswer, PageError, PageRequest, Reply, Wrong};

/// The name and version of the program, for the foot of a printed page.
pub(super) const PROGRAM: &str = concat!("trayful ", env!("CARGO_PKG_VERSION"));

/// The paper that the address asks for.
pub(super) fn paper(request: &PageRequest<'_>) -> Paper {
    match request.address.query.text("paper") {
        "letter" => Paper::Letter,
        _ => Paper::A4,
    }
}

/// A label for every batch in the freezer, or for one.
pub(in crate::web) fn labels(request: &PageRequest<'_>) -> PageAnswer {
    let sheets = LabelSheet::builtin()?;
    let name = request.address.query.text("sheet");
    let sheet = sheets.iter().find(|sheet| sheet.name == name);
    let sheet = sheet.or(sheets.first()).ok_or(PageError::NotFound)?;
    let only: Option<i64> = request.address.query.text("batch").parse().ok();
    let store = request.record()?;
    let stock = store.stock()?.into_iter().map(|stock| stock.batch);
    let batches = stock.filter(|batch| only.is_none_or(|only| batch.id == only));
    let batches = batches.collect::<Vec<_>>();
    if batches.is_empty() {
        return Err(Problem::new("there is nothing in the freezer to label").into());
    }
    let pantry = request.state.pantry(&request.place)?;
    let judge = BookJudge::new(&request.book.settings, Some(store), &pantry)?;
    let judged = judge.batches(store, &batches, request.today)?;
    let mut labels = Vec::with_capacity(batches.len());
    for (batch, objections) in batches.into_iter().zip(&judged) {
        let allergens = store.allergens_of(batch.id)?;
        labels.push(Label::new(batch, allergens, objections));
    }
    let pages = LabelPages {
        labels: &labels,
        sheet,
        start: 1,
        test_page: false,
    };
    Ok(Reply::Sheet(pages.render()?, "/freezer".into()))
}

/// The card of a recipe in a pot.
pub(in crate::web) fn card(request: &PageRequest<'_>) -> PageAnswer {
    let (name, recipe) = cook::of_address(request)?;
    let pot = Pot::of(request, &request.address.query).or_as(&recipe);
    let recipe = recipe.with_liquid(&pot.returned, &pot.added)?;
    let mut wrong = Wrong::default();
    let Some((tray, target)) = pot.measures(&mut wrong) else {
        return Err(Problem::new("there is no such tray, or no such number of them").into());
    };
    let pantry = request.state.pantry(&request.place)?;
    let batch = calculated(&recipe, &target, &tray, &pantry)?;
    let store = request.record()?;
    let judge = BookJudge::new(&request.book.settings, Some(store), &pantry)?;
    let objections = judge.batch(&batch, &tray, request.today, None)?;
    let view = BatchView {
        tray: &tray,
        age: phrases::age(request),
        energy: None,
        cost: None,
        objections: &objections,
        lacks: None,
        tables: &BatchTables::builtin()?,
    };
    let card = KitchenCard {
        target: &target,
        paper: paper(request),
        program: PROGRAM,
    };
    let report = BatchReport::new(&batch, &view);
    let back = format!("/cook/recipe/{name}?{}", pot.query().replace('&', "&amp;"));
    Ok(Reply::Sheet(card.render(&report, &batch, &view)?, back))
}
