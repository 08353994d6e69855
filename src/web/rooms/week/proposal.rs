//! A proposal as a week in plain words: kept as it is, with another dish at one meal, or worked out
//! again without a dish. Nothing is recorded until it is kept.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use askama::Template;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::{HERE, slot_address};
use crate::household::{ProposedWeek, Wish, judged_week, other_dishes, propose_week};
use crate::notebook::{Child, Plan, Store};
use crate::planning::Request;
use crate::planning::propose::Proposal;
use crate::report::{
    ObjectionLine, ProposalReport, ProposedCooking, ProposedMeal, objection_lines, spoken_day,
};
use crate::web::{Fields, Layout, Notice, PageAnswer, PageError, PageRequest, PageResult, Reply};
use crate::words::{self, capital, counted};

/// What a proposal was asked for with.
#[derive(Debug, Clone)]
pub(super) struct ProposalOptions {
    pub(super) days: (Date, Date),
    /// The child that is planned for; `None` for all of them.
    pub(super) child: Option<String>,
    pub(super) cook_days: BTreeSet<Date>,
    pub(super) trays: Option<u32>,
    /// The names of recipes that are left out.
    pub(super) without: BTreeSet<String>,
}

/// A proposal that is not kept yet.
#[derive(Debug, Clone)]
pub(in crate::web) struct WeekDraft {
    folder: PathBuf,
    /// The number of the last entry of the record from which the proposal was worked out.
    after: Option<i64>,
    options: ProposalOptions,
    proposal: Proposal,
    plan: Plan,
    report: ProposalReport,
}

#[derive(Template)]
#[template(path = "web/week-proposal.html")]
struct ProposalPage<'a> {
    layout: Layout,
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
    layout: Layout,
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
pub(super) fn worked_out(
    request: &PageRequest<'_>,
    options: ProposalOptions,
) -> PageResult<String> {
    let _turn = request.state.proposing()?;
    let store = request.record()?;
    let after = store.last_number()?;
    let week = propose_week(request, &request.book, store, &wish(request, &options)?)?;
    keep_draft(request, (after, options), week)
}

/// The options as the planning takes them.
fn wish<'a>(request: &'a PageRequest<'_>, options: &ProposalOptions) -> PageResult<Wish<'a>> {
    let settings = &request.book.settings;
    Ok(Wish {
        today: request.today,
        days: options.days,
        children: match &options.child {
            Some(name) => vec![settings.child(Some(name))?],
            None => settings.children.iter().collect(),
        },
        cook_days: options.cook_days.clone(),
        trays_a_day: options.trays,
        without: options.without.clone(),
    })
}

/// Keeps a proposal for this run, and gives its address.
fn keep_draft(
    request: &PageRequest<'_>,
    (after, options): (Option<i64>, ProposalOptions),
    week: ProposedWeek,
) -> PageResult<String> {
    let draft = WeekDraft {
        folder: request.place.folder.clone(),
        after,
        options,
        report: ProposalReport::new(&week.request, &week.proposal, week.objections, false),
        proposal: week.proposal,
        plan: week.plan,
    };
    let drafts = &request.state.drafts;
    let name = drafts.keep(draft).map_err(PageError::broken)?;
    Ok(format!("/week/proposal/{name}"))
}

/// Shows a proposal.
pub(super) fn look(request: &PageRequest<'_>) -> PageAnswer {
    let name: String = request.part("draft")?;
    let Some(draft) = draft(request, &name) else {
        return Ok(Reply::See("/week/propose".into()));
    };
    let report = &draft.report;
    let (from, to) = draft.options.days;
    let cooking: Vec<String> = report.cooking.iter().map(ProposedCooking::line).collect();
    let trays: u32 = report.cooking.iter().map(|cooking| cooking.trays).sum();
    let cook = match trays {
        0 => String::new(),
        trays => format!(", {} to cook", counted(trays, "tray")),
    };
    Reply::page(&ProposalPage {
        layout: Layout::of(request, "A proposal", HERE),
        days: words::days(from, to),
        from: from.to_string(),
        objections: objection_lines(&report.objections),
        children: children(request, (&name, &draft)),
        several: request.book.settings.children.len() > 1,
        in_short: format!("{}{cook}", counted(draft.plan.meals.len(), "meal")),
        gaps: report.gap_lines(),
        lacking: report.lack_lines(),
        cooking,
        without: titles(request, &draft.options.without),
        report,
        draft: name,
    })
}

/// Records a proposal as the plan: the one that was shown, while the record is as it was.
pub(super) fn keep(request: &PageRequest<'_>, _: &Fields) -> PageAnswer {
    let name: String = request.part("draft")?;
    let mut store = request.store()?;
    let Some(draft) = still_fits(request, &store, &name)? else {
        return Ok(outdated());
    };
    let notice = Notice {
        entry: store.plan(&draft.plan)?,
        ..Notice::of("This is now the plan.")
    };
    let (from, _) = draft.options.days;
    Ok(Reply::Done(format!("{HERE}?from={from}"), notice))
}

/// Lists the dishes that a meal may have instead.
pub(super) fn meal(request: &PageRequest<'_>) -> PageAnswer {
    let name: String = request.part("draft")?;
    let Some(draft) = still_fits(request, request.record()?, &name)? else {
        return Ok(outdated());
    };
    let planned = place(&draft, &request.address.query)?;
    let Some((planning_request, others)) = others(request, &draft, planned.at)? else {
        return Ok(outdated());
    };
    let (child, on, meal) = (&planned.child, planned.day, &planned.meal);
    let before: Vec<String> = draft
        .report
        .cooking
        .iter()
        .map(ProposedCooking::line)
        .collect();
    let other = |proposal: &Proposal| {
        let report = ProposalReport::new(&planning_request, proposal, Vec::new(), false);
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
        layout: Layout::of(request, format!("Another dish: {meal}, {when}"), HERE),
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
pub(super) fn change(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let name: String = request.part("draft")?;
    let store = request.record()?;
    let Some(draft) = still_fits(request, store, &name)? else {
        return Ok(outdated());
    };
    let planned = place(&draft, fields)?;
    let Some((planning_request, others)) = others(request, &draft, planned.at)? else {
        return Ok(outdated());
    };
    let has_it = |proposal: &Proposal| {
        let meal = proposal.plan.meals.get(planned.at);
        let part = meal.and_then(|meal| meal.parts.first());
        part.is_some_and(|part| part.origin.recipe(&planning_request) == fields.text("dish"))
    };
    let other = others.into_iter().find(has_it).ok_or(PageError::NotFound)?;
    let week = judged_week(request, &request.book, store, (planning_request, other))?;
    let address = keep_draft(request, (draft.after, draft.options), week)?;
    let done = format!(
        "{}, {}: another dish. Nothing is recorded yet.",
        capital(&planned.meal),
        spoken_day(planned.day)
    );
    Ok(Reply::Done(address, Notice::of(done)))
}

/// Works the proposal out again without a dish, or with a dish that was left out before.
pub(super) fn without(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let name: String = request.part("draft")?;
    let Some(draft) = draft(request, &name) else {
        return Ok(outdated());
    };
    let mut options = draft.options;
    let (dish, again) = (fields.text("dish"), fields.text("again"));
    let known = draft.report.meals.iter().any(|meal| meal.recipe == dish);
    let (name, words) = if options.without.remove(again) {
        (again, "may come again")
    } else if known {
        options.without.insert(dish.to_string());
        (dish, "is left out")
    } else {
        return Err(PageError::NotFound);
    };
    let title = title(request, name);
    let address = worked_out(request, options)?;
    let done = format!("{title} {words}; the week was worked out again. Nothing is recorded yet.");
    Ok(Reply::Done(address, Notice::of(done)))
}

/// The proposal of this name, where it was made for the book in use.
fn draft(request: &PageRequest<'_>, name: &str) -> Option<WeekDraft> {
    let draft = request.state.drafts.named(name)?;
    (draft.folder == request.place.folder).then_some(draft)
}

/// The proposal of this name, while the record is as it was.
fn still_fits(
    request: &PageRequest<'_>,
    store: &Store,
    name: &str,
) -> PageResult<Option<WeekDraft>> {
    let after = store.last_number()?;
    Ok(draft(request, name).filter(|draft| draft.after == after))
}

/// The answer to a proposal that no longer fits the record.
fn outdated() -> Reply {
    let words = "Nothing was planned: the record was changed since that proposal. Ask for another.";
    Reply::Done("/week/propose".into(), Notice::of(words))
}

/// A meal of a proposal.
struct MealPlace {
    /// Its index among the meals of the plan.
    at: usize,
    child: String,
    day: Date,
    meal: String,
}

/// The meal that an address or a form names.
fn place(draft: &WeekDraft, fields: &Fields) -> PageResult<MealPlace> {
    let day: Date = fields.parsed("on")?;
    let (child, meal) = (fields.text("child"), fields.text("meal"));
    let mut slots = draft.proposal.plan.meals.iter();
    let of_child = |at: usize| draft.report.child(at);
    let at = slots.position(|slot| {
        slot.day == day && slot.meal == meal && of_child(slot.child) == Some(child)
    });
    Ok(MealPlace {
        at: at.ok_or(PageError::NotFound)?,
        child: child.to_string(),
        day,
        meal: meal.to_string(),
    })
}

/// The proposals with another dish at a meal; `None` where the book is no longer that of the
/// proposal.
fn others(
    request: &PageRequest<'_>,
    draft: &WeekDraft,
    at: usize,
) -> PageResult<Option<(Request, Vec<Proposal>)>> {
    let (store, wish) = (request.record()?, wish(request, &draft.options)?);
    let meal = (&draft.proposal, at);
    let (planning_request, others) = other_dishes(request, &request.book, store, &wish, meal)?;
    // A recipe that was added or removed since would change which dish an index means.
    let now = ProposalReport::new(&planning_request, &draft.proposal, Vec::new(), false);
    Ok((now.meals == draft.report.meals).then_some((planning_request, others)))
}

/// The proposal for each child, by day.
fn children(request: &PageRequest<'_>, (name, draft): (&str, &WeekDraft)) -> Vec<ChildProposal> {
    let report = &draft.report;
    let (from, to) = draft.options.days;
    let settings = &request.book.settings;
    let planned = |child: &str, on: Date, meal: &String| {
        let what = report.in_plain_words(child, on, meal);
        let page = format!("/week/proposal/{name}/meal");
        (!what.is_empty()).then(|| PlainMeal {
            meal: meal.clone(),
            what,
            why: report.why(child, on, meal),
            change: slot_address(&page, on, child, meal),
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
    let is_it = |proposed: &&ProposedMeal| {
        (
            proposed.child.as_str(),
            proposed.date,
            proposed.meal.as_str(),
        ) == (child, on, meal)
    };
    let parts = report.meals.iter().filter(is_it);
    parts
        .map(|part| (part.recipe.clone(), part.title.clone()))
        .collect()
}

/// The titles of recipes beside their names.
fn titles(request: &PageRequest<'_>, names: &BTreeSet<String>) -> Vec<(String, String)> {
    let names = names.iter();
    names
        .map(|name| (name.clone(), title(request, name)))
        .collect()
}

/// The title of a recipe; its name where its file is gone or cannot be read.
fn title(request: &PageRequest<'_>, name: &str) -> String {
    let recipe = request.book.recipe(name);
    recipe.map_or_else(|_| name.to_string(), |recipe| recipe.title)
}
