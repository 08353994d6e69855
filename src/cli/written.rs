//! What a command prints that wrote something down: each entry in a parent's words, and how it is taken back.

use serde::Serialize;
use trayful::notebook::{Book, BookError, Child, EntryDetail, LogEntry, Settings, Store};
use trayful::problem::Problem;
use trayful::report::{LogLine, Page, entry_words, heading, objection_list};
use trayful::safety::Objection;
use trayful::words::{sentence, together};

use super::again::{child_option, quoted, undo_command};
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

impl<'a> NewEntries<'a> {
    /// Entries beside which nothing else is to be said.
    pub(super) fn of(entries: &'a [i64]) -> Self {
        Self {
            entries,
            ..Self::default()
        }
    }
}

/// [`NewEntries`] as JSON.
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
    found.sort_by_key(|entry| (entry.day, entry.number));
    if json {
        let report = NewEntriesReport {
            schema: 1,
            entries: found
                .iter()
                .map(|entry| LogLine::new(entry, currency))
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
    if !written.entries.is_empty() {
        let undo = match found.as_slice() {
            [one] => renamed_back(one).unwrap_or_else(|| undo_command(written.entries)),
            _ => undo_command(written.entries),
        };
        page.paragraph(&format!("If that was wrong: {undo}."));
    }
    Ok(Answer::text(page.finish()))
}

/// The command that gives a recipe its former name back: a rename is no entry that is taken back; `None` for other entries.
fn renamed_back(entry: &LogEntry) -> Option<String> {
    let EntryDetail::Rename { former, later } = &entry.detail else {
        return None;
    };
    let (former, later) = (quoted(former), quoted(later));
    Some(format!("`trayful rename {later} {former}`"))
}

/// Records something of each child, and returns the numbers of the entries.
pub(super) fn each_of(
    children: &[&Child],
    mut record: impl FnMut(&Child) -> Result<i64, BookError>,
) -> Result<Vec<i64>, BookError> {
    children.iter().map(|child| record(child)).collect()
}

/// The note that an entry will be printed on the page for the visit of each child.
pub(super) fn printed_at_visit(
    settings: &Settings,
    children: &[&Child],
    what: &str,
) -> Vec<String> {
    let visits = children.iter();
    let visits = visits.map(|child| format!("`trayful visit{}`", child_option(settings, child)));
    let visits = together(visits);
    vec![format!("{what} is printed on the page of {visits}.")]
}

/// Words of a parent, trimmed.
///
/// Errors: none, or more than fit.
pub(super) fn own_words<'a>(what: &str, words: &'a str, example: &str) -> Result<&'a str, Failure> {
    /// The most letters of a note (judgement).
    const LONGEST: usize = 500;
    let words = words.trim();
    if words.is_empty() || words.chars().count() > LONGEST {
        let problem = Problem::new(format!("{what} has 1 to {LONGEST} letters"));
        return Err(problem.hint(format!("such as: {example}")).into());
    }
    Ok(words)
}
