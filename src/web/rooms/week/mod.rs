//! The week: the plan as a grid, and its pages.

mod cook;
mod grid;
mod held;
mod meal;
mod proposal;
mod propose;
mod shop;

use std::sync::Arc;

use askama::Template;
use axum::Router;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::phrases::{self, Last};
use crate::day::{DayReader, DayUse};
use crate::food::Pantry;
use crate::household::{BookJudge, eaten_week, objections_to_plan, plan_facts, plan_objections};
use crate::notebook::{Child, Plan};
use crate::planning::agenda::Agenda;
use crate::planning::facts::{Facts, Span};
use crate::planning::findings::{Finding, advice, findings};
use crate::report::{
    ObjectionLine, cooking_in_words, finding_line, iron_at_a_glance, objection_lines, plan_change,
    plan_warnings, spoken_day,
};
use crate::safety::Objection;
use crate::spoken::Lookup as _;
use crate::web::fields::with_query;
use crate::web::objections::is_meant;
use crate::web::router::{form, form_route, page};
use crate::web::stopped::stopped_plan;
use crate::web::{
    AppState, Fields, Layout, Notice, PageAnswer, PageError, PageRequest, PageResult, Reply,
    ShownObjections, Wrong,
};
use crate::words::days;
use grid::{GridSource, PlanGrid};
pub(in crate::web) use proposal::WeekDraft;

/// The address of the room.
const HERE: &str = "/week";
/// Days of a week.
const DAYS_OF_WEEK: i32 = 7;
/// Days of two weeks.
const DAYS_OF_FORTNIGHT: i32 = 14;
/// The days after a week in which more may be written down of its meals (judgement).
const SEEN_LATER_DAYS: i32 = 14;
/// The most days from today to a day whose plan is shown or made (judgement).
const FARTHEST_DAYS: i32 = 366;

#[derive(Template)]
#[template(path = "web/week.html")]
struct WeekRoom {
    layout: Layout,
    from: Date,
    /// The first day that can be planned.
    ahead: Option<Date>,
    days: String,
    earlier: Date,
    later: Date,
    /// Whether the week is not that of today.
    elsewhere: bool,
    /// The iron of an average day on record, by child.
    iron: Vec<(String, String)>,
    /// The page for the paediatrician about this week, by child.
    visits: Vec<(String, String)>,
    grids: Vec<PlanGrid>,
    cooking: Vec<CookDay>,
    findings: Vec<String>,
    advice: Vec<String>,
    objections: Vec<ObjectionLine>,
    last: Option<Last>,
}

/// A day, and what is to be cooked on it.
struct CookDay {
    on: Date,
    day: String,
    words: String,
}

/// The addresses of this room.
pub(in crate::web) fn routes() -> Router<Arc<AppState>> {
    Router::new()
        .route(HERE, page(show))
        .route("/week/meal", form(meal::show, meal::record))
        .route("/week/cook", form(cook::show, cook::record))
        .route("/week/held", page(held::show))
        .route("/week/shop", form(shop::show, shop::tick))
        .route("/week/shop/text", page(shop::text))
        .route("/week/propose", form(propose::show, propose::work_out))
        .route(
            "/week/proposal/{draft}",
            form(proposal::look, proposal::keep),
        )
        .route(
            "/week/proposal/{draft}/meal",
            form(proposal::meal, proposal::change),
        )
        .route(
            "/week/proposal/{draft}/without",
            form_route(proposal::without),
        )
}

/// Shows the plan of a week.
fn show(request: &PageRequest<'_>) -> PageAnswer {
    let span = week_of(request.today, first_day(request)?);
    let store = request.record()?;
    let new = Plan::default();
    let facts = plan_facts(&request.book, store, request.foods()?, span, new)?;
    let agenda = Agenda::of(&facts).between(span.from, span.to);
    let children = request.children().iter();
    let within = span.from..=span.to;
    let pantry = request.foods()?;
    let judge = BookJudge::new(&request.book.settings, Some(store), &pantry)?;
    let objections = plan_objections(
        &judge,
        &facts,
        |slot| within.contains(&slot.day) && request.is_seen(&slot.child),
        |day| within.contains(&day),
    )?;
    let is_shown = |objection: &Objection| request.is_seen(&objection.child);
    let objections: Vec<Objection> = objections.into_iter().filter(is_shown).collect();
    let lines = |found: &[Finding]| {
        let seen = found
            .iter()
            .filter(|finding| request.is_seen(&finding.child));
        seen.map(finding_line).collect()
    };
    // What was seen after a meal may be written down days later.
    let last = span.to.saturating_add(SEEN_LATER_DAYS.days());
    let log = store.log((span.from, last.min(request.today)), false)?;
    let stops: Vec<&Objection> = objections.iter().filter(|one| one.is_block()).collect();
    Reply::page(&WeekRoom {
        layout: Layout::of(request, "Week", HERE),
        from: span.from,
        ahead: (span.to >= request.today).then(|| span.from.max(request.today)),
        elsewhere: !within.contains(&request.today),
        visits: visits(request, span)?,
        iron: iron(request, &pantry, span)?,
        days: days(span.from, span.to),
        earlier: span.from.saturating_sub(DAYS_OF_WEEK.days()),
        later: span.from.saturating_add(DAYS_OF_WEEK.days()),
        grids: children
            .map(|child| {
                let source = GridSource {
                    facts: &facts,
                    agenda: &agenda,
                    child: &child.name,
                    log: &log,
                    objections: &stops,
                };
                source.grid(span)
            })
            .collect(),
        cooking: cooking(&facts, &agenda, span),
        findings: lines(&findings(&facts, span.from, span.to)),
        advice: lines(&advice(&facts, span.from, span.to)),
        objections: objection_lines(&objections),
        last: phrases::last(request)?,
    })
}

/// The days on which something is cooked, and those still to come.
fn cooking(facts: &Facts<'_>, agenda: &Agenda, span: Span) -> Vec<CookDay> {
    let days = span.from.series(1.day()).take_while(|on| *on <= span.to);
    let is_cooked = |on| agenda.cooking.iter().any(|cooking| cooking.day == on);
    let days = days.filter(|on| *on >= span.today || is_cooked(*on));
    let day = |on| {
        let cooked = agenda.cooking.iter().filter(|cooking| cooking.day == on);
        let words: Vec<String> = cooked
            .map(|cooking| cooking_in_words(facts, cooking))
            .collect();
        CookDay {
            on,
            day: spoken_day(on),
            words: words.join(", "),
        }
    };
    days.map(day).collect()
}

/// Monday to Sunday around a day.
fn week_of(today: Date, day: Date) -> Span {
    let after_monday = i64::from(day.weekday().to_monday_zero_offset());
    span_from(today, day.saturating_sub(after_monday.days()))
}

/// The iron of an average day of the week as far as it is on record, by child that is seen.
fn iron(
    request: &PageRequest<'_>,
    pantry: &Pantry,
    span: Span,
) -> PageResult<Vec<(String, String)>> {
    let to = span.to.min(request.today);
    let born = request.children().iter();
    let born = born.filter(|child| child.born <= span.from && span.from <= to);
    let mut all = Vec::new();
    for child in born {
        let kept = eaten_week(request.record()?, pantry, child, (span.from, to))?;
        if let Some(words) = iron_at_a_glance(&kept.week) {
            all.push((child.name.clone(), words));
        }
    }
    Ok(all)
}

/// The addresses of the page for the paediatrician, for each child with a meal on record in its
/// days: the week that is shown, or the two weeks up to today where that is this week.
fn visits(request: &PageRequest<'_>, span: Span) -> PageResult<Vec<(String, String)>> {
    let store = request.record()?;
    let to = span.to.min(request.today);
    let from = if to == request.today {
        to.saturating_sub((DAYS_OF_FORTNIGHT - 1).days())
    } else {
        span.from
    };
    if from > to {
        return Ok(Vec::new());
    }
    let log = store.log((from, to), false)?;
    let fed = |child: &&Child| {
        let mut meals = log.iter().filter(|entry| entry.kind == "meal");
        child.born <= from && meals.any(|entry| entry.child == child.name)
    };
    let children = request.children().iter().filter(fed);
    let address = |child: &Child| {
        let [from, to] = [from, to].map(|day| day.to_string());
        let fields = [("child", &child.name), ("from", &from), ("to", &to)];
        (child.name.clone(), with_query("/visit/page", fields))
    };
    Ok(children.map(address).collect())
}

/// Records a plan for one day, unless an objection blocks it; `None` after noting what is wrong
/// with it. `action` is the address to which the form is sent.
fn planned(
    request: &PageRequest<'_>,
    plan: &Plan,
    on: Date,
    (fields, action): (&Fields, &str),
    wrong: &mut Wrong,
) -> PageResult<Option<Reply>> {
    let mut store = request.store()?;
    let span = Span {
        today: request.today,
        from: on,
        to: on,
    };
    let before = store.planned(on, on)?;
    // Whatever may go wrong does so before anything is recorded.
    let facts = plan_facts(&request.book, &store, request.foods()?, span, plan.clone());
    let Some(facts) = wrong.take("cubes", facts)? else {
        return Ok(None);
    };
    let pantry = request.foods()?;
    let judge = BookJudge::new(&request.book.settings, Some(&store), &pantry)?;
    let objections = objections_to_plan(&judge, &facts, plan)?;
    if objections.iter().any(Objection::is_block) && !is_meant(fields, &objections) {
        let back = phrases::filled_in(action, fields).unwrap_or_else(|| HERE.into());
        let form = (fields, action, back.as_str());
        return stopped_plan(request, &objections, HERE, form).map(Some);
    }
    let notice = Notice {
        shown: ShownObjections::of(&objections, &[]),
        warnings: plan_warnings(&facts, span, plan),
        entry: store.plan(plan)?,
        ..Notice::of(plan_change(&facts, plan, &before).join(" "))
    };
    Ok(Some(Reply::Done(back(request.today, on), notice)))
}

/// The address of the week that contains a day.
fn back(today: Date, on: Date) -> String {
    let week = week_of(today, today);
    if (week.from..=week.to).contains(&on) {
        HERE.to_string()
    } else {
        format!("{HERE}?from={on}")
    }
}

/// The address of a page about a meal of a child on a day.
fn slot_address(path: &str, on: Date, child: &str, meal: &str) -> String {
    let on = on.to_string();
    with_query(
        path,
        [("on", on.as_str()), ("meal", meal), ("child", child)],
    )
}

/// Seven days, from the day in the address or from today.
fn span(request: &PageRequest<'_>) -> PageResult<Span> {
    Ok(span_from(request.today, first_day(request)?))
}

/// The day in the address, else today.
fn first_day(request: &PageRequest<'_>) -> PageResult<Date> {
    match request.address.query.text("from") {
        "" => Ok(request.today),
        _ => near(request, &request.address.query, "from"),
    }
}

/// Seven days, from `from`.
fn span_from(today: Date, from: Date) -> Span {
    Span {
        today,
        from,
        to: from.saturating_add((DAYS_OF_WEEK - 1).days()),
    }
}

/// A day in an address or a hidden field, perhaps in words; one that is too far away is an address
/// that does not exist.
fn near(request: &PageRequest<'_>, fields: &Fields, name: &str) -> PageResult<Date> {
    let reader = DayReader::new(request.today, DayUse::Ahead);
    let on = reader.read(fields.text(name));
    let on = on.map_err(|_| PageError::NotFound)?;
    let earliest = request.today.saturating_sub(FARTHEST_DAYS.days());
    let latest = request.today.saturating_add(FARTHEST_DAYS.days());
    if (earliest..=latest).contains(&on) {
        Ok(on)
    } else {
        Err(PageError::NotFound)
    }
}
