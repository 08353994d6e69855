//! `trayful plan propose`: fills the meals that are still empty.

use std::collections::BTreeSet;

use clap::Args;
use jiff::ToSpan as _;
use jiff::civil::Date;
use trayful::household::{Wish, planning_request, proposed_plan};
use trayful::planning::propose::{Effort, Impossible, NoProposal, propose};
use trayful::problem::Problem;
use trayful::report::{ProposalReport, no_plan};

use crate::cli::failure::Failure;
use crate::cli::{Answer, Session, today};

/// Days of a week, less the first.
const SIX: i32 = 6;

/// Arguments of `trayful plan propose`.
#[derive(Debug, Args)]
pub(super) struct ProposeArgs {
    /// The first day; today if left out
    #[arg(long, value_name = "YYYY-MM-DD")]
    from: Option<Date>,
    /// The last day, at most fourteen days in all; a week if left out
    #[arg(long, value_name = "YYYY-MM-DD")]
    to: Option<Date>,
    /// For this child alone; for all of them if left out
    #[arg(long, value_name = "NAME")]
    of: Option<String>,
    /// A day on which there is time to cook; may be said several times
    #[arg(long, value_name = "YYYY-MM-DD")]
    cook: Vec<Date>,
    /// Trays that can be filled on one of them, of all recipes together
    #[arg(long, value_name = "N", default_value_t = 2, value_parser = clap::value_parser!(u32).range(1..=20))]
    trays_a_day: u32,
    /// Record it as the plan
    #[arg(long)]
    keep: bool,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Runs the command.
pub(super) fn run(args: &ProposeArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let mut store = book.store()?;
    let pantry = session.pantry(None)?;
    let wish = Wish {
        days: args.span()?,
        children: match &args.of {
            Some(name) => vec![book.settings.child(Some(name))?],
            None => book.settings.children.iter().collect(),
        },
        cook_days: args.cook.iter().copied().collect::<BTreeSet<_>>(),
        trays_a_day: Some(args.trays_a_day),
    };
    let request = planning_request(&book, &store, &pantry, &wish)?;
    let proposal = match propose(&request, Effort::default()) {
        Ok(proposal) => proposal,
        Err(NoProposal::Request(error)) => return Err(Problem::new(error.to_string()).into()),
        Err(why) => return Ok(Answer::no(refused(&why, session))),
    };
    if args.keep {
        store.plan(&proposed_plan(&request, &proposal, &store)?)?;
    }
    let report = ProposalReport::new(&request, &proposal, args.keep);
    if args.json {
        return Answer::json(&report);
    }
    let last = if args.keep {
        "\nRecorded as the plan; see it with `trayful plan show`, take it back with `trayful undo`.\n"
    } else {
        "\nNothing is recorded yet: keep it with --keep, or change it with `trayful plan set`.\n"
    };
    Ok(Answer::text(report.render(session.look) + last))
}

fn refused(why: &NoProposal, session: &Session) -> String {
    let nothing = Impossible::default();
    let (broken, impossible) = match why {
        NoProposal::Settled(broken) => (broken.as_slice(), &nothing),
        NoProposal::Impossible(impossible) => (&[][..], impossible),
        NoProposal::Request(_) | NoProposal::NotFound(_) => (&[][..], &nothing),
    };
    no_plan(&why.to_string(), broken, impossible, session.look)
}

impl ProposeArgs {
    /// Errors: the last day is before the first.
    fn span(&self) -> Result<(Date, Date), Failure> {
        let from = self.from.unwrap_or_else(today);
        let to = self.to.unwrap_or_else(|| from.saturating_add(SIX.days()));
        if to < from {
            let what = format!("the last day, {to}, is before the first, {from}");
            return Err(Problem::new(what).hint("say --from and --to").into());
        }
        Ok((from, to))
    }
}
