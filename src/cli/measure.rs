//! `trayful measure`: weight, length and head size with their day.

use clap::Args;
use trayful::household::{self, measurement};
use trayful::notebook::Measured;
use trayful::report::far_from;

use super::failure::Failure;
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
    let mut store = book.store()?;
    let before = store.measurements(&child.name, session.today())?;
    let far = measurements.iter();
    let far = far.filter_map(|one| household::far_from_before(one, &before));
    let more = far.map(far_from).collect();
    let ids = store.measure(&child.name, &measurements)?;
    let written = NewEntries {
        entries: &ids,
        more,
        ..NewEntries::default()
    };
    written_down(&store, &book, written, args.json, session)
}
