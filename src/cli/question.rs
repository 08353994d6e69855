//! `trayful question` and `trayful answer`: what to ask at the next visit, and what the doctor said.

use clap::Args;
use trayful::household::call_for_help;
use trayful::notebook::{Question, QuestionAnswer};
use trayful::words::joined;

use super::again::child_option;
use super::failure::Failure;
use super::history::number;
use super::written::{NewEntries, own_words, written_down};
use super::{Answer, ChildrenArg, DayArg, Session};

#[derive(Debug, Args)]
pub(super) struct QuestionArgs {
    /// The question, in your words
    words: String,
    #[command(flatten)]
    children: ChildrenArg,
    #[command(flatten)]
    day: DayArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Records a question.
pub(super) fn run(args: &QuestionArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let children = args.children.all(session, &book)?;
    let option = children.first();
    let option = option.map_or_else(String::new, |child| child_option(&book.settings, child));
    let example = format!("trayful question \"Is one meat meal a day enough?\"{option}");
    let words = own_words("a question", &args.words, &example)?;
    let day = args.day.done(session, &children)?;
    let names: Vec<_> = children.iter().map(|child| child.name.as_str()).collect();
    let mut store = book.store()?;
    let entries = store.ask_each(&names, &Question::new(day, words))?;
    let answers = entries
        .iter()
        .map(|id| format!("`trayful answer {id} \"...\"`"));
    let answers = joined(answers, ", ");
    let written = NewEntries {
        entries: &entries,
        objections: names
            .iter()
            .filter_map(|child| call_for_help(child, words))
            .collect(),
        more: vec![format!(
            "It is printed on the page of `trayful visit{option}`. Its answer: {answers}."
        )],
    };
    written_down(&store, &book, written, args.json, session)
}

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
    let answer = QuestionAnswer {
        day: args.day.done(session, &[])?,
        words: own_words("an answer", &args.words, example)?.to_string(),
    };
    let book = session.book()?;
    let mut store = book.store()?;
    let question = store
        .entry(args.question)?
        .map_or(args.question, |change| change.target);
    let id = store.answer(question, &answer)?;
    let child = store.entry(id)?.map_or_else(String::new, |one| one.child);
    let written = NewEntries {
        entries: &[id],
        objections: call_for_help(&child, &answer.words).into_iter().collect(),
        ..NewEntries::default()
    };
    written_down(&store, &book, written, args.json, session)
}
