//! `trayful measure`: weight, length and head size with their day.

use clap::Args;
use trayful::notebook::{Measured, Measurement};
use trayful::problem::Problem;
use trayful::words::quoted;

use super::failure::Failure;
use super::history::mass;
use super::written::{NewEntries, written_down};
use super::{Answer, ChildArg, DayArg, Session};

/// Arguments of `trayful measure`.
#[derive(Debug, Args)]
#[group(required = true, multiple = true, args = ["weight", "length", "head"])]
pub(super) struct MeasureArgs {
    /// The weight, such as "8.4 kg"
    #[arg(long, value_name = "MASS")]
    weight: Option<String>,
    /// The length, such as "71 cm"
    #[arg(long, value_name = "LENGTH")]
    length: Option<String>,
    /// The size of the head, such as "44.5 cm"
    #[arg(long, value_name = "LENGTH")]
    head: Option<String>,
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
    let weight = args
        .weight
        .as_deref()
        .map(|text| Ok::<_, Failure>(mass(text)?.grams()));
    let length = args.length.as_deref().map(centimetres);
    let head = args.head.as_deref().map(centimetres);
    let mut measurements = Vec::new();
    for (what, value, range) in [
        (Measured::Weight, weight, 300.0..=60_000.0),
        (Measured::Length, length, 20.0..=150.0),
        (Measured::Head, head, 15.0..=65.0),
    ] {
        let Some(value) = value.transpose()? else {
            continue;
        };
        if !range.contains(&value) {
            let what = format!("that is no {} of a child", what.word());
            return Err(Problem::new(what)
                .hint("look at the number and the unit")
                .into());
        }
        measurements.push(Measurement { day, what, value });
    }
    let mut store = book.store()?;
    let ids = store.measure(&child.name, &measurements)?;
    let written = NewEntries {
        entries: &ids,
        ..NewEntries::default()
    };
    written_down(&store, &book, written, args.json, session)
}

/// A length on the command line, in centimetres.
pub(super) fn centimetres(text: &str) -> Result<f64, Failure> {
    let (number, factor) = match text.trim().strip_suffix("in") {
        // One inch is 2.54 cm exactly (NIST SP 811).
        Some(inches) => (inches, 2.54),
        None => (text.trim().trim_end_matches("cm"), 1.0),
    };
    let length = number
        .trim()
        .parse::<f64>()
        .ok()
        .filter(|one| one.is_finite());
    length.map(|length| length * factor).ok_or_else(|| {
        Problem::new(format!("{} is no length", quoted(text)))
            .hint("write it in centimetres or inches, such as 71.5 cm or 28 in")
            .into()
    })
}
