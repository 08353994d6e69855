//! `trayful question` and `trayful answer`: what to ask at the next visit, and what the doctor said.

use clap::Args;
use trayful::notebook::{Answer as DoctorsAnswer, Question};

use super::failure::Failure;
use super::history::number;
use super::written::{Written, own_words, written_down};
use super::{Answer, DayArg, Session};

/// Arguments of `trayful question`.
#[derive(Debug, Args)]
pub(super) struct QuestionArgs {
    /// The question, in your words
    words: String,
    /// The child it is about; may be left out where the book has one
    #[arg(long, value_name = "NAME")]
    about: Option<String>,
    #[command(flatten)]
    day: DayArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Records a question.
pub(super) fn run(args: &QuestionArgs, session: &Session) -> Result<Answer, Failure> {
    let example = "trayful question \"Is one meat meal a day enough?\"";
    let words = own_words("a question", &args.words, example)?;
    let book = session.book()?;
    let child = book.named_child(args.about.as_deref())?;
    let mut store = book.store()?;
    let id = store.ask(&child.name, &Question::new(args.day.day(), words))?;
    let written = Written {
        entries: &[id],
        more: vec![format!(
            "It is printed on the page of `trayful visit`. Its answer: `trayful answer {id} \"...\"`."
        )],
        ..Written::default()
    };
    written_down(&store, &book, written, args.json, session)
}

/// Arguments of `trayful answer`.
#[derive(Debug, Args)]
pub(super) struct AnswerArgs {
    /// The number of the question, as `trayful log --kind question` shows it
    #[arg(value_parser = number)]
    question: i64,
    /// What the doctor said, in your words
    words: String,
    #[command(flatten)]
    day: DayArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Records the answer to a question.
pub(super) fn answer(args: &AnswerArgs, session: &Session) -> Result<Answer, Failure> {
    let example = "trayful answer 12 \"one is enough\"";
    let answer = DoctorsAnswer {
        day: args.day.day(),
        words: own_words("an answer", &args.words, example)?.to_string(),
    };
    let book = session.book()?;
    let mut store = book.store()?;
    let question = store
        .entry(args.question)?
        .map_or(args.question, |one| one.target);
    let id = store.answer(question, &answer)?;
    let written = Written {
        entries: &[id],
        ..Written::default()
    };
    written_down(&store, &book, written, args.json, session)
}
