//! `trayful visit`: the record of some weeks, to take along to the paediatrician.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use trayful::day::{DayReader, DayUse};
use trayful::household::{usual_first_day, visit_facts, visit_span};
use trayful::report::{VisitPage, VisitReport};
use trayful::words;

use super::card::{PROGRAM, PaperArg};
use super::failure::Failure;
use super::page_file::{unrendered, written};
use super::{Answer, ChildArg, PeriodArgs, Session};

/// Arguments of `trayful visit`.
#[derive(Debug, Args)]
pub(super) struct VisitArgs {
    #[command(flatten)]
    child: ChildArg,
    #[command(flatten)]
    period: PeriodArgs,
    /// A page to print, or its figures
    #[arg(long, value_name = "FORMAT", default_value = "html")]
    format: Format,
    /// The paper of the page
    #[arg(long, default_value = "letter")]
    paper: PaperArg,
    /// The file to write; visit.html if left out, figures are then printed; - is standard output
    file: Option<PathBuf>,
}

/// How it is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// A page to print
    Html,
    /// A long table: a row for each day, item and nutrient
    Csv,
    /// One object with everything the page shows
    Json,
}

/// Writes the record.
pub(super) fn run(args: &VisitArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let child = args.child.one(session, &book)?;
    let today = session.today();
    let reader = DayReader::of_child(today, DayUse::Past, child.born);
    let (from, to) = args.period.bounds(session, &reader)?;
    let to = to.unwrap_or(today);
    let from = from.unwrap_or_else(|| usual_first_day(child, to, None));
    let span = visit_span(child, from, to)?;
    let pantry = session.pantry(None)?;
    let facts = visit_facts(&book, &pantry, child, span)?;
    match VisitReport::of_facts(&facts, (child, &book.settings.meals), PROGRAM)? {
        Some(report) => args.write(&report),
        None => Ok(Answer::no(format!(
            "Nothing is on record for {} from {}.\n",
            child.name,
            words::days(span.0, span.1)
        ))),
    }
}

impl VisitArgs {
    fn write(&self, report: &VisitReport) -> Result<Answer, Failure> {
        let (usual, text) = match self.format {
            Format::Html => {
                let paper = self.paper.paper();
                let page = VisitPage { report, paper };
                ("visit.html", page.render().map_err(unrendered)?)
            }
            Format::Csv => ("-", report.csv().map_err(unrendered)?),
            Format::Json => ("-", serde_json::to_string_pretty(report)? + "\n"),
        };
        let file = self.file.as_deref().unwrap_or(Path::new(usual));
        let summary = format!(
            "Wrote the record of {} from {} into {}.\n",
            report.child.name,
            words::days(report.from, report.to),
            file.display()
        );
        written(file, text, summary)
    }
}
