//! Catching up: days of which nothing was written down are recorded as planned, as the day before,
//! or as not known.

use askama::Template;
use jiff::civil::Date;

use super::phrases;
use crate::household::{self, GapAnswer, GapDay, gap_days};
use crate::notebook::Child;
use crate::report::gap_meal_words;
use crate::safety::Objection;
use crate::spoken::Lookup as _;
use crate::web::objections::is_meant;
use crate::web::stopped::stopped;
use crate::web::{
    Fields, Layout, Notice, PageAnswer, PageRequest, PageResult, Reply, ShownObjections, Wrong,
};
use crate::words::{counted, day, joined, sentence};

/// The address of the room.
pub(in crate::web) const HERE: &str = "/catch-up";
/// The beginning of the name of a field, before its day.
const DAY: &str = "day-";

#[derive(Template)]
#[template(path = "web/catch-up.html")]
struct CatchUpPage {
    layout: Layout,
    gaps: Vec<ChildGap>,
    wrong: Wrong,
}

/// The days of a child without entries.
struct ChildGap {
    child: String,
    days: Vec<EmptyDay>,
    /// Whether something was planned on each of them.
    all_planned: bool,
    /// Whether there is a day before the first of them.
    all_before: bool,
}

/// A day without entries, and the meals that may have been eaten on it.
struct EmptyDay {
    on: Date,
    day: String,
    planned: Option<String>,
    before: Option<String>,
}

/// The children that are seen and have days without entries, with these days.
pub(super) fn gaps<'a>(request: &'a PageRequest<'_>) -> PageResult<Vec<(&'a Child, Vec<GapDay>)>> {
    let (store, pantry) = (request.record()?, request.foods()?);
    let mut all = Vec::new();
    for child in request.children() {
        let days = gap_days(&request.book, store, &pantry, (child, request.today))?;
        if !days.is_empty() {
            all.push((child, days));
        }
    }
    Ok(all)
}

/// Lists the days.
pub(in crate::web) fn show(request: &PageRequest<'_>) -> PageAnswer {
    Reply::page(&filled(request, Wrong::default())?)
}

/// Records the answers of the form.
pub(in crate::web) fn record(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let mut wrong = Wrong::default();
    let Some(child) = phrases::child(request, fields, &mut wrong) else {
        return Reply::wrong(&filled(request, wrong)?);
    };
    let (mut store, pantry) = (request.store()?, request.foods()?);
    let gap = gap_days(&request.book, &store, &pantry, (child, request.today))?;
    let answers = answers(&gap, fields);
    if answers.is_empty() {
        wrong.say("days", "Say of at least one day how it was.");
        return Reply::wrong(&filled(request, wrong)?);
    }
    let meant = |found: &[Objection]| is_meant(fields, found);
    let who = (child, request.today);
    let caught = household::catch_up(&request.book, &mut store, &pantry, who, &answers, meant);
    let Some(judged) = wrong.take("days", caught)? else {
        return Reply::wrong(&filled(request, wrong)?);
    };
    let Some(caught) = judged.recorded else {
        return stopped(request, &judged.objections, fields, (HERE, HERE));
    };
    let done = format!(
        "Caught up for {}: {}, {} not known.",
        child.name,
        counted(caught.meals.len(), "meal"),
        counted(caught.not_known.len(), "day")
    );
    let notice = Notice {
        more: vec!["Each entry can be corrected and taken back in History.".into()],
        shown: ShownObjections::of(&judged.objections, &[]),
        warnings: caught
            .warnings
            .iter()
            .map(|words| sentence(words))
            .collect(),
        ..Notice::of(done)
    };
    Ok(Reply::Done("/".into(), notice))
}

/// The answer of the form for each day: one button answers for all days, or each day has its own
/// answer.
fn answers(gap: &[GapDay], fields: &Fields) -> Vec<(Date, GapAnswer)> {
    let answer = |gap_day: &GapDay| {
        let own = fields.text(&format!("{DAY}{}", gap_day.day));
        let word = match fields.text("all") {
            "" => own,
            all => all,
        };
        let answer = match word {
            "planned" => GapAnswer::AsPlanned,
            "before" => GapAnswer::AsDayBefore,
            "unknown" => GapAnswer::NotKnown,
            _ => return None,
        };
        Some((gap_day.day, answer))
    };
    gap.iter().filter_map(answer).collect()
}

fn filled(request: &PageRequest<'_>, wrong: Wrong) -> PageResult<CatchUpPage> {
    let gaps = gaps(request)?;
    let gaps = gaps.into_iter().map(|(child, days)| ChildGap {
        child: child.name.clone(),
        all_planned: days.iter().all(|day| !day.planned.is_empty()),
        all_before: days.first().is_some_and(|day| day.before.is_some()),
        days: days.iter().map(empty_day).collect(),
    });
    Ok(CatchUpPage {
        layout: Layout::of(request, "Catch up", "/"),
        gaps: gaps.collect(),
        wrong,
    })
}

fn empty_day(gap_day: &GapDay) -> EmptyDay {
    let planned = joined(gap_day.planned.iter().map(gap_meal_words), "; ");
    let before = gap_day.before.as_ref().map(|(on, meals)| {
        let meals = joined(meals.iter().map(gap_meal_words), "; ");
        format!("as on {}: {meals}", day(*on))
    });
    EmptyDay {
        on: gap_day.day,
        day: day(gap_day.day),
        planned: (!planned.is_empty()).then_some(planned),
        before,
    }
}
