//! `trayful serve`: a meal, oldest cubes first, and what it holds.

use clap::Args;
use jiff::civil::Date;
use trayful::household::{self, JudgedMeals, TypedServings};
use trayful::notebook::{Book, Child, Feeding, FrozenBatch, Helping, How, Served, Slot, Store};
use trayful::portion::CubeCount;
use trayful::problem::Problem;
use trayful::quantity::read_number;
use trayful::report::{
    HALF_IS_GONE, Page, ServeReport, held, how_it_went, objection_list, watch_the_child,
};
use trayful::safety::{Objection, gravest_first};
use trayful::words;

use super::again::{child_option, quoted};
use super::failure::Failure;
use super::freezer::freezer_line;
use super::judged::{AnywayArg, asked, stopped};
use super::option_word::{OptionWord, one_of};
use super::{Answer, ChildrenArg, DayArg, Session, take_back};

#[derive(Debug, Args)]
pub(super) struct ServeArgs {
    /// Cubes and recipes, and so much of other food, such as: 2 red-lentil-squash, 30 ml plain yogurt; what is
    /// planned for the meal, if left out
    #[arg(value_name = "N RECIPE", required_unless_present = "meal")]
    what: Vec<String>,
    #[command(flatten)]
    children: ChildrenArg,
    /// Which meal of the day it is, such as lunch; ticks off what is planned for it
    #[arg(long, value_name = "MEAL")]
    meal: Option<String>,
    /// How it went; taken if left out, and by the share where that is said
    #[arg(long, value_name = "HOW", value_parser = one_of(&HOW))]
    how: Option<How>,
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

/// A share on the command line: `60%`, `0.6`, `1/2` or `half`.
pub(super) fn share(text: &str) -> Result<f64, String> {
    let words = text.trim().to_lowercase();
    let named = match words.trim_start_matches("a ") {
        "all" | "everything" | "all of it" | "whole" => Some(1.0),
        "three quarters" | "3/4" | "¾" => Some(0.75),
        "two thirds" | "2/3" | "⅔" => Some(2.0 / 3.0),
        "half" | "half of it" | "1/2" | "½" => Some(0.5),
        "third" | "one third" | "1/3" | "⅓" => Some(1.0 / 3.0),
        "quarter" | "one quarter" | "1/4" | "¼" => Some(0.25),
        "nothing" | "none" | "none of it" => Some(0.0),
        _ => None,
    };
    if let Some(share) = named {
        return Ok(share);
    }
    if !words.starts_with(|c: char| c.is_numeric() || matches!(c, '.' | ',' | '-')) {
        return Err(
            "write a share of the meal, such as 60% or half; where nobody knows how much it was, leave it out and say --how some".into(),
        );
    }
    let (number, whole) = match text.strip_suffix('%') {
        Some(percent) => (percent, 100.0),
        None => (text, 1.0),
    };
    match read_number(number) {
        Some(number) if (0.0..=whole).contains(&number) => Ok(number / whole),
        _ => Err("write a share of the meal, such as 60% or half".into()),
    }
}

/// How a meal went, on the command line.
pub(super) const HOW: [OptionWord<How>; 3] = [
    ("taken", "Eaten", How::Taken),
    ("some", "Some of it", How::Some),
    ("refused", "Not eaten", How::Refused),
];

/// Runs the command.
pub(super) fn run(args: &ServeArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let children = args.children.all(session, &book)?;
    let day = args.day.done(session, &children)?;
    let meal = session.meal(&book, args.meal.as_deref())?;
    args.how().check_share(args.eaten)?;
    let each = args.servings(&book, session, (day, &children), &meal)?;
    let meals: Vec<(&Child, Feeding<'_>)> = children
        .iter()
        .zip(&each)
        .map(|(child, servings)| (*child, args.feeding((child, day), &meal, servings)))
        .collect();
    let mut store = book.store()?;
    let pantry = session.pantry(None)?;
    if !args.json && !once_more(&store, &meals)? {
        return Ok(Answer::no("Nothing was recorded.\n"));
    }
    let anyway = |found: &[Objection]| args.anyway.is_meant(found, session, args.json);
    let judged = household::serve_each(&book, &mut store, &pantry, &meals, anyway)?;
    if args.json {
        return report(&meals, &each, &judged, session);
    }
    let mut objections = judged.objections.concat();
    gravest_first(&mut objections);
    let Some(recorded) = judged.recorded else {
        let what = if args.reaction.is_empty() {
            "Nothing was recorded. What was eaten can always be recorded: say it again with --anyway."
        } else {
            "Nothing was recorded, nor what you saw. Both can always be recorded: say it again with --anyway."
        };
        return Ok(stopped(&objections, what, session));
    };
    let mut page = Page::new(session.look);
    objection_list(&mut page, &objections);
    if objections.iter().any(Objection::is_block) {
        page.paragraph(&watch_the_child());
    }
    let understood = each.iter().flat_map(|servings| &servings.taken_as);
    let mut understood: Vec<_> = once(understood).collect();
    for ((child, feeding), meal) in meals.iter().zip(&recorded) {
        add_meal(&mut page, (child, feeding), &meal.served, &understood)?;
        // How the words were understood is printed with the first child alone.
        understood.clear();
    }
    let warnings = recorded.iter().flat_map(|meal| &meal.warnings);
    page.warnings(once(warnings).cloned());
    let entries: Vec<i64> = recorded.iter().map(|meal| meal.served.id).collect();
    page.paragraph(&format!(
        "{} {}",
        freezer_line(&store)?,
        take_back(&entries)
    ));
    Ok(Answer::text(page.finish()))
}

/// Whether the meals are to be recorded although one of them is on record already: the question is asked on a terminal;
/// elsewhere they are, and the answer says so.
fn once_more(store: &Store, meals: &[(&Child, Feeding<'_>)]) -> Result<bool, Failure> {
    for (child, feeding) in meals {
        let Some(entry) = household::written_before(store, feeding)? else {
            continue;
        };
        let (day, name) = (words::day(feeding.day), &child.name);
        let question = format!(
            "The same meal of {name}, {day}, is written down already, as entry {entry}.\n\
             Write it down once more? Type yes, or anything else to leave it: "
        );
        if asked(&question) == Some(false) {
            return Ok(false);
        }
    }
    Ok(true)
}

impl ServeArgs {
    /// How the meal went: as it was typed, else by the share that was eaten.
    fn how(&self) -> How {
        let by_share = self.eaten.map(How::of_share);
        self.how.or(by_share).unwrap_or(How::Taken)
    }

    /// The servings of each child: the same for all as they were typed, else what is planned for each.
    fn servings(
        &self,
        book: &Book,
        session: &Session,
        (day, children): (Date, &[&Child]),
        meal: &str,
    ) -> Result<Vec<TypedServings>, Failure> {
        if self.what.is_empty() {
            let planned = children
                .iter()
                .map(|child| planned(book, session, day, child, meal));
            return planned.collect();
        }
        let typed = session.servings(book, &self.what)?;
        Ok(vec![typed; children.len()])
    }

    /// The meal of a child as it is about to be recorded.
    fn feeding<'a>(
        &'a self,
        (child, day): (&'a Child, Date),
        meal: &'a str,
        servings: &'a TypedServings,
    ) -> Feeding<'a> {
        Feeding {
            day,
            child: &child.name,
            meal,
            picks: &servings.picks,
            foods: &servings.foods,
            how: self.how(),
            share: self.eaten,
            reaction: &self.reaction,
        }
    }
}

/// The answer as JSON: an object for one child; for several children, an object that lists theirs.
fn report(
    meals: &[(&Child, Feeding<'_>)],
    each: &[TypedServings],
    judged: &JudgedMeals,
    session: &Session,
) -> Result<Answer, Failure> {
    let mut reports = Vec::new();
    for (at, ((child, feeding), servings)) in meals.iter().zip(each).enumerate() {
        let recorded = judged.recorded.as_ref().and_then(|meals| meals.get(at));
        let objections = judged.objections.get(at).map_or(&[][..], Vec::as_slice);
        reports.push(ServeReport::new(
            child, feeding, recorded, servings, objections,
        )?);
    }
    let taken = each.first().map_or(&[][..], |servings| &servings.taken);
    Ok(session
        .json_of_each(&reports, taken)?
        .found_if(judged.recorded.is_some()))
}

/// Adds the meal that was recorded of a child, and what it holds.
fn add_meal(
    page: &mut Page,
    (child, feeding): (&Child, &Feeding<'_>),
    served: &Served,
    understood: &[&String],
) -> Result<(), Failure> {
    let called = match feeding.meal {
        "" => String::new(),
        meal => format!(", {meal}"),
    };
    page.paragraph(&format!(
        "{}, {}{called}: {}, {}.",
        child.name,
        words::day(feeding.day),
        parts(served, feeding.foods),
        how_it_went(feeding.how, feeding.share)
    ));
    for understood in understood {
        page.paragraph(&format!("{understood}."));
    }
    page.paragraph(&held(served, child, feeding)?);
    if served.parts.iter().any(|(_, cubes)| cubes.halved() > 0) {
        page.paragraph(HALF_IS_GONE);
    }
    Ok(())
}

/// Each sentence once, in order.
fn once<'a>(sentences: impl Iterator<Item = &'a String>) -> impl Iterator<Item = &'a String> {
    let mut unique: Vec<&String> = Vec::new();
    for sentence in sentences {
        if !unique.contains(&sentence) {
            unique.push(sentence);
        }
    }
    unique.into_iter()
}

fn parts(served: &Served, foods: &[Helping]) -> String {
    let cubes = |(batch, cubes): &(FrozenBatch, CubeCount)| {
        format!("{cubes} of {} (#{})", batch.title, batch.id)
    };
    let food =
        |helping: &Helping| format!("{:.0} g of {}", helping.mass.grams(), helping.food.name);
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
    let stock = book.store()?.stock()?;
    let hint = match stock.iter().find(|stock| stock.left > 0) {
        Some(stock) => format!(
            "say what was served, such as: trayful serve \"1 {}\"{} --meal {} --on {day}",
            stock.batch.name,
            child_option(&book.settings, child),
            quoted(meal)
        ),
        None => "say what was served, such as \"30 g plain yogurt\"".into(),
    };
    let (name, day) = (&child.name, words::day(day));
    let what = format!("nothing is planned for {name}, {day}, {meal}");
    Err(Problem::new(what).hint(hint).into())
}
