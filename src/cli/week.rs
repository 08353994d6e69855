//! `trayful week`: what a child had in some days, or is to have, beside what is published.

use clap::Args;
use jiff::ToSpan as _;
use jiff::civil::Date;
use trayful::day::{DAYS_OF_WEEK, DayReader, DayUse};
use trayful::food::Pantry;
use trayful::household::{eaten_week, planned_week};
use trayful::next_step::NextStep;
use trayful::notebook::{Book, Child};
use trayful::problem::Problem;
use trayful::report::{ALLERGENS, WeekPage, WeekReport, WeekView};
use trayful::safety::CautionTable;
use trayful::words;

use super::failure::Failure;
use super::{Answer, ChildrenArg, PeriodArgs, Session};

/// The most days of one page (judgement).
const MOST_DAYS: usize = 62;

#[derive(Debug, Args)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is an option of the command line"
)]
pub(super) struct WeekArgs {
    #[command(flatten)]
    children: ChildrenArg,
    #[command(flatten)]
    period: PeriodArgs,
    /// What is planned, in place of what was eaten
    #[arg(long, conflicts_with = "last")]
    planned: bool,
    /// Show what it rests on: day by day, every estimate, and the sources
    #[arg(long)]
    why: bool,
    /// Show every nutrient
    #[arg(long)]
    all: bool,
    /// Print one JSON object with every figure, and the servings they are made of
    #[arg(long)]
    json: bool,
}

/// Runs the command.
pub(super) fn run(args: &WeekArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let children = args.children.all(session, &book)?;
    let span = args.span(session)?;
    let pantry = session.pantry(None)?;
    let (mut reports, mut pages) = (Vec::new(), Vec::new());
    for child in children {
        let (report, page) = args.of_child((&book, &pantry), (child, span), session)?;
        reports.push(report);
        pages.push(Answer::text(page));
    }
    if args.json {
        return session.json_of_each(&reports, &[]);
    }
    Ok(Answer::of_each(pages))
}

impl WeekArgs {
    /// The week of a child: as JSON, and as a page.
    fn of_child(
        &self,
        (book, pantry): (&Book, &Pantry),
        (child, span): (&Child, (Date, Date)),
        session: &Session,
    ) -> Result<(WeekReport, String), Failure> {
        let kept = if self.planned {
            planned_week(book, pantry, child, span)?
        } else {
            eaten_week(&book.store()?, pantry, child, span)?
        };
        let view = WeekView {
            child: &child.name,
            days: &kept.days,
            week: &kept.week,
            planned: self.planned,
            tastes: kept.tastes.as_deref(),
            measurements: &kept.measurements,
            doses: &kept.doses,
            first_meal: kept.first_meal,
            allergens: &ALLERGENS,
        };
        let report = WeekReport::new(&view)?;
        let cautions = CautionTable::builtin()?;
        let page = WeekPage {
            why: self.why,
            all: self.all,
            look: session.look,
            defer: cautions.defer(),
            defer_in_short: cautions.defer_in_short(),
            evidence: NextStep::SeeEvidence,
        };
        let page = page.render(&report, &view);
        Ok((report, page))
    }

    /// The first and the last day: of the week from or to the day that was given, else of the last
    /// or the next seven days.
    ///
    /// Errors: no day, or more than [`MOST_DAYS`].
    fn span(&self, session: &Session) -> Result<(Date, Date), Failure> {
        let today = session.today();
        let purpose = if self.planned {
            DayUse::Ahead
        } else {
            DayUse::Past
        };
        let bounds = self
            .period
            .bounds(session, &DayReader::new(today, purpose))?;
        let to_end = (DAYS_OF_WEEK - 1).days();
        let after = |day: Date| day.saturating_add(to_end);
        let before = |day: Date| day.saturating_sub(to_end);
        let (from, to) = match bounds {
            (Some(from), Some(to)) => (from, to),
            (Some(from), None) => (from, after(from)),
            (None, Some(to)) => (before(to), to),
            (None, None) if self.planned => (today, after(today)),
            (None, None) => (before(today), today),
        };
        let days = from.series(1.day()).take_while(|day| *day <= to);
        let days = days.take(MOST_DAYS + 1).count();
        if (1..=MOST_DAYS).contains(&days) {
            return Ok((from, to));
        }
        let span = words::days(from, to);
        let what = format!("from {span} is not 1 to {MOST_DAYS} days");
        Err(Problem::new(what)
            .hint("such as --from 2026-11-23, which takes seven days")
            .into())
    }
}
