//! `trayful plan clear` and `trayful plan move`: empties planned meals, or moves them to another day.

use clap::Args;
use jiff::civil::Date;
use trayful::day::{DayReader, DayUse};
use trayful::notebook::{Plan, Slot};
use trayful::planning::facts::Span;
use trayful::problem::Problem;
use trayful::report::plan_change;
use trayful::words;

use super::judged::NewPlan;
use crate::cli::failure::Failure;
use crate::cli::judged::AnywayArg;
use crate::cli::{Answer, ChildArg, Session};

#[derive(Debug, Args)]
pub(super) struct ClearArgs {
    /// The first day
    #[arg(value_name = "DAY")]
    from: String,
    /// The last day; the first alone, if left out
    #[arg(value_name = "DAY")]
    to: Option<String>,
    /// The last day, as an option instead of the second DAY
    #[arg(long = "to", value_name = "DAY", conflicts_with = "to")]
    until: Option<String>,
    #[command(flatten)]
    child: ChildArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Clears the plan of some days.
pub(super) fn clear(args: &ClearArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let child = args.child.only(session, &book)?;
    let child = child.map(|child| child.name.clone());
    let reader = DayReader::new(session.today(), DayUse::Ahead);
    let from = session.day("the first day", &args.from, &reader)?;
    let to = args.to.as_deref().or(args.until.as_deref());
    let to = session.day_or("the last day", to, &reader)?;
    let span = (from, to.unwrap_or(from));
    let mut plan = book.store()?.planned(span.0, span.1)?;
    plan.meals.retain(|slot, parts| {
        !parts.is_empty() && child.as_ref().is_none_or(|child| slot.child == *child)
    });
    plan.cooking
        .retain(|_, cooking| !cooking.is_empty() && child.is_none());
    plan.meals.values_mut().for_each(Vec::clear);
    plan.cooking.values_mut().for_each(Vec::clear);
    if plan.days().is_empty() {
        let what = format!("Nothing is planned for {}.\n", words::days(span.0, span.1));
        return Ok(Answer::no(what));
    }
    record(plan, span, (&AnywayArg::NO, args.json), session)
}

#[derive(Debug, Args)]
pub(super) struct MoveArgs {
    /// The day it is planned for
    #[arg(value_name = "DAY")]
    from: String,
    /// Which meal of that day
    meal: String,
    /// The day it is to be
    #[arg(value_name = "DAY")]
    to: String,
    /// Which meal of the new day; the same, if left out
    #[arg(long, value_name = "MEAL")]
    as_meal: Option<String>,
    #[command(flatten)]
    child: ChildArg,
    #[command(flatten)]
    anyway: AnywayArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Moves a planned meal to another day.
pub(super) fn move_meal(args: &MoveArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let child = args.child.one(session, &book)?.name.clone();
    let today = session.today();
    let looking = |purpose| DayReader::new(today, purpose);
    let from = session.day("the day", &args.from, &looking(DayUse::Ahead))?;
    let to = session.day("the new day", &args.to, &looking(DayUse::Plan))?;
    let meal = session.meal(&book, Some(&args.meal))?;
    let new_meal = match &args.as_meal {
        Some(meal) => session.meal(&book, Some(meal))?,
        None => meal.clone(),
    };
    let slot = |day: Date, meal: String| Slot {
        day,
        child: child.clone(),
        meal,
    };
    let (old, new) = (slot(from, meal), slot(to, new_meal));
    let (first, last) = (from.min(to), from.max(to));
    let mut planned = book.store()?.planned(first, last)?;
    let parts = planned.meals.remove(&old).unwrap_or_default();
    let called = |slot: &Slot| format!("{}, {}", words::day(slot.day), slot.meal);
    if parts.is_empty() {
        let what = format!("nothing is planned for {}", called(&old));
        return Err(Problem::new(what)
            .hint("`trayful plan show` shows what is")
            .into());
    }
    if planned
        .meals
        .get(&new)
        .is_some_and(|parts| !parts.is_empty())
    {
        let what = format!("something else is planned for {}", called(&new));
        return Err(Problem::new(what).hint("clear or move that first").into());
    }
    let mut plan = Plan::default();
    plan.meals.insert(old, Vec::new());
    plan.meals.insert(new, parts);
    record(plan, (first, last), (&args.anyway, args.json), session)
}

/// Judges the plan and records it.
fn record(
    plan: Plan,
    (from, to): (Date, Date),
    how: (&AnywayArg, bool),
    session: &Session,
) -> Result<Answer, Failure> {
    let book = session.book()?;
    let today = session.today();
    let new = NewPlan::of(plan, Span { today, from, to });
    new.record((&book, &mut book.store()?), plan_change, how, session)
}
