//! `trayful note` and `trayful complete`: notes in the parent's words, and days of which every meal is written down.

use clap::Args;
use trayful::notebook::Note;

use super::failure::Failure;
use super::written::{Written, own_words, written_down};
use super::{Answer, DayArg, Session};

/// Arguments of `trayful note`.
#[derive(Debug, Args)]
pub(super) struct NoteArgs {
    /// The note, in your words
    words: String,
    /// What it is about
    #[arg(long, value_name = "TOPIC", default_value = "other",
        value_parser = ["stool", "vomiting", "sleep", "texture", "haemoglobin", "appetite", "illness", "other"])]
    topic: String,
    /// The child; may be left out where the book has one
    #[arg(long, value_name = "NAME")]
    child: Option<String>,
    #[command(flatten)]
    day: DayArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Records a note.
pub(super) fn run(args: &NoteArgs, session: &Session) -> Result<Answer, Failure> {
    let example = "trayful note \"soft lumps, no gagging\" --topic texture";
    let note = Note {
        day: args.day.day(),
        topic: args.topic.clone(),
        words: own_words("a note", &args.words, example)?.to_string(),
    };
    let book = session.book()?;
    let child = book.named_child(args.child.as_deref())?;
    let mut store = book.store()?;
    let id = store.note(&child.name, &note)?;
    let written = Written {
        entries: &[id],
        more: vec!["It is printed on the page of `trayful visit`.".into()],
        ..Written::default()
    };
    written_down(&store, &book, written, args.json, session)
}

/// Arguments of `trayful complete`.
#[derive(Debug, Args)]
pub(super) struct CompleteArgs {
    /// The child; may be left out where the book has one
    #[arg(long, value_name = "NAME")]
    child: Option<String>,
    #[command(flatten)]
    day: DayArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Records that every meal of a day is written down.
pub(super) fn complete(args: &CompleteArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let child = book.named_child(args.child.as_deref())?;
    let mut store = book.store()?;
    let id = store.complete(&child.name, args.day.day())?;
    let written = Written {
        entries: &[id],
        ..Written::default()
    };
    written_down(&store, &book, written, args.json, session)
}
