//! A proposal as a week in plain words: kept as it is, with another dish at one meal, or worked out anew without a dish. Nothing is
//! recorded until it is kept.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use askama::Template;
use form_urlencoded::Serializer;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::HERE;
use crate::household::{ProposedWeek, Wish, judged_week, other_dishes, propose_week};
use crate::notebook::{Child, Plan, Store};
use crate::planning::Request;
use crate::planning::propose::Proposal;
use crate::report::objection_lines;
use crate::report::{ObjectionLine, ProposalReport, ProposedCooking, ProposedMeal, spoken_day};
use crate::web::error::PageError;
use crate::web::fields::Fields;
use crate::web::layout::Layout;
use crate::web::notice::Notice;
use crate::web::request::{PageRequest, Reply};
use crate::words::{self, capital, counted};

/// What was asked for.
#[derive(Debug, Clone)]
pub(super) struct Asked {
    pub(super) days: (Date, Date),
    /// The child that is planned for; `None` for all of them.
    pub(super) child: Option<String>,
    pub(super) cook_days: BTreeSet<Date>,
    pub(super) trays: Option<u32>,
    /// The names of recipes that are left out.
    pub(super) without: BTreeSet<String>,
}

/// A proposal that nobody kept yet.
#[derive(Debug, Clone)]
pub(in crate::web) struct WeekDraft {
    folder: PathBuf,
    /// The last entry of the record it was worked out from.
    after: Option<i64>,
    asked: Asked,
    proposal: Proposal,
    plan: Plan,
    report: ProposalReport,
}

#[derive(Template)]
#[template(path = "web/week-proposal.html")]
struct ProposalPage<'a> {
    frame: Layout,
    draft: String,
    days: String,
    from: String,
    report: &'a ProposalReport,
    objections: Vec<ObjectionLine>,
    children: Vec<ChildProposal>,
    /// Whether the book has several children.
    several: bool,
    /// Meals, and trays to cook, in a few words.
    in_short: String,
    gaps: Vec<String>,
    /// What the week lacks beside meals, with what would bring it.
    lacking: Vec<String>,
    cooking: Vec<String>,
    /// Recipes that are left out: name and title.
    without: Vec<(String, String)>,
}

/// The proposal for one child.
struct ChildProposal {
    child: String,
    days: Vec<(String, Vec<PlainMeal>)>,
}

/// A meal of the proposal in plain words.
struct PlainMeal {
    meal: String,
    what: String,
    why: String,
    /// The page on which it gets another dish.
    change: String,
    /// Its dishes: name and title.
    dishes: Vec<(String, String)>,
}

#[derive(Template)]
#[template(path = "web/week-proposal-meal.html")]
struct ProposalMealPage {
    frame: Layout,
    draft: String,
    on: Date,
    child: String,
    meal: String,
    when: String,
    now: String,
    others: Vec<OtherDish>,
}

/// A dish that a meal may have instead.
struct OtherDish {
    recipe: String,
    what: String,
    why: String,
    /// What is cooked for it.
    cook: Vec<String>,
}

/// Works a proposal out, and gives the address at which it is looked at.
pub(super) fn worked_out(visit: &PageRequest<'_>, asked: Asked) -> Result<String, PageError> {
    let _turn = visit.kitchen.proposing()?;
    let store = visit.record()?;
    let after = store.last_number()?;
    let week = propose_week(visit, &visit.book, store, &wish(visit, &asked)?)?;
    keep_draft(visit, (after, asked), week)
}

fn wish<'a>(visit: &'a PageRequest<'_>, asked: &Asked) -> Result<Wish<'a>, PageError> {
    let settings = &visit.book.settings;
    Ok(Wish {
        today: visit.today,
        days: asked.days,
        children: match &asked.child {
            Some(name) => vec![settings.child(Some(name))?],
            None => settings.children.iter().collect(),
        },
        cook_days: asked.cook_days.clone(),
        trays_a_day: asked.trays,
        without: asked.without.clone(),
    })
}

fn keep_draft(
    visit: &PageRequest<'_>,
    (after, asked): (Option<i64>, Asked),
    week: ProposedWeek,
) -> Result<String, PageError> {
    let draft = WeekDraft {
        folder: visit.place.folder.clone(),
        after,
        asked,
        report: ProposalReport::new(&week.request, &week.proposal, week.objections, false),
        proposal: week.proposal,
        plan: week.plan,
    };
    let drafts = visit.kitchen.drafts();
    let name = drafts.keep(draft).map_err(PageError::broken)?;
    Ok(format!("/week/proposal/{name}"))
}

/// Shows a proposal.
pub(super) fn look(visit: &PageRequest<'_>) -> Result<Reply, PageError> {
    let name: String = visit.part("draft")?;
    let Some(draft) = draft(visit, &name) else {
        return Ok(Reply::See("/week/propose".into()));
    };
    let report = &draft.report;
    let (from, to) = draft.asked.days;
    let cooking: Vec<String> = report.cooking.iter().map(ProposedCooking::line).collect();
    let trays: u32 = report.cooking.iter().map(|one| one.trays).sum();
    let cook = match trays {
        0 => String::new(),
        trays => format!(", {} to cook", counted(trays, "tray")),
    };
    Reply::page(&ProposalPage {
        frame: Layout::of(visit, "A proposal", HERE),
        days: words::days(from, to),
        from: from.to_string(),
        objections: objection_lines(&report.objections),
        children: children(visit, (&name, &draft)),
        several: visit.book.settings.children.len() > 1,
        in_short: format!("{}{cook}", counted(draft.plan.meals.len(), "meal")),
        gaps: report.gap_lines(),
        lacking: report.lack_lines(),
        cooking,
        without: titles(visit, &draft.asked.without),
        report,
        draft: name,
    })
}

/// Records a proposal as the plan: the one that was shown, while the record is as it was.
pub(super) fn keep(visit: &PageRequest<'_>, _: &Fields) -> Result<Reply, PageError> {
    let name: String = visit.part("draft")?;
    let mut store = visit.store()?;
    let Some(draft) = still_fits(visit, &store, &name)? else {
        return Ok(passed_by());
    };
    let notice = Notice {
        entry: store.plan(&draft.plan)?,
        ..Notice::of("The proposal is the plan.")
    };
    let (from, _) = draft.asked.days;
    Ok(Reply::Done(format!("{HERE}?from={from}"), notice))
}

/// Lists the dishes that a meal may have instead.
pub(super) fn meal(visit: &PageRequest<'_>) -> Result<Reply, PageError> {
    let name: String = visit.part("draft")?;
    let Some(draft) = still_fits(visit, visit.record()?, &name)? else {
        return Ok(passed_by());
    };
    let planned = place(&draft, &visit.asked.query)?;
    let Some((request, others)) = others(visit, &draft, planned.at)? else {
        return Ok(passed_by());
    };
    let (child, on, meal) = (&planned.child, planned.day, &planned.meal);
    let before: Vec<String> = draft
        .report
        .cooking
        .iter()
        .map(ProposedCooking::line)
        .collect();
    let other = |proposal: &Proposal| {
        let report = ProposalReport::new(&request, proposal, Vec::new(), false);
        let cooking = report.cooking.iter().map(ProposedCooking::line);
        OtherDish {
            recipe: dishes(&report, child, on, meal)
                .into_keys()
                .next()
                .unwrap_or_default(),
            what: report.in_plain_words(child, on, meal),
            why: report.why(child, on, meal),
            cook: cooking.filter(|line| !before.contains(line)).collect(),
        }
    };
    let when = spoken_day(on);
    Reply::page(&ProposalMealPage {
        frame: Layout::of(visit, format!("Another dish: {meal}, {when}"), HERE),
        now: draft.report.in_plain_words(child, on, meal),
        others: others.iter().map(other).collect(),
        draft: name,
        on,
        when,
        child: planned.child,
        meal: planned.meal,
    })
}

/// Gives a meal another dish; all other meals stay as they are.
pub(super) fn change(visit: &PageRequest<'_>, fields: &Fields) -> Result<Reply, PageError> {
    let name: String = visit.part("draft")?;
    let store = visit.record()?;
    let Some(draft) = still_fits(visit, store, &name)? else {
        return Ok(passed_by());
    };
    let planned = place(&draft, fields)?;
    let Some((request, others)) = others(visit, &draft, planned.at)? else {
        return Ok(passed_by());
    };
    let has_it = |proposal: &Proposal| {
        let meal = proposal.plan.meals.get(planned.at);
        let part = meal.and_then(|meal| meal.parts.first());
        part.is_some_and(|part| part.origin.recipe(&request) == fields.text("dish"))
    };
    let other = others.into_iter().find(has_it).ok_or(PageError::NotFound)?;
    let week = judged_week(visit, &visit.book, store, (request, other))?;
    let address = keep_draft(visit, (draft.after, draft.asked), week)?;
    let done = format!(
        "{}, {}: another dish. Nothing is recorded yet.",
        capital(&planned.meal),
        spoken_day(planned.day)
    );
    Ok(Reply::Done(address, Notice::of(done)))
}

/// Works the proposal out anew without a dish, or with one again that was left out.
pub(super) fn without(visit: &PageRequest<'_>, fields: &Fields) -> Result<Reply, PageError> {
    let name: String = visit.part("draft")?;
    let Some(draft) = draft(visit, &name) else {
        return Ok(passed_by());
    };
    let mut asked = draft.asked;
    let (dish, again) = (fields.text("dish"), fields.text("again"));
    let known = draft.report.meals.iter().any(|one| one.recipe == dish);
    let (name, words) = if asked.without.remove(again) {
        (again, "may come again")
    } else if known {
        asked.without.insert(dish.to_string());
        (dish, "is left out")
    } else {
        return Err(PageError::NotFound);
    };
    let title = title(visit, name);
    let address = worked_out(visit, asked)?;
    let done = format!("{title} {words}; the week is worked out anew. Nothing is recorded yet.");
    Ok(Reply::Done(address, Notice::of(done)))
}

/// A proposal of the household that is looked at.
fn draft(visit: &PageRequest<'_>, name: &str) -> Option<WeekDraft> {
    let draft = visit.kitchen.drafts().named(name)?;
    (draft.folder == visit.place.folder).then_some(draft)
}

/// A proposal while the record is as it was.
fn still_fits(
    visit: &PageRequest<'_>,
    store: &Store,
    name: &str,
) -> Result<Option<WeekDraft>, PageError> {
    let after = store.last_number()?;
    Ok(draft(visit, name).filter(|draft| draft.after == after))
}

fn passed_by() -> Reply {
    let words = "Nothing was planned: the record was changed since that proposal. Ask for another.";
    Reply::Done("/week/propose".into(), Notice::of(words))
}

/// A meal of a proposal.
struct MealPlace {
    /// Its place among the meals.
    at: usize,
    child: String,
    day: Date,
    meal: String,
}

/// The meal that an address or a form names.
fn place(draft: &WeekDraft, fields: &Fields) -> Result<MealPlace, PageError> {
    let day: Date = fields.text("on").parse().map_err(|_| PageError::NotFound)?;
    let (child, meal) = (fields.text("child"), fields.text("meal"));
    let mut slots = draft.proposal.plan.meals.iter();
    let of_child = |at: usize| draft.report.child(at);
    let at = slots
        .position(|one| one.day == day && one.meal == meal && of_child(one.child) == Some(child));
    Ok(MealPlace {
        at: at.ok_or(PageError::NotFound)?,
        child: child.to_string(),
        day,
        meal: meal.to_string(),
    })
}

/// The proposals with another dish at a meal; `None` where the book is no longer that of the proposal.
fn others(
    visit: &PageRequest<'_>,
    draft: &WeekDraft,
    at: usize,
) -> Result<Option<(Request, Vec<Proposal>)>, PageError> {
    let (store, wish) = (visit.record()?, wish(visit, &draft.asked)?);
    let meal = (&draft.proposal, at);
    let (request, others) = other_dishes(visit, &visit.book, store, &wish, meal)?;
    // A recipe that came or went since would give its place to another.
    let now = ProposalReport::new(&request, &draft.proposal, Vec::new(), false);
    Ok((now.meals == draft.report.meals).then_some((request, others)))
}

/// The proposal for each child, by day.
fn children(visit: &PageRequest<'_>, (name, draft): (&str, &WeekDraft)) -> Vec<ChildProposal> {
    let report = &draft.report;
    let (from, to) = draft.asked.days;
    let settings = &visit.book.settings;
    let planned = |child: &str, on: Date, meal: &String| {
        let what = report.in_plain_words(child, on, meal);
        let mut query = Serializer::new(String::new());
        query.append_pair("on", &on.to_string());
        query.append_pair("meal", meal).append_pair("child", child);
        (!what.is_empty()).then(|| PlainMeal {
            meal: meal.clone(),
            what,
            why: report.why(child, on, meal),
            change: format!("/week/proposal/{name}/meal?{}", query.finish()),
            dishes: dishes(report, child, on, meal).into_iter().collect(),
        })
    };
    let week = |child: &Child| {
        let day = |on: Date| {
            let meals = settings.meals.iter();
            let meals = meals.filter_map(|meal| planned(&child.name, on, meal));
            (spoken_day(on), meals.collect::<Vec<_>>())
        };
        let days = from.series(1.day()).take_while(|on| *on <= to).map(day);
        ChildProposal {
            child: child.name.clone(),
            days: days.filter(|(_, meals)| !meals.is_empty()).collect(),
        }
    };
    let weeks = settings.children.iter().map(week);
    weeks.filter(|week| !week.days.is_empty()).collect()
}

/// The dishes of a meal: names and titles.
fn dishes(report: &ProposalReport, child: &str, on: Date, meal: &str) -> BTreeMap<String, String> {
    let is_it = |one: &&ProposedMeal| {
        (one.child.as_str(), one.date, one.meal.as_str()) == (child, on, meal)
    };
    let parts = report.meals.iter().filter(is_it);
    parts
        .map(|one| (one.recipe.clone(), one.title.clone()))
        .collect()
}

/// The titles of recipes beside their names.
fn titles(visit: &PageRequest<'_>, names: &BTreeSet<String>) -> Vec<(String, String)> {
    let names = names.iter();
    names
        .map(|name| (name.clone(), title(visit, name)))
        .collect()
}

/// The title of a recipe; its name where its file is gone or cannot be read.
fn title(visit: &PageRequest<'_>, name: &str) -> String {
    let recipe = visit.book.recipe(name);
    recipe.map_or_else(|_| name.to_string(), |recipe| recipe.title)
}
