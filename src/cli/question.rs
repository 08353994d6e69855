//! `trayful question`: what to ask at the next visit.

use clap::Args;
use trayful::notebook::Question;
use trayful::problem::Problem;
use trayful::report::Page;
use trayful::words;

use super::failure::Failure;
use super::{Answer, DayArg, Session};

/// A question longer than this is a letter.
const LONGEST: usize = 500;

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
}

/// Records a question.
pub(super) fn run(args: &QuestionArgs, session: &Session) -> Result<Answer, Failure> {
    let words = args.words.trim();
    if words.is_empty() || words.chars().count() > LONGEST {
        return Err(
            Problem::new(format!("a question has 1 to {LONGEST} letters"))
                .hint("such as: trayful question \"Is one meat meal a day enough?\"")
                .into(),
        );
    }
    let book = session.book()?;
    let child = book.settings.child(args.about.as_deref())?;
    let question = Question {
        day: args.day.day(),
        words: words.to_string(),
    };
    book.store()?.ask(&child.name, &question)?;
    let mut page = Page::new(session.look);
    page.paragraph(&format!(
        "Written down for the visit, {}: {words}",
        words::day(question.day)
    ));
    page.line("It is printed on the page of `trayful visit`. Take it back with `trayful undo`.");
    Ok(Answer::text(page.finish()))
}
