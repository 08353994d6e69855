//! `trayful reaction`: what was seen after a meal that is written down already.

use clap::Args;
use jiff::ToSpan as _;
use jiff::civil::Date;
use trayful::household::reaction_response;
use trayful::notebook::{Book, Child, LaterReaction, LogEntry, Store};
use trayful::problem::Problem;
use trayful::report::{entry_words, heading};
use trayful::safety::tells_of_reaction;
use trayful::words::sentence;

use super::again::{child_option, quoted};
use super::failure::Failure;
use super::history::number;
use super::written::{NewEntries, own_words, written_down};
use super::{Answer, ChildArg, DayArg, Session};

/// The days before the reaction whose meals may have caused it, beside its own day (judgement).
const DAYS_BEFORE: i64 = 1;

#[derive(Debug, Args)]
pub(super) struct ReactionArgs {
    /// What was seen, in your words
    #[arg(required = true, value_name = "WORDS")]
    words: Vec<String>,
    /// The number of the meal, as `trayful log` shows it; may be left out where only one comes into question
    #[arg(long, value_name = "NUMBER", value_parser = number)]
    after: Option<i64>,
    #[command(flatten)]
    child: ChildArg,
    #[command(flatten)]
    day: DayArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Records a reaction to a meal.
pub(super) fn run(args: &ReactionArgs, session: &Session) -> Result<Answer, Failure> {
    let example = "trayful reaction \"rash on the cheeks\" --after 12";
    let typed = args.words.join(" ");
    let words = own_words("what was seen", &typed, example)?;
    if let Some((number, seen)) = entry_first(words).filter(|_| args.after.is_none()) {
        let problem = Problem::new(format!(
            "“{number}” is the number of an entry, not what was seen"
        ));
        let seen = if seen.is_empty() { "rash" } else { seen };
        let again = format!("trayful reaction {} --after {number}", quoted(seen));
        return Err(problem
            .hint(format!("write the number behind --after: {again}"))
            .into());
    }
    let book = session.book()?;
    let mut store = book.store()?;
    let day = args.day.done(session, &[])?;
    let meal = match args.after {
        Some(number) => {
            let meal = store.entry(number)?.ok_or_else(|| gone(number))?;
            if let Some(child) = args.child.only(session, &book)? {
                of_child(&meal, child, words)?;
            }
            meal
        }
        None => {
            let child = args.child.one(session, &book)?;
            only_meal(&book, &store, (child, day))?
        }
    };
    let reaction = LaterReaction {
        day,
        meal: meal.target,
        words,
    };
    let child = match meal.kind {
        "meal" => book.named_child(Some(&meal.child))?,
        _ => return Err(gone(meal.number).into()),
    };
    let id = store.react(&reaction)?;
    let pantry = session.pantry(None)?;
    let what_to_do = reaction_response((&book, &store), &pantry, child, (reaction.day, words))?;
    let currency = &book.settings.currency;
    let written = NewEntries {
        entries: &[id],
        objections: what_to_do,
        more: vec![
            sentence(&format!(
                "After: {}, {}",
                heading(&meal),
                entry_words(&meal, currency)
            )),
            if tells_of_reaction(words) {
                format!(
                    "Its foods are foods with a reaction until you record that the doctor cleared them, each by its id; `trayful tastes{}` lists them.",
                    child_option(&book.settings, child)
                )
            } else {
                "These words tell of no reaction: nothing is objected to after it.".into()
            },
        ],
    };
    written_down(&store, &book, written, args.json, session)
}

/// That a meal is one of the child who is named.
///
/// Errors: it is one of another child, whose record the reaction would stand in.
fn of_child(meal: &LogEntry, child: &Child, words: &str) -> Result<(), Problem> {
    if meal.kind != "meal" || meal.child == child.name {
        return Ok(());
    }
    let what = format!(
        "entry {} is a meal of {}, not of {}",
        meal.number, meal.child, child.name
    );
    Err(Problem::new(what).hint(format!(
        "if {} reacted: `trayful reaction {} --after {}`; the meals of {}: `trayful log --kind meal --child {}`",
        meal.child,
        quoted(words),
        meal.number,
        child.name,
        quoted(&child.name)
    )))
}

/// The number of an entry that stands before what was seen: `88 rash`.
fn entry_first(words: &str) -> Option<(&str, &str)> {
    let (first, seen) = words.split_once(' ').unwrap_or((words, ""));
    let number = first.trim_start_matches('#');
    let is_number = !number.is_empty() && number.bytes().all(|byte| byte.is_ascii_digit());
    is_number.then_some((number, seen.trim()))
}

/// The meal of a child, where only one was given on the day or the day before.
fn only_meal(
    book: &Book,
    store: &Store,
    (child, day): (&Child, Date),
) -> Result<LogEntry, Failure> {
    let from = day.saturating_sub(DAYS_BEFORE.days());
    let mut meals = store.log((from, day), false)?;
    meals.retain(|meal| meal.kind == "meal" && meal.child == child.name);
    if meals.len() == 1 {
        return Ok(meals.remove(0));
    }
    let choices: Vec<String> = meals
        .iter()
        .take(6)
        .map(|meal| {
            let words = entry_words(meal, &book.settings.currency);
            format!("--after {} for {}, {words}", meal.number, heading(meal))
        })
        .collect();
    let problem = Problem::new(format!("after which meal of {} was it seen?", child.name));
    if choices.is_empty() {
        let hint = "no meal is written down for that day or the day before; `trayful log --kind meal` lists them";
        return Err(problem.hint(hint).into());
    }
    Err(problem.hint(choices.join("; ")).into())
}

fn gone(number: i64) -> Problem {
    Problem::new(format!("entry {number} is not a meal on record"))
        .hint("`trayful log --kind meal` lists them")
}
