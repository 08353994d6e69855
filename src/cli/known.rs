//! `trayful known`: foods that a child ate away from this book.

use clap::Args;
use data_import::Food;
use trayful::household::know_foods;
use trayful::next_step::NextStep;
use trayful::problem::Problem;
use trayful::report::KNOWN_COUNTS;
use trayful::spoken::{Context, Reader, parts};
use trayful::words;

use super::failure::Failure;
use super::written::{NewEntries, written_down};
use super::{Answer, ChildrenArg, DayArg, Session};

#[derive(Debug, Args)]
pub(super) struct KnownArgs {
    /// The foods, by id or in your words, with commas between them
    #[arg(required = true, value_name = "FOOD")]
    foods: Vec<String>,
    #[command(flatten)]
    children: ChildrenArg,
    /// Where or how it was, in your words
    #[arg(long, value_name = "WORDS", default_value = "")]
    words: String,
    /// What was seen afterwards, in your words
    #[arg(long, value_name = "WORDS", default_value = "")]
    reaction: String,
    #[command(flatten)]
    day: DayArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Records that a child knows foods.
pub(super) fn run(args: &KnownArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let children = args.children.all(session, &book)?;
    let day = args.day.done(session, &children)?;
    let foods = parts(&args.foods);
    if foods.is_empty() {
        let problem = Problem::new("no food is named that the child knows");
        return Err(problem
            .hint("such as: trayful known \"sweet potato, oats\"")
            .into());
    }
    let foods = foods.iter().map(|typed| named(typed, session));
    let foods: Vec<Food> = foods.collect::<Result<_, _>>()?;
    let mut store = book.store()?;
    let remarks = (args.reaction.trim(), args.words.trim());
    let pantry = session.pantry(None)?;
    let (mut ids, mut objections) = (Vec::new(), Vec::new());
    for child in children {
        let (entries, found) =
            know_foods((&book, &mut store), &pantry, (child, day), &foods, remarks)?;
        ids.extend(entries);
        objections.extend(found);
    }
    let mut more = vec![KNOWN_COUNTS.to_string()];
    if args.day.is_today() {
        more.push(format!(
            "It is new on {}, and the next new food waits from then: of what was known before, say since when with --on.",
            words::day(day)
        ));
    }
    let written = NewEntries {
        entries: &ids,
        objections,
        more,
    };
    written_down(&store, &book, written, args.json, session)
}

/// The food that is named by words without an amount.
///
/// Errors: there is no food of this name, or several.
fn named(typed: &str, session: &Session) -> Result<Food, Failure> {
    let mut found = Reader::new(session, Context::Table).named(typed)?;
    if found.len() == 1 {
        return Ok(found.remove(0));
    }
    let what = format!("{} may be several foods", words::quoted(typed));
    let choices = found.iter().take(3);
    let choices: Vec<String> = choices
        .map(|food| format!("trayful known {} for {}", food.id, food.name))
        .collect();
    if choices.is_empty() {
        let what = format!("no food is called {}", words::quoted(typed));
        let find = NextStep::FindFood(typed.to_string());
        return Err(Problem::new(what).hint(find).into());
    }
    Err(Problem::new(what).hint(choices.join("; ")).into())
}
