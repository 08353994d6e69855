//! `trayful note` and `trayful complete`: notes in the parent's words, and days of which every meal is written down.

use clap::Args;
use trayful::notebook::{NOTE_TOPICS, Note};

use super::again::child_option;
use super::failure::Failure;
use super::written::{NewEntries, own_words, written_down};
use super::{Answer, ChildArg, DayArg, Session};

/// Arguments of `trayful note`.
#[derive(Debug, Args)]
pub(super) struct NoteArgs {
    /// The note, in your words
    words: String,
    /// What it is about
    #[arg(long, value_name = "TOPIC", default_value = "other", value_parser = NOTE_TOPICS)]
    topic: String,
    #[command(flatten)]
    child: ChildArg,
    #[command(flatten)]
    day: DayArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Records a note.
pub(super) fn run(args: &NoteArgs, session: &Session) -> Result<Answer, Failure> {
    let example = "trayful note \"soft lumps, no gagging\" --topic texture";
    let words = own_words("a note", &args.words, example)?.to_string();
    let book = session.book()?;
    let child = args.child.one(session, &book)?;
    let note = Note {
        day: args.day.done(session, &[child])?,
        topic: args.topic.clone(),
        words,
    };
    let mut store = book.store()?;
    let id = store.note(&child.name, &note)?;
    let written = NewEntries {
        entries: &[id],
        more: vec![format!(
            "It is printed on the page of `trayful visit{}`.",
            child_option(&book.settings, child)
        )],
        ..NewEntries::default()
    };
    written_down(&store, &book, written, args.json, session)
}

/// Arguments of `trayful complete`.
#[derive(Debug, Args)]
pub(super) struct CompleteArgs {
    #[command(flatten)]
    child: ChildArg,
    #[command(flatten)]
    day: DayArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Records that every meal of a day is written down.
pub(super) fn complete(args: &CompleteArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let child = args.child.one(session, &book)?;
    let mut store = book.store()?;
    let id = store.complete(&child.name, args.day.done(session, &[child])?)?;
    let written = NewEntries {
        entries: &[id],
        ..NewEntries::default()
    };
    written_down(&store, &book, written, args.json, session)
}
