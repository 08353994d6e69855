//! `trayful note` and `trayful complete`: notes in the parent's words, and days of which every meal is written down.

use clap::Args;
use trayful::household::call_for_help;
use trayful::notebook::{NOTE_TOPICS, Note, OTHER_TOPIC, topic_of};

use super::failure::Failure;
use super::written::{NewEntries, each_of, own_words, printed_at_visit, written_down};
use super::{Answer, ChildrenArg, DayArg, Session};

#[derive(Debug, Args)]
pub(super) struct NoteArgs {
    /// The note, in your words
    words: String,
    /// What it is about; if left out, what its first word says, else other
    #[arg(long, value_name = "TOPIC", value_parser = NOTE_TOPICS)]
    topic: Option<String>,
    #[command(flatten)]
    children: ChildrenArg,
    #[command(flatten)]
    day: DayArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Records a note.
pub(super) fn run(args: &NoteArgs, session: &Session) -> Result<Answer, Failure> {
    let example = "trayful note \"soft lumps, no gagging\" --topic texture";
    let words = own_words("a note", &args.words, example)?;
    let (topic, words) = match &args.topic {
        Some(topic) => (topic.as_str(), words),
        None => topic_of(words).unwrap_or((OTHER_TOPIC, words)),
    };
    let book = session.book()?;
    let children = args.children.all(session, &book)?;
    let note = Note {
        day: args.day.done(session, &children)?,
        topic: topic.to_string(),
        words: words.to_string(),
    };
    let mut store = book.store()?;
    let ids = each_of(&children, |child| store.note(&child.name, &note))?;
    let help = children.iter();
    let written = NewEntries {
        entries: &ids,
        objections: help
            .filter_map(|child| call_for_help(&child.name, &args.words))
            .collect(),
        more: printed_at_visit(&book.settings, &children, "It"),
    };
    written_down(&store, &book, written, args.json, session)
}

#[derive(Debug, Args)]
pub(super) struct CompleteArgs {
    #[command(flatten)]
    children: ChildrenArg,
    #[command(flatten)]
    day: DayArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Records that every meal of a day is written down.
pub(super) fn complete(args: &CompleteArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let children = args.children.all(session, &book)?;
    let mut store = book.store()?;
    let day = args.day.done(session, &children)?;
    let ids = each_of(&children, |child| store.complete(&child.name, day))?;
    written_down(&store, &book, NewEntries::of(&ids), args.json, session)
}
