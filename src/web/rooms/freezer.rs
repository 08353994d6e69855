//! The content of the freezer, the batch to be eaten first on top.

use std::collections::BTreeMap;

use askama::Template;

use super::phrases::{self, Last};
use crate::household::{Forecast, freezer_objections};
use crate::notebook::{Outlook, Pace};
use crate::report::{ObjectionLine, PaceReport, objection_lines};
use crate::safety::Objection;
use crate::spoken::Lookup as _;
use crate::web::{Layout, PageAnswer, PageRequest, Reply};
use crate::words::{counted, day};

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
    /// The objections to a serving of every batch, such as the age of a child, which are shown
    /// once.
    of_all: Vec<ObjectionLine>,
    /// Whether the food data cannot be opened, so that no batch is judged.
    unjudged: bool,
    shelf: Vec<BatchRow>,
    /// Cubes past their last day are not offered to be eaten.
    past: Vec<BatchRow>,
    last: Option<Last>,
}

/// A batch in the freezer.
struct BatchRow {
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

/// The cubes of a batch, drawn as they lie in rows: outlines of those that are gone, and those that
/// are left.
struct Drawing {
    width: u32,
    height: u32,
    left: String,
    gone: String,
}

/// Shows the freezer.
pub(in crate::web) fn show(request: &PageRequest<'_>) -> PageAnswer {
    let store = request.record()?;
    let forecast = Forecast::of(&request.book, store, request.today, 0)?;
    let (pace, outlook) = (forecast.pace, forecast.outlook());
    let pantry = request
        .foods()
        .inspect_err(|fault| request.state.tell_of(fault))
        .ok();
    let mut objections = match &pantry {
        Some(pantry) => freezer_objections(&request.book, store, pantry, request.today)?,
        None => BTreeMap::new(),
    };
    let of_all = of_all(&mut objections);
    let mut row = |outlook: &Outlook| {
        let batch = outlook.stock.batch.id;
        let found = objections.remove(&batch).unwrap_or_default();
        batch_row(outlook, &pace, &found)
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
        shelf: shelf.into_iter().map(&mut row).collect(),
        past: past.into_iter().map(&mut row).collect(),
        last: phrases::last(request)?,
    })
}

/// Removes and returns the objections that every batch has for the same child: their reason is the
/// child, not the batch.
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

/// The cubes of a batch that will not be eaten in time, in words.
fn late(outlook: &Outlook, pace: &Pace) -> Option<String> {
    let batch = &outlook.stock.batch;
    let remark = remark(outlook, pace);
    (!remark.is_empty()).then(|| format!("{} (#{}): {remark}", batch.title, batch.id))
}

/// The remark on cubes that will not be eaten in time; empty where all will be.
fn remark(outlook: &Outlook, pace: &Pace) -> String {
    if outlook.days_left < 0 || outlook.too_many == 0 || pace.cubes_a_day <= 0.0 {
        return String::new();
    }
    let use_by = day(outlook.stock.batch.use_by);
    format!(
        "{} will not be eaten by {use_by}",
        counted(outlook.too_many, "cube")
    )
}

fn batch_row(outlook: &Outlook, pace: &Pace, objections: &[Objection]) -> BatchRow {
    let batch = &outlook.stock.batch;
    BatchRow {
        id: batch.id,
        title: batch.title.clone(),
        left: outlook.stock.left,
        of: counted(batch.cubes, "cube"),
        made: day(batch.day),
        use_by: day(batch.use_by),
        when: phrases::when(outlook.days_left),
        remark: remark(outlook, pace),
        bars: bars(objections),
        drawing: drawing(outlook.stock.left, batch.cubes),
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

/// The drawing of a batch of `made` cubes; `None` where they are too many.
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
