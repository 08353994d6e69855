//! A command that was to record something and did not: its words are kept, so that nobody takes back what was recorded before.

use trayful::notebook::Book;

use super::again::quoted;

/// Commands that record something, so that after their failure nobody takes back what was recorded before.
const RECORDING: [&str; 16] = [
    "freeze",
    "serve",
    "milk",
    "question",
    "answer",
    "reaction",
    "known",
    "measure",
    "supplement",
    "note",
    "texture",
    "catch-up",
    "complete",
    "discard",
    "buy",
    "change",
];

/// Common options that may stand before the command, each followed by its value.
const OPTIONS_WITH_VALUE: [&str; 4] = ["--book", "--cache", "--own", "--today"];

/// Whether the command that was typed was to record something.
fn was_to_record(typed: &[String]) -> bool {
    let mut words = Vec::new();
    let mut rest = typed.iter().map(String::as_str);
    while let Some(word) = rest.next() {
        if OPTIONS_WITH_VALUE.contains(&word) {
            rest.next();
        } else if !word.starts_with('-') {
            words.push(word);
        }
    }
    let has = |option: &str| {
        typed
            .iter()
            .any(|word| word.split('=').next() == Some(option))
    };
    match words.as_slice() {
        ["plan", "propose", ..] => has("--keep"),
        ["plan", "set" | "clear" | "move" | "import", ..] => true,
        ["tastes", ..] => has("--cleared"),
        ["visit", ..] => has("--done"),
        [command, ..] => RECORDING.contains(command),
        [] => false,
    }
}

/// Keeps the words of a command that was to record something and did not. A book that cannot be written to has recorded
/// nothing since either.
pub(super) fn note_failure(typed: &[String], book: Option<&Book>) {
    let records = was_to_record(typed);
    let Some(book) = book.filter(|book| records && book.has_record()) else {
        return;
    };
    let words: Vec<String> = typed.iter().map(|word| quoted(word)).collect();
    if let Ok(mut store) = book.store() {
        let _ = store.note_failure(&words.join(" "));
    }
}
