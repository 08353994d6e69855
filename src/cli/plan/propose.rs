//! `trayful plan propose`: fills those of the empty meals that can be filled.

use std::collections::BTreeSet;

use clap::Args;
use jiff::ToSpan as _;
use jiff::civil::Date;
use trayful::day::{DAYS_OF_WEEK, DayReader, DayUse};
use trayful::household::{self, Wish, propose_week};
use trayful::names;
use trayful::notebook::Book;
use trayful::planning::MOST_DAYS;
use trayful::problem::Problem;
use trayful::report::{Page, ProposalReport};
use trayful::words;

use crate::cli::failure::Failure;
use crate::cli::{Answer, ChildrenArg, Session};

#[derive(Debug, Args)]
pub(super) struct ProposeArgs {
    /// The first day; today if left out
    #[arg(long, value_name = "DAY")]
    from: Option<String>,
    /// The last day, at most fourteen days in all; a week if left out
    #[arg(long, value_name = "DAY")]
    to: Option<String>,
    #[command(flatten)]
    children: ChildrenArg,
    /// A day on which there is time to cook; may be repeated
    #[arg(long, value_name = "DAY")]
    cook: Vec<String>,
    /// Trays that can be filled on one of them, of all recipes together
    #[arg(long, value_name = "N", default_value_t = 2, value_parser = clap::value_parser!(u32).range(1..=20))]
    trays_a_day: u32,
    /// A dish that is not proposed; may be repeated
    #[arg(long, value_name = "RECIPE")]
    without: Vec<String>,
    /// Record it as the plan
    #[arg(long)]
    keep: bool,
    /// Say of each meal why it is there, and show the points, what holds the plan back, and how good it is known to be
    #[arg(long)]
    why: bool,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Runs the command.
pub(super) fn run(args: &ProposeArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let mut store = book.store()?;
    let today = session.today();
    let reader = DayReader::new(today, DayUse::Ahead);
    let cook_days = args.cook.iter();
    let cook_days = cook_days.map(|typed| session.day("--cook", typed, &reader));
    let wish = Wish {
        today,
        days: args.span(session, &reader)?,
        children: args.children.or_every(session, &book)?,
        cook_days: cook_days.collect::<Result<BTreeSet<_>, _>>()?,
        trays_a_day: Some(args.trays_a_day),
        without: args.left_out(&book, session)?,
    };
    let week = propose_week(session, &book, &store, &wish)?;
    let keep = args.keep && !week.proposal.plan.meals.is_empty();
    if keep {
        store.plan(&week.plan)?;
    }
    let report = ProposalReport::new(&week.request, &week.proposal, week.objections, keep);
    let answer = if args.json {
        session.json(&report, &[])?
    } else {
        let last = match (report.is_empty_handed(), keep) {
            (true, _) => "Nothing can be filled, and nothing is recorded.",
            (false, true) => {
                "Recorded as the plan; see it with `trayful plan show`, take it back with `trayful undo`."
            }
            (false, false) => {
                "Nothing is recorded yet: keep it with --keep, leave a dish out with --without, change it with `trayful plan set`, see the points with --why."
            }
        };
        let mut page = Page::new(session.look);
        page.paragraph(last);
        Answer::text(report.render(session.look, args.why) + "\n" + &page.finish())
    };
    Ok(answer.found_if(!report.is_empty_handed()))
}

impl ProposeArgs {
    /// The recipes that are left out.
    fn left_out(&self, book: &Book, session: &Session) -> Result<BTreeSet<String>, Failure> {
        let known = household::known_recipes(book)?;
        let found = self.without.iter().map(|written| {
            let found = names::find("recipe", written, &known)?;
            Ok(session.stated(found))
        });
        found.collect()
    }

    /// The first and the last day; a week where no last day was given.
    ///
    /// Errors: the last day is before the first, or the days are more than a plan holds.
    fn span(&self, session: &Session, reader: &DayReader) -> Result<(Date, Date), Failure> {
        let from = session.day_or("--from", self.from.as_deref(), reader)?;
        let from = from.unwrap_or(reader.today);
        let to = session.day_or("--to", self.to.as_deref(), reader)?;
        let to = to.unwrap_or_else(|| from.saturating_add((DAYS_OF_WEEK - 1).days()));
        if to < from {
            let (from, to) = (words::day(from), words::day(to));
            let what = format!("the last day, {to}, is before the first, {from}");
            return Err(Problem::new(what).hint("say --from and --to").into());
        }
        let most = from.saturating_add((i64::try_from(MOST_DAYS).unwrap_or(i64::MAX) - 1).days());
        if to > most {
            let days = from.until(to).map_or(0, |span| span.get_days()) + 1;
            let what = format!("a plan is for 1 to {MOST_DAYS} days, not for {days}");
            let hint = format!(
                "leave --to out, or say a day until {most}; plan the days after it in a second step"
            );
            return Err(Problem::new(what).hint(hint).into());
        }
        Ok((from, to))
    }
}
