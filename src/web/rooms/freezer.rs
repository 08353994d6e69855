//! The content of the freezer, the batch to be eaten first on top.

use crate::words::counted;
use std::collections::BTreeMap;

use askama::Template;

use super::phrases::{self, Last};
use crate::household::{Forecast, freezer_objections};
use crate::notebook::{Outlook, Pace};
use crate::report::objection_lines;
use crate::report::{ObjectionLine, PaceReport};
use crate::safety::Objection;
use crate::spoken::Lookup as _;
use crate::web::error::PageError;
use crate::web::layout::Layout;
use crate::web::request::{PageRequest, Reply};
use crate::words::day;

/// The largest number of cubes that are drawn one by one.
const MOST_DRAWN: u32 = 64;
/// Cubes in a row of the drawing.
const ROW: u32 = 16;

#[derive(Template)]
#[template(path = "web/freezer.html")]
struct FreezerPage {
    layout: Layout,
    left: String,
    batches: String,
    pace: String,
    late: Vec<String>,
    /// Objections to a serving of every batch, such as the age of a child, stated once.
    of_all: Vec<ObjectionLine>,
    /// Whether the food data cannot be opened, so that no batch is judged.
    unjudged: bool,
    shelf: Vec<Lying>,
    /// Cubes past their last day are not offered to be eaten.
    past: Vec<Lying>,
    last: Option<Last>,
}

/// A batch as it lies there.
struct Lying {
    id: i64,
    title: String,
    left: u32,
    of: String,
    made: String,
    use_by: String,
    when: String,
    remark: String,
    /// Objections to a serving for a child of the book, the gravest first.
    bars: Vec<ObjectionLine>,
    drawing: Option<Drawing>,
}

/// The cubes of a batch, drawn as they lie in rows: outlines of those that are gone, and those that are left.
struct Drawing {
    width: u32,
    height: u32,
    left: String,
    gone: String,
}

/// Shows the freezer.
pub(in crate::web) fn show(request: &PageRequest<'_>) -> Result<Reply, PageError> {
    let store = request.record()?;
    let forecast = Forecast::of(&request.book, store, request.today, 0)?;
    let (pace, outlook) = (forecast.pace, forecast.outlook());
    let pantry = request
        .foods()
        .inspect_err(|fault| tell(request, fault))
        .ok();
    let mut objections = match &pantry {
        Some(pantry) => freezer_objections(&request.book, store, pantry, request.today)?,
        None => BTreeMap::new(),
    };
    let of_all = of_all(&mut objections);
    let mut lying = |one: &Outlook| {
        let found = objections.remove(&one.stock.batch.id).unwrap_or_default();
        lying(one, &pace, &found)
    };
    let left = outlook.iter().map(|one| one.stock.left).sum::<u32>();
    let (past, shelf): (Vec<_>, Vec<_>) = outlook.iter().partition(|one| one.days_left < 0);
    Reply::page(&FreezerPage {
        layout: Layout::of(request, "Freezer", "/freezer"),
        left: counted(left, "cube"),
        batches: counted(outlook.len(), "batch"),
        pace: PaceReport::of(&forecast).words(),
        of_all: objection_lines(&of_all),
        unjudged: pantry.is_none(),
        late: shelf.iter().filter_map(|one| late(one, &pace)).collect(),
        shelf: shelf.into_iter().map(&mut lying).collect(),
        past: past.into_iter().map(&mut lying).collect(),
        last: phrases::last(request)?,
    })
}

/// Takes out the objections that every batch has for the same child: the reason is the child, and not the batch.
fn of_all(objections: &mut BTreeMap<i64, Vec<Objection>>) -> Vec<Objection> {
    let is_same = |one: &Objection, other: &Objection| {
        one.hazard == other.hazard && one.child == other.child && one.text == other.text
    };
    let first = objections.values().next().cloned().unwrap_or_default();
    let in_each = |one: &Objection| {
        let mut batches = objections.values();
        batches.all(|found| found.iter().any(|other| is_same(one, other)))
    };
    let many = objections.len() > 1;
    let bars = first.into_iter().filter(|one| many && one.bars_a_plan());
    let all: Vec<Objection> = bars.filter(in_each).collect();
    for found in objections.values_mut() {
        found.retain(|one| !all.iter().any(|other| is_same(one, other)));
    }
    let nameless = all.into_iter().map(|one| Objection {
        names: Vec::new(),
        ..one
    });
    nameless.collect()
}

fn tell(request: &PageRequest<'_>, fault: &PageError) {
    if let Some(detail) = fault.detail() {
        request.state.tell(detail);
    }
}

/// The cubes of a batch that will not be eaten in time, in words.
fn late(one: &Outlook, pace: &Pace) -> Option<String> {
    let batch = &one.stock.batch;
    let remark = remark(one, pace);
    (!remark.is_empty()).then(|| format!("{} (#{}): {remark}", batch.title, batch.id))
}

fn remark(one: &Outlook, pace: &Pace) -> String {
    if one.days_left < 0 || one.too_many == 0 || pace.cubes_a_day <= 0.0 {
        return String::new();
    }
    let use_by = day(one.stock.batch.use_by);
    format!(
        "{} will not be eaten by {use_by}",
        counted(one.too_many, "cube")
    )
}

fn lying(one: &Outlook, pace: &Pace, objections: &[Objection]) -> Lying {
    let batch = &one.stock.batch;
    Lying {
        id: batch.id,
        title: batch.title.clone(),
        left: one.stock.left,
        of: counted(batch.cubes, "cube"),
        made: day(batch.day),
        use_by: day(batch.use_by),
        when: phrases::when(one.days_left),
        remark: remark(one, pace),
        bars: bars(objections),
        drawing: drawing(one.stock.left, batch.cubes),
    }
}

/// The objections that bar a serving, as text, the gravest first.
fn bars(objections: &[Objection]) -> Vec<ObjectionLine> {
    let bars: Vec<Objection> = objections
        .iter()
        .filter(|one| one.bars_a_plan())
        .cloned()
        .collect();
    objection_lines(&bars)
}

fn drawing(left: u32, made: u32) -> Option<Drawing> {
    if made == 0 || made > MOST_DRAWN || left > made {
        return None;
    }
    let cube = |n: u32| format!("M{} {}h8v8h-8z", n % ROW * 10 + 1, n / ROW * 10 + 1);
    Some(Drawing {
        width: made.min(ROW) * 10,
        height: made.div_ceil(ROW) * 10,
        left: (0..left).map(cube).collect(),
        gone: (left..made).map(cube).collect(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_cube_is_drawn_once() {
        let drawing = drawing(3, 20).unwrap();
        assert_eq!((drawing.width, drawing.height), (160, 20));
        assert_eq!(drawing.left, "M1 1h8v8h-8zM11 1h8v8h-8zM21 1h8v8h-8z");
        assert_eq!(drawing.gone.matches('M').count(), 17);
        assert!(super::drawing(1, MOST_DRAWN + 1).is_none());
    }
}
