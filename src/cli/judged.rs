//! Commands that an objection may block: the objections come first, and nothing is recorded without confirmation.

use std::io::{self, BufRead as _, IsTerminal as _, Write as _};

use clap::Args;
use trayful::report::{Page, objection_list};
use trayful::safety::Objection;

use super::{Answer, Session};

// The option that overrides an objection.
#[derive(Debug, Args)]
pub(super) struct AnywayArg {
    /// Record it although it should not be given: what was eaten can always be recorded
    #[arg(long)]
    pub(super) anyway: bool,
}

impl AnywayArg {
    /// The option of a command that no objection can stop: not given.
    pub(super) const NO: Self = Self { anyway: false };

    /// Whether these objections are overridden, by the option or by an answer on the terminal.
    pub(super) fn is_meant(&self, objections: &[Objection], session: &Session, json: bool) -> bool {
        self.anyway || (!json && confirmed(objections, session))
    }
}

/// Asks for confirmation on a terminal.
fn confirmed(objections: &[Objection], session: &Session) -> bool {
    let mut page = Page::new(session.look);
    objection_list(&mut page, objections);
    page.line("");
    let question = "Record it anyway? Type yes, or anything else to leave it: ";
    asked(&(page.finish() + question)).unwrap_or(false)
}

/// Whether a question was answered with yes; `None` where there is no terminal to ask on.
pub(super) fn asked(question: &str) -> Option<bool> {
    let yes = |line: String| line.eq_ignore_ascii_case("yes");
    typed_at(question).map(|line| line.is_ok_and(yes))
}

/// The line typed at a question, trimmed; `None` where there is no terminal to ask on.
pub(super) fn typed_at(question: &str) -> Option<io::Result<String>> {
    let (stdin, mut stderr) = (io::stdin(), io::stderr());
    if !stdin.is_terminal() || !stderr.is_terminal() {
        return None;
    }
    let mut line = String::new();
    let asked = stderr.write_all(question.as_bytes());
    let read = asked.and_then(|()| stdin.lock().read_line(&mut line));
    Some(read.map(|_| line.trim().to_string()))
}

/// The answer where an objection stopped the command: the objections, and `what` to do.
pub(super) fn stopped(objections: &[Objection], what: &str, session: &Session) -> Answer {
    let mut page = Page::new(session.look);
    objection_list(&mut page, objections);
    page.line("");
    page.paragraph(what);
    Answer::no(page.finish())
}
