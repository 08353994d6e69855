//! `trayful measure`: weight, length and head size with their day.

use clap::Args;
use trayful::household::{self, measure_doubt, measurement};
use trayful::notebook::Measured;
use trayful::problem::Problem;
use trayful::report::doubted;
use trayful::words::{capital, joined};

use super::failure::Failure;
use super::judged::asked;
use super::written::{NewEntries, written_down};
use super::{Answer, ChildArg, DayArg, Session};

#[derive(Debug, Args)]
#[group(required = true, multiple = true, args = ["measured", "weight", "length", "head"])]
pub(super) struct MeasureArgs {
    /// Weight, length or head size in your words, such as "8.4 kg, 66 cm, head 44 cm"
    #[arg(value_name = "MEASUREMENTS")]
    measured: Vec<String>,
    /// The weight, such as "8.4 kg"
    #[arg(long, value_name = "MASS")]
    weight: Option<String>,
    /// The length, such as "71 cm"
    #[arg(long, value_name = "LENGTH")]
    length: Option<String>,
    /// The size of the head, such as "44.5 cm"
    #[arg(long, value_name = "LENGTH")]
    head: Option<String>,
    /// Record it although it is far from what is known of the child
    #[arg(long)]
    anyway: bool,
    #[command(flatten)]
    child: ChildArg,
    #[command(flatten)]
    day: DayArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Records measurements.
pub(super) fn run(args: &MeasureArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let child = args.child.one(session, &book)?;
    let day = args.day.done(session, &[child])?;
    let mut measurements = household::measurements(day, &args.measured.join(" "))?;
    for (what, text) in [
        (Measured::Weight, &args.weight),
        (Measured::Length, &args.length),
        (Measured::Head, &args.head),
    ] {
        let text = text.as_deref();
        let read = text.map(|text| measurement(day, what, text));
        measurements.extend(read.transpose()?);
    }
    if measurements.is_empty() {
        let problem = Problem::new("nothing is named that was measured");
        return Err(problem
            .hint("such as: trayful measure \"8.4 kg, 66 cm\"")
            .into());
    }
    let mut store = book.store()?;
    let before = store.measurements(&child.name, session.today())?;
    let doubts = measurements.iter().filter_map(|measurement| {
        let doubt = measure_doubt(measurement, child, &before, session.today())?;
        Some(doubted(
            measurement,
            &doubt,
            child,
            "say it again with --anyway",
        ))
    });
    let doubts: Vec<Problem> = doubts.collect();
    if !doubts.is_empty() && !args.anyway {
        match confirmed(&doubts, args.json) {
            None => return Err(doubts.into()),
            Some(false) => return Ok(Answer::no("Nothing was recorded.\n")),
            Some(true) => {}
        }
    }
    let ids = store.measure(&child.name, &measurements)?;
    written_down(&store, &book, NewEntries::of(&ids), args.json, session)
}

/// Whether doubtful measurements are right, as it is answered on a terminal; `None` where there is none to ask on.
fn confirmed(doubts: &[Problem], json: bool) -> Option<bool> {
    if json {
        return None;
    }
    let what = joined(doubts.iter().map(|one| capital(&one.what)), "\n");
    asked(&format!(
        "{what}.\nRecord it? Type yes, or anything else to leave it: "
    ))
}
