//! `trayful question`: what to ask at the next visit.

use clap::Args;
use trayful::notebook::Question;
use trayful::problem::Problem;
use trayful::report::Page;
use trayful::words;

use super::again::child_option;
use super::failure::Failure;
use super::{Answer, ChildrenArg, DayArg, Session, take_back};

/// A question longer than this is a letter.
const LONGEST: usize = 500;

/// Arguments of `trayful question`.
#[derive(Debug, Args)]
pub(super) struct QuestionArgs {
    /// The question, in your words
    words: String,
    #[command(flatten)]
    children: ChildrenArg,
    #[command(flatten)]
    day: DayArg,
}

/// Records a question.
pub(super) fn run(args: &QuestionArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let children = args.children.all(session, &book.settings)?;
    let option = children
        .first()
        .map(|child| child_option(&book.settings, child));
    let option = option.unwrap_or_default();
    let words = args.words.trim();
    if words.is_empty() || words.chars().count() > LONGEST {
        let such = format!("such as: trayful question \"Is one meat meal a day enough?\"{option}");
        let problem = Problem::new(format!("a question has 1 to {LONGEST} letters"));
        return Err(problem.hint(such).into());
    }
    let question = Question {
        day: args.day.done(session, &children)?,
        words: words.to_string(),
    };
    let names: Vec<_> = children.iter().map(|child| child.name.as_str()).collect();
    book.store()?.ask_each(&names, &question)?;
    let mut page = Page::new(session.look);
    let about = match names.as_slice() {
        [_] => String::new(),
        several => format!(" of {}", words::joined(several, " and ")),
    };
    page.paragraph(&format!(
        "Written down for the visit{about}, {}: {words}",
        words::day(question.day)
    ));
    page.paragraph(&format!(
        "It is printed on the page of `trayful visit{option}`. {}",
        take_back(names.len())
    ));
    Ok(Answer::text(page.finish()))
}
