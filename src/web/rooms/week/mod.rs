//! The week: the plan as a grid, and its pages.

mod cook;
mod held;
mod meal;
mod proposal;
mod propose;
mod shop;

use std::sync::Arc;

use askama::Template;
use axum::Router;
use form_urlencoded::Serializer;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::at_hand::is_refused;
use super::phrases::{self, Last};
use crate::day::{DayReader, DayUse};
use crate::food::Pantry;
use crate::household::{BookJudge, eaten_week, objections_to_plan, plan_facts, plan_objections};
use crate::notebook::{Child, EntryDetail, LogEntry, Plan, Store};
use crate::planning::agenda::{Agenda, AgendaMeal, AgendaPart, Outcome};
use crate::planning::facts::{Facts, Span};
use crate::planning::findings::{Finding, advice, findings};
use crate::report::{
    ObjectionLine, cooking_in_words, eaten_words, finding_line, iron_at_a_glance, is_stopped,
    objection_lines, part_in_words, plan_change, plan_warnings, spoken_day,
};
use crate::safety::{Objection, tells_of_reaction};
use crate::spoken::Lookup as _;
use crate::web::AppState;
use crate::web::error::PageError;
use crate::web::fields::{Fields, Wrong};
use crate::web::layout::Layout;
use crate::web::notice::Notice;
use crate::web::objections::{ShownObjections, is_meant};
use crate::web::request::{PageRequest, Reply};
use crate::web::router::{form, form_route, page};
use crate::web::stopped::stopped_plan;
use crate::words::{days, joined};
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

/// The week of one child: what was eaten, what is planned, and what is free.
struct PlanGrid {
    child: String,
    meals: Vec<String>,
    rows: Vec<WeekRow>,
}

/// A day of the week.
struct WeekRow {
    day: String,
    today: bool,
    /// Whether nothing is planned and nothing on record.
    free: bool,
    cells: Vec<PlanCell>,
    /// Meals on record under no name of the book.
    others: Vec<(String, String)>,
}

/// A meal of the week.
struct PlanCell {
    address: String,
    meal: String,
    /// What was eaten, or what is planned.
    parts: Vec<String>,
    /// What it looks like, as a class: on record and eaten, not eaten, or followed by a reaction;
    /// planned and stopped; empty for any other.
    state: &'static str,
    became: &'static str,
    /// What an empty cell says.
    empty: &'static str,
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
fn show(request: &PageRequest<'_>) -> Result<Reply, PageError> {
    let from = match request.address.query.text("from") {
        "" => request.today,
        _ => near(request, &request.address.query, "from")?,
    };
    let span = week_of(request.today, from);
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
        visits: visits(request, store, span)?,
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
    let from = day.saturating_sub(i64::from(day.weekday().to_monday_zero_offset()).days());
    Span {
        today,
        from,
        to: from.saturating_add((DAYS_OF_WEEK - 1).days()),
    }
}

/// The iron of an average day of the week as far as it is on record, by child that is seen.
fn iron(
    request: &PageRequest<'_>,
    pantry: &Pantry,
    span: Span,
) -> Result<Vec<(String, String)>, PageError> {
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
fn visits(
    request: &PageRequest<'_>,
    store: &Store,
    span: Span,
) -> Result<Vec<(String, String)>, PageError> {
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
        let mut query = Serializer::new(String::new());
        query.append_pair("child", &child.name);
        query.append_pair("from", &from.to_string());
        query.append_pair("to", &to.to_string());
        (
            child.name.clone(),
            format!("/visit/page?{}", query.finish()),
        )
    };
    Ok(children.map(address).collect())
}

/// What the grid of one child is made from.
struct GridSource<'a> {
    facts: &'a Facts<'a>,
    agenda: &'a Agenda,
    child: &'a str,
    /// The entries of the week, and of the days after it, on which more may have been seen.
    log: &'a [LogEntry],
    /// What stops planned meals.
    objections: &'a [&'a Objection],
}

impl<'a> GridSource<'a> {
    fn grid(&self, span: Span) -> PlanGrid {
        let days = span.from.series(1.day()).take_while(|on| *on <= span.to);
        PlanGrid {
            child: self.child.to_string(),
            meals: self.facts.settings.meals.clone(),
            rows: days.map(|on| self.row(on)).collect(),
        }
    }

    /// The meals of the child on record on a day, each with its name.
    fn eaten(&self, on: Date) -> impl Iterator<Item = (&'a String, &'a LogEntry)> {
        let child = self.child;
        let of_day = self
            .log
            .iter()
            .filter(move |entry| entry.day == on && entry.child == child);
        of_day.filter_map(|entry| match &entry.detail {
            EntryDetail::Meal { meal, .. } => Some((meal, entry)),
            _ => None,
        })
    }

    fn row(&self, on: Date) -> WeekRow {
        let meals = &self.facts.settings.meals;
        let cells: Vec<PlanCell> = meals.iter().map(|name| self.cell(on, name)).collect();
        let others = self.eaten(on).filter(|(meal, _)| !meals.contains(meal));
        let others: Vec<_> = others
            .map(|(_, entry)| (entry_address(entry), self.words_of(entry)))
            .collect();
        WeekRow {
            day: spoken_day(on),
            today: on == self.facts.today,
            free: others.is_empty() && cells.iter().all(|cell| cell.parts.is_empty()),
            cells,
            others,
        }
    }

    /// What was seen after a meal and written down later.
    fn seen_later(&self, meal: &LogEntry) -> impl Iterator<Item = &'a str> {
        let target = meal.target;
        self.log
            .iter()
            .filter_map(move |entry| match &entry.detail {
                EntryDetail::Reaction { meal, words } if *meal == target => Some(words.as_str()),
                _ => None,
            })
    }

    /// What was eaten at a meal on record, and all that was seen after it.
    fn words_of(&self, entry: &LogEntry) -> String {
        let eaten = eaten_words(entry).unwrap_or_default();
        let seen = self
            .seen_later(entry)
            .map(|words| format!("seen later: {words}"));
        joined([eaten].into_iter().chain(seen), "; ")
    }

    fn is_noted(&self, entry: &LogEntry) -> bool {
        let with_it = match &entry.detail {
            EntryDetail::Meal { reaction, .. } => reaction.as_str(),
            _ => "",
        };
        tells_of_reaction(with_it) || self.seen_later(entry).any(tells_of_reaction)
    }

    /// What a cell looks like, by its meals on record and its planned meal.
    fn state(&self, eaten: &[&LogEntry], planned: Option<&AgendaMeal>) -> &'static str {
        if eaten.iter().any(|entry| self.is_noted(entry)) {
            "noted"
        } else if eaten.is_empty() {
            let open = planned.filter(|meal| meal.outcome == Outcome::Open);
            let stopped = open.is_some_and(|meal| self.is_stopped(meal));
            if stopped { "noted" } else { "" }
        } else if eaten.iter().all(|entry| is_refused(entry)) {
            "refused"
        } else {
            "eaten"
        }
    }

    /// Whether a part of a planned meal is stopped for the child.
    fn is_stopped(&self, meal: &AgendaMeal) -> bool {
        let stops = || self.objections.iter().filter(|one| one.child == self.child);
        meal.parts.iter().any(|part| match part {
            AgendaPart::Cubes(pick, taken) => is_stopped(self.facts, &meal.slot, (pick, taken)),
            AgendaPart::Food(food) => stops().any(|stop| stop.foods.contains(&food.id.to_string())),
        })
    }

    fn cell(&self, on: Date, name: &String) -> PlanCell {
        let eaten = self.eaten(on).filter(|(meal, _)| *meal == name);
        let eaten: Vec<&LogEntry> = eaten.map(|(_, entry)| entry).collect();
        let meal = self.agenda.meals.iter().find(|meal| {
            meal.slot.day == on && meal.slot.child == self.child && meal.slot.meal == *name
        });
        let parts = meal.into_iter().flat_map(|meal| &meal.parts);
        let past = on < self.facts.today;
        PlanCell {
            address: match eaten.first() {
                Some(entry) => entry_address(entry),
                None if past => earlier_meal(on, self.child, name),
                None => address(on, self.child, name),
            },
            meal: name.clone(),
            parts: if eaten.is_empty() {
                parts.map(|part| part_in_words(self.facts, part)).collect()
            } else {
                eaten.iter().map(|entry| self.words_of(entry)).collect()
            },
            state: self.state(&eaten, meal.filter(|_| !past)),
            became: match meal.map(|meal| meal.outcome) {
                Some(Outcome::Open) if !past && meal.is_some_and(|meal| self.is_stopped(meal)) => {
                    "Stop"
                }
                Some(Outcome::Open) if past => "Nothing on record",
                Some(outcome @ Outcome::Otherwise(_)) => phrases::became(outcome),
                _ => "",
            },
            empty: if past { "nothing written down" } else { "free" },
        }
    }
}

/// The address of the form of an entry.
fn entry_address(entry: &LogEntry) -> String {
    format!("/history/{}", entry.number)
}

/// The address at which an earlier meal is written down.
fn earlier_meal(on: Date, child: &str, meal: &str) -> String {
    format!("/mix?{}", slot_query(on, child, meal))
}

/// Records a plan for one day, unless an objection blocks it; `None` after noting what is wrong
/// with it. `action` is the address to which the form is sent.
fn planned(
    request: &PageRequest<'_>,
    plan: &Plan,
    on: Date,
    (fields, action): (&Fields, &str),
    wrong: &mut Wrong,
) -> Result<Option<Reply>, PageError> {
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

/// The address of the form of a meal.
fn address(on: Date, child: &str, meal: &str) -> String {
    format!("/week/meal?{}", slot_query(on, child, meal))
}

/// The query of an address that is about a meal of a child on a day.
fn slot_query(on: Date, child: &str, meal: &str) -> String {
    let mut query = Serializer::new(String::new());
    query.append_pair("on", &on.to_string());
    query.append_pair("meal", meal).append_pair("child", child);
    query.finish()
}

/// Seven days, from the day in the address or from today.
fn span(request: &PageRequest<'_>) -> Result<Span, PageError> {
    let from = match request.address.query.text("from") {
        "" => request.today,
        _ => near(request, &request.address.query, "from")?,
    };
    Ok(span_from(request.today, from))
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
fn near(request: &PageRequest<'_>, fields: &Fields, name: &str) -> Result<Date, PageError> {
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
