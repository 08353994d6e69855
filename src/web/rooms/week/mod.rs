//! The week: the plan as a grid, and its pages.

mod cook;
mod held;
mod meal;
mod propose;
mod shop;

use std::sync::Arc;

use askama::Template;
use axum::Router;
use form_urlencoded::Serializer;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::phrases::{self, Last};
use crate::day::{DayReader, DayUse};
use crate::household::{BookJudge, plan_facts, plan_objections};
use crate::notebook::Plan;
use crate::planning::agenda::{Agenda, Outcome};
use crate::planning::facts::{Facts, Span};
use crate::planning::findings::{Finding, advice, findings};
use crate::report::{
    ObjectionLine, cooking_in_words, finding_line, objection_lines, part_in_words, plan_change,
    plan_warnings, spoken_day,
};
use crate::safety::Objection;
use crate::spoken::Lookup as _;
use crate::web::AppState;
use crate::web::error::PageError;
use crate::web::fields::{Fields, Wrong};
use crate::web::layout::Layout;
use crate::web::notice::Notice;
use crate::web::objections::{ShownObjections, is_meant};
use crate::web::request::{PageRequest, Reply};
use crate::web::router::{form, page};
use crate::web::stopped::stopped;
use crate::words::days;
pub(in crate::web) use propose::WeekDraft;

/// The address of the room.
const HERE: &str = "/week";
/// Days of a week, less the first.
const SIX: i32 = 6;
/// A plan is looked at, and made, no farther off than this.
const FARTHEST_DAYS: i32 = 366;

#[derive(Template)]
#[template(path = "web/week.html")]
struct WeekRoom {
    frame: Layout,
    from: Date,
    days: String,
    earlier: Date,
    later: Date,
    grids: Vec<PlanGrid>,
    cooking: Vec<CookDay>,
    findings: Vec<String>,
    advice: Vec<String>,
    objections: Vec<ObjectionLine>,
    last: Option<Last>,
}

/// The plan of one child.
struct PlanGrid {
    child: String,
    meals: Vec<String>,
    rows: Vec<(String, Vec<PlanCell>)>,
}

/// A meal of the plan.
struct PlanCell {
    address: String,
    meal: String,
    parts: Vec<String>,
    became: &'static str,
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
        .route("/week/shop", page(shop::show))
        .route("/week/propose", form(propose::show, propose::work_out))
        .route("/week/proposal/{draft}", form(propose::look, propose::keep))
}

/// Shows the plan of a week.
fn show(visit: &PageRequest<'_>) -> Result<Reply, PageError> {
    let span = span(visit)?;
    let store = visit.store()?;
    let new = Plan::default();
    let facts = plan_facts(&visit.book, &store, visit.foods()?, span, new)?;
    let agenda = Agenda::of(&facts).between(span.from, span.to);
    let children = visit.book.settings.children.iter();
    let within = span.from..=span.to;
    let pantry = visit.foods()?;
    let judge = BookJudge::new(&visit.book.settings, Some(&store), &pantry)?;
    let objections = plan_objections(&judge, &facts, |slot| within.contains(&slot.day))?;
    let lines = |found: &[Finding]| found.iter().map(finding_line).collect();
    Reply::page(&WeekRoom {
        frame: Layout::of(visit, "Week", HERE),
        from: span.from,
        days: days(span.from, span.to),
        earlier: span.from.saturating_sub((SIX + 1).days()),
        later: span.from.saturating_add((SIX + 1).days()),
        grids: children
            .map(|child| grid(&facts, &agenda, &child.name, span))
            .collect(),
        cooking: cooking(&facts, &agenda, span),
        findings: lines(&findings(&facts, span.from, span.to)),
        advice: lines(&advice(&facts, span.from, span.to)),
        objections: objection_lines(&objections),
        last: phrases::last(visit)?,
    })
}

fn cooking(facts: &Facts<'_>, agenda: &Agenda, span: Span) -> Vec<CookDay> {
    let days = span.from.series(1.day()).take_while(|on| *on <= span.to);
    let day = |on| {
        let cooked = agenda.cooking.iter().filter(|one| one.day == on);
        let words: Vec<String> = cooked.map(|one| cooking_in_words(facts, one)).collect();
        CookDay {
            on,
            day: spoken_day(on),
            words: match words.as_slice() {
                [] => "nothing planned".into(),
                words => words.join(", "),
            },
        }
    };
    days.map(day).collect()
}

fn grid(facts: &Facts<'_>, agenda: &Agenda, child: &str, span: Span) -> PlanGrid {
    let meals = &facts.settings.meals;
    let cell = |on: Date, name: &String| {
        let mut planned = agenda.meals.iter();
        let meal = planned
            .find(|one| one.slot.day == on && one.slot.child == child && one.slot.meal == *name);
        let parts = meal.into_iter().flat_map(|meal| &meal.parts);
        PlanCell {
            address: address(on, child, name),
            meal: name.clone(),
            parts: parts.map(|part| part_in_words(facts, part)).collect(),
            became: match meal.map(|meal| meal.outcome) {
                Some(Outcome::Open) if on < facts.today => "Nothing on record",
                Some(outcome) => phrases::became(outcome),
                None => "",
            },
        }
    };
    let days = span.from.series(1.day()).take_while(|on| *on <= span.to);
    let row = |on| {
        let cells = meals.iter().map(|name| cell(on, name));
        (spoken_day(on), cells.collect())
    };
    PlanGrid {
        child: child.to_string(),
        meals: meals.clone(),
        rows: days.map(row).collect(),
    }
}

/// Records what is planned, all for one day, unless an objection stops it; `None` after noting what is wrong with it. `action` is where
/// the form is sent.
fn planned(
    visit: &PageRequest<'_>,
    plan: &Plan,
    on: Date,
    (fields, action): (&Fields, &str),
    wrong: &mut Wrong,
) -> Result<Option<Reply>, PageError> {
    let mut store = visit.store()?;
    let span = Span {
        today: visit.today,
        from: on,
        to: on,
    };
    let before = store.planned(on, on)?;
    // Whatever may go wrong does so before anything is recorded.
    let facts = plan_facts(&visit.book, &store, visit.foods()?, span, plan.clone());
    let Some(facts) = wrong.take("cubes", facts)? else {
        return Ok(None);
    };
    let pantry = visit.foods()?;
    let judge = BookJudge::new(&visit.book.settings, Some(&store), &pantry)?;
    let objections = plan_objections(&judge, &facts, |slot| plan.meals.contains_key(slot))?;
    if objections.iter().any(Objection::is_block) && !is_meant(fields, &objections) {
        return Ok(Some(stopped(visit, &objections, fields, (action, HERE))?));
    }
    let notice = Notice {
        shown: ShownObjections::of(&objections, &[]),
        warnings: plan_warnings(&facts, span, plan),
        entry: store.plan(plan)?,
        ..Notice::of(plan_change(&facts, plan, &before).join(" "))
    };
    Ok(Some(Reply::Done(back(visit.today, on), notice)))
}

/// The week that contains a day.
fn back(today: Date, on: Date) -> String {
    if (today..=today.saturating_add(SIX.days())).contains(&on) {
        HERE.to_string()
    } else {
        format!("{HERE}?from={on}")
    }
}

/// The address of the form of a meal.
fn address(on: Date, child: &str, meal: &str) -> String {
    let mut query = Serializer::new(String::new());
    query.append_pair("on", &on.to_string());
    query.append_pair("meal", meal).append_pair("child", child);
    format!("/week/meal?{}", query.finish())
}

/// Seven days from the day in the address on, or from today.
fn span(visit: &PageRequest<'_>) -> Result<Span, PageError> {
    let from = match visit.asked.query.text("from") {
        "" => visit.today,
        _ => near(visit, &visit.asked.query, "from")?,
    };
    Ok(Span {
        today: visit.today,
        from,
        to: from.saturating_add(SIX.days()),
    })
}

/// A day in an address or a hidden field, perhaps in words; one that is too far away is an address that does not exist.
fn near(visit: &PageRequest<'_>, fields: &Fields, name: &str) -> Result<Date, PageError> {
    let reader = DayReader::new(visit.today, DayUse::Ahead);
    let on = reader.read(fields.text(name));
    let on = on.map_err(|_| PageError::NotFound)?;
    let earliest = visit.today.saturating_sub(FARTHEST_DAYS.days());
    let latest = visit.today.saturating_add(FARTHEST_DAYS.days());
    if (earliest..=latest).contains(&on) {
        Ok(on)
    } else {
        Err(PageError::NotFound)
    }
}
