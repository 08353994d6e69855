//! Answers of commands that the judge may stop: what speaks against it first, and nothing recorded until it is meant.

use std::io::{BufRead as _, IsTerminal as _, Write as _};

use clap::Args;
use trayful::report::{Page, objection_list};
use trayful::safety::Objection;

use super::{Answer, Session};

/// Says that what the judge stops is meant.
#[derive(Debug, Args)]
pub(super) struct AnywayArg {
    /// Record it although it should not be given: what was eaten can always be recorded
    #[arg(long)]
    pub(super) anyway: bool,
}

impl AnywayArg {
    /// Whether it is meant although these objections stop it: as was said, or as is said now on a terminal.
    pub(super) fn is_meant(&self, objections: &[Objection], session: &Session, json: bool) -> bool {
        self.anyway || (!json && confirmed(objections, session))
    }
}

/// Asks on a terminal whether it is meant.
fn confirmed(objections: &[Objection], session: &Session) -> bool {
    let (stdin, mut stderr) = (std::io::stdin(), std::io::stderr());
    if !stdin.is_terminal() || !stderr.is_terminal() {
        return false;
    }
    let mut page = Page::new(session.look);
    objection_list(&mut page, objections);
    page.line("");
    let mut line = String::new();
    let heard = stderr
        .write_all(page.finish().as_bytes())
        .and_then(|()| {
            stderr.write_all(b"Record it anyway? Type yes, or anything else to leave it: ")
        })
        .and_then(|()| stdin.lock().read_line(&mut line));
    heard.is_ok() && line.trim().eq_ignore_ascii_case("yes")
}

/// The answer in place of what was stopped.
pub(super) fn stopped(objections: &[Objection], what: &str, session: &Session) -> Answer {
    let mut page = Page::new(session.look);
    objection_list(&mut page, objections);
    page.line("");
    page.paragraph(what);
    Answer::no(page.finish())
}
