//! What a command prints that wrote something down: each entry in a parent's words, and how it is taken back.

use serde::Serialize;
use trayful::notebook::{Book, Store};
use trayful::problem::Problem;
use trayful::report::{LogLine, Page, entry_words, heading, objection_list};
use trayful::safety::Objection;
use trayful::words::sentence;

use super::failure::Failure;
use super::{Answer, Session};

/// What was just written down.
#[derive(Debug, Default)]
pub(super) struct NewEntries<'a> {
    /// The numbers of the entries.
    pub(super) entries: &'a [i64],
    /// What to watch for.
    pub(super) objections: Vec<Objection>,
    /// Further sentences.
    pub(super) more: Vec<String>,
}

/// The same for other programs.
#[derive(Debug, Serialize)]
struct NewEntriesReport {
    schema: u32,
    entries: Vec<LogLine>,
    objections: Vec<Objection>,
}

/// The answer for entries that were just written down.
pub(super) fn written_down(
    store: &Store,
    book: &Book,
    written: NewEntries<'_>,
    json: bool,
    session: &Session,
) -> Result<Answer, Failure> {
    let currency = &book.settings.currency;
    let mut found = Vec::new();
    for id in written.entries {
        found.extend(store.entry(*id)?);
    }
    if json {
        let report = NewEntriesReport {
            schema: 1,
            entries: found
                .iter()
                .map(|one| LogLine::new(one, currency))
                .collect(),
            objections: written.objections,
        };
        return session.json(&report, &[]);
    }
    let mut page = Page::new(session.look);
    objection_list(&mut page, &written.objections);
    for entry in &found {
        let words = entry_words(entry, currency);
        page.paragraph(&sentence(&format!(
            "Written down: {}, {words}",
            heading(entry)
        )));
    }
    for words in written.more {
        page.paragraph(&words);
    }
    let undo: Vec<String> = written
        .entries
        .iter()
        .map(|id| format!("`trayful undo {id}`"))
        .collect();
    page.line(&format!("If that was wrong: {}.", undo.join(", ")));
    Ok(Answer::text(page.finish()))
}

/// Words of a parent, trimmed.
///
/// Errors: none, or more than fit.
pub(super) fn own_words<'a>(what: &str, words: &'a str, example: &str) -> Result<&'a str, Failure> {
    /// Longer than this is a letter.
    const LONGEST: usize = 500;
    let words = words.trim();
    if words.is_empty() || words.chars().count() > LONGEST {
        let problem = Problem::new(format!("{what} has 1 to {LONGEST} letters"));
        return Err(problem.hint(format!("such as: {example}")).into());
    }
    Ok(words)
}
