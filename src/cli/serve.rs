//! `trayful serve`: a meal, oldest cubes first, and what it holds.

use clap::{Args, ValueEnum};
use jiff::civil::Date;
use trayful::household::{self, Judged, TypedServings};
use trayful::notebook::{Book, Child, Feeding, Helping, How, Served, Slot};
use trayful::problem::Problem;
use trayful::report::{Page, ServeReport, WATCH, held, objection_list};
use trayful::safety::Objection;
use trayful::words;

use super::failure::Failure;
use super::freezer::freezer_line;
use super::judged::{AnywayArg, stopped};
use super::{Answer, DayArg, Session};

/// Arguments of `trayful serve`.
#[derive(Debug, Args)]
pub(super) struct ServeArgs {
    /// Cubes and recipes, and so much of other food, such as: 2 red-lentil-squash, 30 ml plain yogurt; what is
    /// planned for the meal, if left out
    #[arg(value_name = "N RECIPE", required_unless_present = "meal")]
    what: Vec<String>,
    /// The child; may be left out where the book has one
    #[arg(long, value_name = "NAME")]
    to: Option<String>,
    /// Which meal of the day it is, such as lunch; ticks off what is planned for it
    #[arg(long, value_name = "MEAL")]
    meal: Option<String>,
    /// How it went
    #[arg(long, value_name = "HOW", default_value = "taken")]
    how: HowArg,
    /// The share of it that was eaten, such as 60%; of some, half if left out
    #[arg(long, value_name = "SHARE", value_parser = share)]
    eaten: Option<f64>,
    /// What was seen afterwards, in your words
    #[arg(long, value_name = "WORDS", default_value = "")]
    reaction: String,
    #[command(flatten)]
    anyway: AnywayArg,
    #[command(flatten)]
    day: DayArg,
    /// Print one JSON object with full precision
    #[arg(long)]
    json: bool,
}

/// A share on the command line: `60%` or `0.6`.
pub(super) fn share(text: &str) -> Result<f64, String> {
    let (number, whole) = match text.strip_suffix('%') {
        Some(percent) => (percent, 100.0),
        None => (text, 1.0),
    };
    match number.trim().parse::<f64>() {
        Ok(number) if (0.0..=whole).contains(&number) => Ok(number / whole),
        _ => Err("write a share of the meal, such as 60%".into()),
    }
}

/// How a meal went, on the command line.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum HowArg {
    /// Eaten
    Taken,
    /// Some of it
    Some,
    /// Not eaten
    Refused,
}

impl HowArg {
    pub(super) fn how(self) -> How {
        match self {
            Self::Taken => How::Taken,
            Self::Some => How::Some,
            Self::Refused => How::Refused,
        }
    }
}

/// Runs the command.
pub(super) fn run(args: &ServeArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let child = book.named_child(args.to.as_deref())?;
    let day = args.day.day();
    let meal = session.meal(&book, args.meal.as_deref())?;
    let meal = meal.as_str();
    let servings = if args.what.is_empty() {
        planned(&book, session, day, child, meal)?
    } else {
        session.servings(&book, &args.what)?
    };
    let feeding = Feeding {
        day,
        child: &child.name,
        meal,
        picks: &servings.picks,
        foods: &servings.foods,
        how: args.how.how(),
        share: args.eaten,
        reaction: &args.reaction,
    };
    let mut store = book.store()?;
    let pantry = session.pantry(None)?;
    let anyway = |found: &[Objection]| args.anyway.is_meant(found, session, args.json);
    let who = (child, anyway);
    let Judged {
        objections,
        recorded,
    } = household::serve(&book, &mut store, &pantry, who, &feeding)?;
    let report = ServeReport::new(child, &feeding, recorded.as_ref(), &servings, &objections)?;
    if args.json {
        return Ok(Answer {
            found: recorded.is_some(),
            ..Answer::json_of(&report, &servings.taken)?
        });
    }
    let Some(household::RecordedMeal { served, warnings }) = recorded else {
        let what = "Nothing was recorded. What was eaten can always be recorded: say it again with --anyway.";
        return Ok(stopped(&objections, what, session));
    };
    let mut page = Page::new(session.look);
    objection_list(&mut page, &objections);
    if objections.iter().any(Objection::is_block) {
        page.paragraph(WATCH);
    }
    let called = if meal.is_empty() {
        String::new()
    } else {
        format!(", {meal}")
    };
    page.paragraph(&format!(
        "{}, {}{called}: {}, {}.",
        child.name,
        words::day(feeding.day),
        parts(&served, &servings.foods),
        feeding.how.word()
    ));
    for understood in &servings.taken_as {
        page.paragraph(&format!("{understood}."));
    }
    page.paragraph(&held(&served, child, day, feeding.how)?);
    page.list(warnings.into_iter().map(|warning| format!("! {warning}")));
    page.paragraph(&format!(
        "{} Take it back with `trayful undo`.",
        freezer_line(&store)?
    ));
    Ok(Answer::text(page.finish()))
}

fn parts(served: &Served, foods: &[Helping]) -> String {
    let cubes = |(batch, cubes): &(trayful::notebook::FrozenBatch, u32)| {
        format!("{cubes} of {} (#{})", batch.title, batch.id)
    };
    let food = |one: &Helping| format!("{:.0} g of {}", one.mass.grams(), one.food.name);
    let parts = served.parts.iter().map(cubes);
    let parts: Vec<_> = parts.chain(foods.iter().map(food)).collect();
    parts.join(", ")
}

/// The servings that are planned for a meal.
fn planned(
    book: &Book,
    session: &Session,
    day: Date,
    child: &Child,
    meal: &str,
) -> Result<TypedServings, Failure> {
    let slot = Slot {
        day,
        child: child.name.clone(),
        meal: meal.to_string(),
    };
    if let Some(servings) = household::planned_meal(&book.store()?, session, &slot)? {
        return Ok(servings);
    }
    let (name, day) = (&child.name, words::day(day));
    let what = format!("nothing is planned for {name}, {day}, {meal}");
    let hint = "say what was served, such as: trayful serve \"2 red-lentil-squash\"";
    Err(Problem::new(what).hint(hint).into())
}
