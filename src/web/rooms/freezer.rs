//! What lies in the freezer, what is to be eaten first on top.

use askama::Template;

use super::words::{self, Last, counted, day};
use crate::household::USUAL_SERVING;
use crate::notebook::{Outlook, Pace};
use crate::report::PaceReport;
use crate::web::fault::Fault;
use crate::web::frame::Frame;
use crate::web::visit::{Answer, Visit};

/// More cubes than this are not drawn one by one.
const MOST_DRAWN: u32 = 64;
/// Cubes in a row of the drawing.
const ROW: u32 = 16;

#[derive(Template)]
#[template(path = "web/freezer.html")]
struct FreezerPage {
    frame: Frame,
    left: String,
    batches: String,
    pace: String,
    late: Vec<String>,
    shelf: Vec<Lying>,
    /// What is past its last day is not offered to be eaten.
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
pub(in crate::web) fn show(visit: &Visit<'_>) -> Result<Answer, Fault> {
    let store = visit.store()?;
    let pace = store.pace(&visit.book.settings, visit.today, USUAL_SERVING)?;
    let outlook = pace.outlook(&store.stock()?, visit.today);
    let left = outlook.iter().map(|one| one.stock.left).sum();
    let batches = u32::try_from(outlook.len()).unwrap_or(u32::MAX);
    let (past, shelf): (Vec<_>, Vec<_>) = outlook.iter().partition(|one| one.days_left < 0);
    Answer::page(&FreezerPage {
        frame: Frame::of(visit, "Freezer", "/freezer"),
        left: counted(left, "cube"),
        batches: if batches == 1 {
            "1 batch".into()
        } else {
            format!("{batches} batches")
        },
        pace: PaceReport::from(&pace).words(),
        late: shelf.iter().filter_map(|one| late(one, &pace)).collect(),
        shelf: shelf.into_iter().map(|one| lying(one, &pace)).collect(),
        past: past.into_iter().map(|one| lying(one, &pace)).collect(),
        last: words::last(visit)?,
    })
}

/// What of a batch will not be eaten in time.
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

fn lying(one: &Outlook, pace: &Pace) -> Lying {
    let batch = &one.stock.batch;
    Lying {
        id: batch.id,
        title: batch.title.clone(),
        left: one.stock.left,
        of: counted(batch.cubes, "cube"),
        made: day(batch.day),
        use_by: day(batch.use_by),
        when: words::when(one.days_left),
        remark: remark(one, pace),
        drawing: drawing(one.stock.left, batch.cubes),
    }
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
