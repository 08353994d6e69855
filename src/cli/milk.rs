//! `trayful milk`: what a child drinks a day.

use clap::Args;
use trayful::household::{Judged, drink, is_no_milk, milk_part, typed_milks};
use trayful::notebook::{Child, MilkAmount, MilkPart, NewMilk, Settings, Store, milks_at_age};
use trayful::nutrition::{AgeMonths, BreastMilk, Milk};
use trayful::report::{MilkLine, MilkReport, Page, milk_a_day, milks_in_short, objection_list};
use trayful::safety::Objection;
use trayful::spoken::{Context, Taken};
use trayful::words;

use super::again::{child_option, quoted};
use super::failure::Failure;
use super::judged::{AnywayArg, stopped};
use super::{Answer, ChildrenArg, Session, take_back};

/// The feeds of a day in the example beside breast milk that nobody counted (judgement; not a recommendation).
const USUAL_FEEDS: u32 = 5;

#[derive(Debug, Args)]
pub(super) struct MilkArgs {
    /// Every milk of a day: breast, `breast 5 feeds`, `breast 400 ml`, `600 ml own-formula`, several with commas
    /// between them, or none
    #[arg(required = true, value_name = "MILK")]
    what: Vec<String>,
    #[command(flatten)]
    children: ChildrenArg,
    /// It is so from this day on, such as last friday or 17 Oct, until you change it; today if left out
    #[arg(long, value_name = "DAY", conflicts_with = "on")]
    from: Option<String>,
    /// It was so on this day only; with --from it is so from a day on
    #[arg(long, value_name = "DAY")]
    on: Option<String>,
    #[command(flatten)]
    anyway: AnywayArg,
    /// Print one JSON object with full precision
    #[arg(long)]
    json: bool,
}

/// Records what children drink.
pub(super) fn run(args: &MilkArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let children = args.children.all(session, &book)?;
    let day = session.on_or_from((args.on.as_deref(), args.from.as_deref()), &children)?;
    let typed = typed_milks(&args.what)?;
    let taken = match typed.as_slice() {
        [none] if is_no_milk(none) => Vec::new(),
        typed => session.read_all(typed, Context::Drink)?,
    };
    let milks: Vec<MilkPart> = taken.iter().map(milk_part).collect::<Result<_, _>>()?;
    let each: Vec<NewMilk<'_>> = children
        .iter()
        .map(|child| NewMilk {
            day,
            one_day: args.on.is_some(),
            child: &child.name,
            parts: &milks,
        })
        .collect();
    let mut store = book.store()?;
    let pantry = session.pantry(None)?;
    let anyway = |found: &[Objection]| args.anyway.is_meant(found, session, args.json);
    let judged = drink(&book, &mut store, &pantry, (&children, anyway), &each)?;
    if args.json {
        return report((&children, &each), &taken, &judged, session);
    }
    let Some(entries) = &judged.recorded else {
        let what = "Nothing was recorded. If it is meant, say it again with --anyway.";
        return Ok(stopped(&judged.objections, what, session));
    };
    let mut page = Page::new(session.look);
    objection_list(&mut page, &judged.objections);
    let words = match typed.join(", ").as_str() {
        none if is_no_milk(none) => "no milk".to_string(),
        typed => typed.to_string(),
    };
    for (child, new) in children.iter().zip(&each) {
        let option = child_option(&book.settings, child);
        drunk(&mut page, &store, (child, new), (&words, &option))?;
    }
    for understood in taken.iter().filter(|food| food.by_words) {
        page.paragraph(&format!("{}.", understood.words()));
    }
    if let Some(on) = &args.on {
        page.paragraph(&from_then_on(on, &typed, (&book.settings, &children)));
    }
    page.line(&take_back(entries));
    Ok(Answer::text(page.finish()))
}

/// The sentence with the command that records the milk of one day for all days from it on.
fn from_then_on(
    day: &str,
    typed: &[String],
    (settings, children): (&Settings, &[&Child]),
) -> String {
    let options = children.iter().map(|child| child_option(settings, child));
    let options: String = options.collect();
    let (what, day) = (quoted(&typed.join(", ")), quoted(day));
    format!(
        "That counts for this day alone. From it on: `trayful milk {what} --from {day}{options}`."
    )
}

/// Adds what was recorded of a child, and what the milk comes to a day.
fn drunk(
    page: &mut Page,
    store: &Store,
    (child, new): (&Child, &NewMilk<'_>),
    (what, option): (&str, &str),
) -> Result<(), Failure> {
    let (when, on) = if new.one_day {
        ("on", "")
    } else {
        ("from", " on, until you change it")
    };
    let day = words::day(new.day);
    page.paragraph(&format!("{}, {when} {day}{on}: {what}.", child.name));
    let breast = BreastMilk::builtin()?;
    let age = child.age_on(new.day);
    let milks = milks_at_age(new.parts, age, &breast)?;
    for milk in milks.iter().flatten() {
        page.paragraph(&format!("{}.", milk_a_day(milk)));
        if let Some(estimate) = &milk.estimate {
            page.paragraph(&format!("{estimate}."));
        }
    }
    add_other_count(page, new.parts, (age, &breast), option)?;
    let in_force = store.milk_days(child, (new.day, new.day), &breast, None)?;
    let in_force = in_force.into_iter().next().and_then(|day| day.milk);
    if !are_alike(in_force.as_deref(), milks.as_deref()) {
        let now = milks_in_short(in_force.as_deref().unwrap_or_default());
        page.paragraph(&format!(
            "On {day} itself another entry counts, of that day alone: {now}."
        ));
    }
    Ok(())
}

/// Adds what breast milk comes to if it is recorded the other way: with its feeds counted, or not.
fn add_other_count(
    page: &mut Page,
    parts: &[MilkPart],
    (age, breast): (AgeMonths, &BreastMilk),
    option: &str,
) -> Result<(), Failure> {
    for part in parts.iter().filter(|part| part.breast) {
        let other = match part.amount {
            MilkAmount::Wanted => MilkAmount::Feeds(USUAL_FEEDS),
            MilkAmount::Feeds(_) => MilkAmount::Wanted,
            MilkAmount::Mass(_) => continue,
        };
        let other = [MilkPart {
            amount: other,
            ..part.clone()
        }];
        let called = match other[0].amount {
            MilkAmount::Feeds(feeds) => format!("breast {feeds} feeds"),
            _ => "breast".to_string(),
        };
        for milk in milks_at_age(&other, age, breast)?.iter().flatten() {
            page.paragraph(&format!(
                "Beside it, `trayful milk {called}{option}` would be {}.",
                milk_a_day(milk)
            ));
        }
    }
    Ok(())
}

/// Whether the milks in force on a day are those of a new entry.
///
/// The record has its milks in an order of its own, and their masses rounded.
fn are_alike(in_force: Option<&[Milk]>, new: Option<&[Milk]>) -> bool {
    let same = |milk: &Milk, other: &Milk| {
        let apart = milk.serving.mass.grams() - other.serving.mass.grams();
        milk.serving.what == other.serving.what && apart.abs() < 0.5
    };
    let is_among = |milk: &Milk, others: &[Milk]| others.iter().any(|other| same(milk, other));
    match (in_force, new) {
        (Some(now), Some(new)) => {
            now.len() == new.len() && now.iter().all(|milk| is_among(milk, new))
        }
        (now, new) => now.is_none() == new.is_none(),
    }
}

/// The answer as JSON: an object for one child; for several children, an object that lists theirs.
fn report(
    (children, each): (&[&Child], &[NewMilk<'_>]),
    taken: &[Taken],
    judged: &Judged<Vec<i64>>,
    session: &Session,
) -> Result<Answer, Failure> {
    let recorded = judged.recorded.is_some();
    let reports = children.iter().zip(each);
    let reports = reports.map(|(child, new)| of_child(child, new, judged));
    let reports: Vec<MilkReport> = reports.collect::<Result<_, _>>()?;
    Ok(session.json_of_each(&reports, taken)?.found_if(recorded))
}

fn of_child(
    child: &Child,
    new: &NewMilk<'_>,
    judged: &Judged<Vec<i64>>,
) -> Result<MilkReport, Failure> {
    let milks = milks_at_age(new.parts, child.age_on(new.day), &BreastMilk::builtin()?)?;
    let lines = milks.iter().flatten().map(|milk| MilkLine {
        what: milk.serving.what.clone(),
        words: milk_a_day(milk),
        grams: milk.serving.mass.grams(),
        estimate: milk.estimate.clone(),
    });
    Ok(MilkReport {
        schema: 1,
        child: child.name.clone(),
        day: new.day,
        one_day: new.one_day,
        recorded: judged.recorded.is_some(),
        milks: lines.collect(),
        objections: judged
            .objections
            .iter()
            .filter(|objection| objection.child.is_empty() || objection.child == child.name)
            .cloned()
            .collect(),
    })
}
