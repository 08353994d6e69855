//! `trayful plan calendar`.

use std::path::PathBuf;

use clap::Args;
use trayful::household::plan_facts;
use trayful::notebook::Plan;
use trayful::planning::agenda::Agenda;
use trayful::report::{Page, calendar, events};
use trayful::words::{self, counted};

use super::SpanArgs;
use crate::cli::failure::Failure;
use crate::cli::page_file::written;
use crate::cli::{Answer, ChildArg, Session};

#[derive(Debug, Args)]
pub(super) struct CalendarArgs {
    /// The file to write; - is standard output
    #[arg(value_name = "FILE.ics")]
    file: PathBuf,
    #[command(flatten)]
    span: SpanArgs,
    #[command(flatten)]
    child: ChildArg,
}

/// Runs the command.
pub(super) fn run(args: &CalendarArgs, session: &Session) -> Result<Answer, Failure> {
    let span = args.span.span(session)?;
    let book = session.book()?;
    let child = args.child.only(session, &book)?;
    let child = child.map(|child| child.name.clone());
    let facts = plan_facts(
        &book,
        &book.store()?,
        session.pantry(None)?,
        span,
        Plan::default(),
    )?;
    let mut agenda = Agenda::of(&facts).between(span.from, span.to);
    agenda
        .meals
        .retain(|meal| child.as_ref().is_none_or(|child| meal.slot.child == *child));
    let events = events(&facts, &agenda);
    if events.is_empty() {
        return Ok(session
            .paragraph(&format!(
                "Nothing is to be thawed or cooked from {}: no file was written.",
                words::days(span.from, span.to)
            ))
            .found_if(false));
    }
    let mut page = Page::new(session.look);
    page.paragraph(&format!(
        "Wrote {} into {}. Written anew, the file brings the same events up to date; what is no \
         longer planned is to be deleted by hand.",
        counted(events.len(), "event"),
        args.file.display()
    ));
    written(
        &args.file,
        calendar(&events, span.today),
        &page.finish(),
        session,
    )
}
