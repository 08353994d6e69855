//! A proposal for the week: asked for, looked at with its reasons, and kept or not.

use std::collections::BTreeSet;
use std::path::PathBuf;

use askama::Template;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::{HERE, SIX, near, span};
use crate::household::{Wish, propose_week};
use crate::notebook::{Child, Plan};
use crate::report::objection_lines;
use crate::report::{ObjectionLine, ProposalReport, ProposedCooking, spoken_day};
use crate::web::error::PageError;
use crate::web::fields::{Fields, Wrong};
use crate::web::layout::Layout;
use crate::web::notice::Notice;
use crate::web::request::{PageRequest, Reply};
use crate::web::rooms::phrases::SelectOption;
use crate::words;

/// The prefix of a field for a day of cooking.
const COOK: &str = "cook-";
/// The largest number of trays a day that is accepted.
const MOST_TRAYS: u32 = 20;

/// A proposal that nobody kept yet.
#[derive(Debug, Clone)]
pub(in crate::web) struct WeekDraft {
    folder: PathBuf,
    /// The last entry of the record it was worked out from.
    after: Option<i64>,
    plan: Plan,
    report: ProposalReport,
}

#[derive(Template)]
#[template(path = "web/week-propose.html")]
struct ProposePage {
    frame: Layout,
    from: Date,
    days: String,
    /// The days on which there may be time to cook; the value is the name of the field.
    cook: Vec<SelectOption>,
    trays: String,
    wrong: Wrong,
}

#[derive(Template)]
#[template(path = "web/week-proposal.html")]
struct ProposalPage<'a> {
    frame: Layout,
    draft: String,
    days: String,
    report: &'a ProposalReport,
    objections: Vec<ObjectionLine>,
    grids: Vec<ProposalGrid>,
    gaps: Vec<String>,
    cooking: Vec<String>,
}

/// The proposal for one child.
struct ProposalGrid {
    child: String,
    meals: Vec<String>,
    rows: Vec<(String, Vec<ProposalCell>)>,
}

/// A meal of the proposal: what it is called, what it is to be, and why.
struct ProposalCell {
    meal: String,
    what: String,
    why: String,
}

/// Shows the form.
pub(super) fn show(visit: &PageRequest<'_>) -> Result<Reply, PageError> {
    let from = span(visit)?.from;
    let first = Fields::parse(b"trays=2");
    Reply::page(&filled(visit, from, &first, Wrong::default()))
}

/// Works a proposal out. Nothing is recorded.
pub(super) fn work_out(visit: &PageRequest<'_>, fields: &Fields) -> Result<Reply, PageError> {
    let from = near(visit, fields, "from")?;
    let to = from.saturating_add(SIX.days());
    let mut wrong = Wrong::default();
    let trays = fields.text("trays").parse().ok();
    let trays = trays.filter(|trays| (1..=MOST_TRAYS).contains(trays));
    if trays.is_none() {
        wrong.say("trays", format!("Say how many trays: 1 to {MOST_TRAYS}."));
        return Reply::wrong(&filled(visit, from, fields, wrong));
    }
    let cook = fields.beginning(COOK).map(|(on, _)| on.parse());
    let cook: Result<BTreeSet<Date>, _> = cook.collect();
    let cook_days = cook.map_err(|_| PageError::NotFound)?;
    let wish = Wish {
        today: visit.today,
        days: (from, to),
        children: visit.book.settings.children.iter().collect(),
        cook_days: cook_days
            .into_iter()
            .filter(|on| (from..=to).contains(on))
            .collect(),
        trays_a_day: trays,
    };
    let _turn = visit.kitchen.proposing()?;
    let store = visit.store()?;
    let after = store.last_number()?;
    let week = wrong.check("from", propose_week(visit, &visit.book, &store, &wish))?;
    let Some(week) = week else {
        return Reply::wrong(&filled(visit, from, fields, wrong));
    };
    let report = ProposalReport::new(&week.request, &week.proposal, week.objections, false);
    let draft = WeekDraft {
        folder: visit.place.folder.clone(),
        after,
        plan: week.plan,
        report,
    };
    let name = visit
        .kitchen
        .drafts()
        .keep(draft)
        .map_err(PageError::broken)?;
    Ok(Reply::See(format!("/week/proposal/{name}")))
}

/// Shows a proposal.
pub(super) fn look(visit: &PageRequest<'_>) -> Result<Reply, PageError> {
    let name: String = visit.part("draft")?;
    let Some(draft) = draft(visit, &name) else {
        return Ok(Reply::See("/week/propose".into()));
    };
    let report = &draft.report;
    let days: Vec<String> = [report.from, report.to]
        .into_iter()
        .flatten()
        .map(words::day)
        .collect();
    Reply::page(&ProposalPage {
        frame: Layout::of(visit, "A proposal", HERE),
        draft: name,
        days: days.join(" to "),
        objections: objection_lines(&report.objections),
        grids: grids(visit, report),
        gaps: report.gap_lines(),
        cooking: report.cooking.iter().map(ProposedCooking::line).collect(),
        report,
    })
}

/// Records a proposal as the plan: the one that was shown, while the record is as it was.
pub(super) fn keep(visit: &PageRequest<'_>, _: &Fields) -> Result<Reply, PageError> {
    let name: String = visit.part("draft")?;
    let mut store = visit.store()?;
    let after = store.last_number()?;
    let draft = draft(visit, &name).filter(|draft| draft.after == after);
    let Some(draft) = draft else {
        let words =
            "Nothing was planned: the record was changed since that proposal. Ask for another.";
        return Ok(Reply::Done("/week/propose".into(), Notice::of(words)));
    };
    let notice = Notice {
        entry: store.plan(&draft.plan)?,
        ..Notice::of("The proposal is the plan.")
    };
    let from = draft.report.from.unwrap_or(visit.today);
    Ok(Reply::Done(format!("{HERE}?from={from}"), notice))
}

/// A proposal of the household that is looked at.
fn draft(visit: &PageRequest<'_>, name: &str) -> Option<WeekDraft> {
    let draft = visit.kitchen.drafts().named(name)?;
    (draft.folder == visit.place.folder).then_some(draft)
}

/// The proposal as the week shows a plan: a row for each day, and the reason beside each meal.
fn grids(visit: &PageRequest<'_>, report: &ProposalReport) -> Vec<ProposalGrid> {
    let days: Vec<Date> = match (report.from, report.to) {
        (Some(from), Some(to)) => from.series(1.day()).take_while(|on| *on <= to).collect(),
        _ => Vec::new(),
    };
    let meals = &visit.book.settings.meals;
    let children = visit.book.settings.children.iter();
    let grid = |child: &Child| {
        let cell = |on: Date, meal: &String| ProposalCell {
            meal: meal.clone(),
            what: report.cell(&child.name, on, meal),
            why: report.why(&child.name, on, meal),
        };
        let row = |on: &Date| {
            let cells = meals.iter().map(|meal| cell(*on, meal));
            (spoken_day(*on), cells.collect())
        };
        ProposalGrid {
            child: child.name.clone(),
            meals: meals.clone(),
            rows: days.iter().map(row).collect(),
        }
    };
    children.map(grid).collect()
}

fn filled(visit: &PageRequest<'_>, from: Date, fields: &Fields, wrong: Wrong) -> ProposePage {
    let to = from.saturating_add(SIX.days());
    let days = from.series(1.day()).take_while(|on| *on <= to);
    let cook = days.map(|on| {
        let name = format!("{COOK}{on}");
        let chosen = !fields.text(&name).is_empty();
        SelectOption {
            value: name,
            label: spoken_day(on),
            chosen,
        }
    });
    ProposePage {
        frame: Layout::of(visit, "Propose a week", HERE),
        from,
        days: words::days(from, to),
        cook: cook.collect(),
        trays: fields.text("trays").to_string(),
        wrong,
    }
}
