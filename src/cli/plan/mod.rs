//! `trayful plan`: what each meal is to be, and what is to be cooked when.

mod calendar;
mod check;
mod clear;
mod file;
mod judged;
mod propose;
mod set;
mod show;

use clap::{Args, Subcommand};
use jiff::ToSpan as _;
use jiff::civil::Date;
use trayful::day::{DAYS_OF_WEEK, DayReader, DayUse};
use trayful::planning::facts::Span;
use trayful::problem::Problem;
use trayful::words;

use super::failure::Failure;
use super::{Answer, PeriodArgs, Session};

/// The days that are shown where no others were given: a week (judgement).
const USUAL_DAYS: i32 = DAYS_OF_WEEK;
/// The most days that are shown (judgement).
const MOST_DAYS: i32 = 366;

#[derive(Debug, Args)]
pub(super) struct PlanArgs {
    #[command(subcommand)]
    action: PlanAction,
}

#[derive(Debug, Subcommand)]
enum PlanAction {
    /// The plan as a grid of days and meals: what is there, what was eaten, what to thaw tonight
    Show(show::ShowArgs),
    /// Fill the meals that are still empty, with the reasons; recorded only with --keep
    Propose(propose::ProposeArgs),
    /// Plan a meal, or what is to be cooked
    Set(set::SetArgs),
    /// Plan nothing for some days
    Clear(clear::ClearArgs),
    /// Move a planned meal to another day
    Move(clear::MoveArgs),
    /// Hold the plan against the freezer, the days and the first tastes; exit status 1 if anything is wrong
    Check(check::CheckArgs),
    /// Write the plan as CSV, a row for each thing
    Export(file::ExportArgs),
    /// Read a plan from CSV, all of it or nothing
    Import(file::PlanImportArgs),
    /// Write a calendar of what to thaw and what to cook (iCalendar)
    Calendar(calendar::CalendarArgs),
}

// The days that are looked at.
#[derive(Debug, Clone, Args)]
pub(super) struct SpanArgs {
    #[command(flatten)]
    period: PeriodArgs,
    /// The day on which it is looked at; today if left out
    #[arg(long, value_name = "DAY")]
    on: Option<String>,
}

impl SpanArgs {
    /// The days; a week from today where no others were given.
    ///
    /// Errors: the last day is before the first, or there are more than [`MOST_DAYS`].
    pub(super) fn span(&self, session: &Session) -> Result<Span, Failure> {
        let today = planning_day(session, self.on.as_deref())?;
        let reader = DayReader::new(today, DayUse::Ahead);
        let (from, to) = self.period.bounds(session, &reader)?;
        let from = from.unwrap_or(today);
        let to = to.unwrap_or_else(|| from.saturating_add((USUAL_DAYS - 1).days()));
        if to < from {
            let (from, to) = (words::day(from), words::day(to));
            let what = format!("the last day, {to}, is before the first, {from}");
            return Err(Problem::new(what).hint("say --from and --to").into());
        }
        if to > from.saturating_add(MOST_DAYS.days()) {
            let days = words::days(from, to);
            let what = format!("{days} is more than a year");
            return Err(Problem::new(what)
                .hint("say days nearer to each other")
                .into());
        }
        Ok(Span { today, from, to })
    }
}

/// The day on which a plan is made or looked at; the other days are seen from it.
fn planning_day(session: &Session, on: Option<&str>) -> Result<Date, Failure> {
    let today = session.today();
    let reader = DayReader::new(today, DayUse::Past);
    Ok(session.day_or("--on", on, &reader)?.unwrap_or(today))
}

/// Runs the command.
pub(super) fn run(args: &PlanArgs, session: &Session) -> Result<Answer, Failure> {
    match &args.action {
        PlanAction::Show(args) => show::run(args, session),
        PlanAction::Propose(args) => propose::run(args, session),
        PlanAction::Set(args) => set::run(args, session),
        PlanAction::Clear(args) => clear::clear(args, session),
        PlanAction::Move(args) => clear::move_meal(args, session),
        PlanAction::Check(args) => check::run(args, session),
        PlanAction::Export(args) => file::export(args, session),
        PlanAction::Import(args) => file::import(args, session),
        PlanAction::Calendar(args) => calendar::run(args, session),
    }
}
