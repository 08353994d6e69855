//! First tastes, allergens, refused foods to offer again, and what the doctor cleared.

use askama::Template;

use super::phrases::{self, Last};
use crate::household::BookJudge;
use crate::notebook::{Child, Clearance};
use crate::report::{CLEARANCE, ObjectionLine, TasteReport, objection_lines};
use crate::spoken::Lookup as _;
use crate::web::{Fields, Layout, Notice, PageAnswer, PageRequest, PageResult, Reply, Wrong};

/// The address of the room.
const PATH: &str = "/tastes";

#[derive(Template)]
#[template(path = "web/tastes.html")]
struct TastesPage {
    layout: Layout,
    children: Vec<ChildTastes>,
    wrong: Wrong,
    last: Option<Last>,
}

/// The foods that a child has tasted.
struct ChildTastes {
    report: TasteReport,
    /// The objections to foods that were offered before, if they were offered again.
    objections: Vec<ObjectionLine>,
}

/// Shows the tastes of the children that are seen.
pub(in crate::web) fn show(request: &PageRequest<'_>) -> PageAnswer {
    Reply::page(&filled(request, Wrong::default())?)
}

/// Records that the doctor cleared a food.
pub(in crate::web) fn clear(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let child = request.book.settings.child(Some(fields.text("child")))?;
    let clearance = Clearance {
        day: request.today,
        child: &child.name,
        food: fields.text("food"),
        words: "",
    };
    let mut wrong = Wrong::default();
    let cleared = request.store()?.clear(&clearance);
    if let Some(cleared) = wrong.take("food", cleared)? {
        let done = format!("{}: the doctor cleared {}.", child.name, cleared.name);
        let notice = Notice {
            more: vec![CLEARANCE.to_string()],
            entry: Some(cleared.entry),
            ..Notice::of(done)
        };
        return Ok(Reply::Done(PATH.into(), notice));
    }
    Reply::wrong(&filled(request, wrong)?)
}

fn filled(request: &PageRequest<'_>, wrong: Wrong) -> PageResult<TastesPage> {
    let children = request.children().iter();
    let children = children.map(|child| of_child(request, child));
    Ok(TastesPage {
        layout: Layout::of(request, "Tastes", PATH),
        children: children.collect::<Result<_, _>>()?,
        wrong,
        last: phrases::last(request)?,
    })
}

fn of_child(request: &PageRequest<'_>, child: &Child) -> PageResult<ChildTastes> {
    let store = request.record()?;
    let record = store.tastes(&child.name, request.today)?;
    let pantry = request.foods()?;
    let judge = BookJudge::new(&request.book.settings, Some(store), &pantry)?;
    let objections = judge.offered(child, request.today)?;
    let drunk = judge.milk_allergens(child, request.today)?;
    let settings = &request.book.settings;
    let report = TasteReport::new(&record, child, settings, (request.today, objections), drunk)?;
    Ok(ChildTastes {
        objections: objection_lines(&report.not_noted()),
        report,
    })
}
