//! `trayful milk`: what a child drinks a day.

use clap::Args;
use data_import::NutrientId;
use jiff::civil::Date;
use trayful::household::{Judged, drink, helping};
use trayful::notebook::{Child, MilkAmount, MilkPart, NewMilk, Store};
use trayful::nutrition::{BreastMilk, total_of};
use trayful::quantity::Mass;
use trayful::report::{MilkLine, MilkReport, Page, amount_of, objection_list};
use trayful::safety::Objection;
use trayful::spoken::{Context, Portion, Taken, parts};
use trayful::words;

use super::failure::Failure;
use super::judged::{AnywayArg, stopped};
use super::{Answer, Session, today};

/// Arguments of `trayful milk`.
#[derive(Debug, Args)]
pub(super) struct MilkArgs {
    /// Every milk of a day: breast, `breast 5 feeds`, `breast 400 ml`, `600 ml own-formula`, several with commas
    /// between them, or none
    #[arg(required = true, value_name = "MILK")]
    what: Vec<String>,
    /// The child; may be left out where the book has one
    #[arg(long, value_name = "NAME")]
    to: Option<String>,
    /// It is so from this day on, until you say it anew; today if left out
    #[arg(long, value_name = "YYYY-MM-DD", conflicts_with = "on")]
    from: Option<Date>,
    /// It was so on this day only
    #[arg(long, value_name = "YYYY-MM-DD")]
    on: Option<Date>,
    #[command(flatten)]
    anyway: AnywayArg,
    /// Print one JSON object with full precision
    #[arg(long)]
    json: bool,
}

/// Records what a child drinks.
pub(super) fn run(args: &MilkArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let child = book.named_child(args.to.as_deref())?;
    let day = args.on.or(args.from).unwrap_or_else(today);
    let typed = parts(&args.what);
    let taken = match typed.as_slice() {
        [none] if none == "none" => Vec::new(),
        typed => session.read_all(typed, Context::Drink)?,
    };
    let milks: Vec<MilkPart> = taken.iter().map(milk).collect::<Result<_, _>>()?;
    let new = NewMilk {
        day,
        one_day: args.on.is_some(),
        child: &child.name,
        parts: &milks,
    };
    let mut store = book.store()?;
    let pantry = session.pantry(None)?;
    let anyway = |found: &[Objection]| args.anyway.is_meant(found, session, args.json);
    let judged = drink(&book, &mut store, &pantry, (child, anyway), &new)?;
    if args.json {
        return report(&store, child, (&new, &taken), &judged);
    }
    if judged.recorded.is_none() {
        let what = "Nothing was recorded. If it is meant, say it again with --anyway.";
        return Ok(stopped(&judged.objections, what, session));
    }
    let mut page = Page::new(session.look);
    objection_list(&mut page, &judged.objections);
    let when = if new.one_day { "on" } else { "from" };
    let on = if new.one_day {
        ""
    } else {
        " on, until you say it anew"
    };
    let what = match typed.join(", ").as_str() {
        "none" => "no milk".to_string(),
        typed => typed.to_string(),
    };
    let from = words::day(day);
    page.paragraph(&format!("{}, {when} {from}{on}: {what}.", child.name));
    for understood in taken.iter().filter(|one| one.by_words) {
        page.paragraph(&format!("{}.", understood.words()));
    }
    let breast = BreastMilk::builtin()?;
    let days = store.milk_days(child, (day, day), &breast, None)?;
    for milk in days.iter().filter_map(|day| day.milk.as_ref()).flatten() {
        page.paragraph(&format!("{}.", a_day(milk)));
        if let Some(estimate) = &milk.estimate {
            page.paragraph(&format!("{estimate}."));
        }
    }
    page.line("Take it back with `trayful undo`.");
    Ok(Answer::text(page.finish()))
}

/// The answer as JSON.
fn report(
    store: &Store,
    child: &Child,
    (new, taken): (&NewMilk<'_>, &[Taken]),
    judged: &Judged<()>,
) -> Result<Answer, Failure> {
    let recorded = judged.recorded.is_some();
    let breast = BreastMilk::builtin()?;
    let days = store.milk_days(child, (new.day, new.day), &breast, None)?;
    let milks = days.iter().filter_map(|day| day.milk.as_ref()).flatten();
    let lines = milks.map(|milk| MilkLine {
        what: milk.serving.what.clone(),
        words: a_day(milk),
        grams: milk.serving.mass.grams(),
        estimate: milk.estimate.clone(),
    });
    let report = MilkReport {
        schema: 1,
        child: child.name.clone(),
        day: new.day,
        one_day: new.one_day,
        recorded,
        milks: lines.collect(),
        objections: judged.objections.clone(),
    };
    Ok(Answer {
        found: recorded,
        ..Answer::json_of(&report, taken)?
    })
}

/// The amount of a milk a day.
fn a_day(milk: &trayful::nutrition::Milk) -> String {
    let figure = |id| amount_of(&total_of([&milk.serving], id), id);
    format!(
        "{:.0} g a day of {}: energy {}, iron {}",
        milk.serving.mass.grams(),
        milk.serving.what,
        figure(NutrientId::ENERGY),
        figure(NutrientId::IRON)
    )
}

/// Resolves one typed milk of a day.
pub(super) fn milk(taken: &Taken) -> Result<MilkPart, Failure> {
    let mass = taken.mass().unwrap_or(Mass::ZERO);
    Ok(MilkPart {
        helping: helping(taken.food.clone(), mass)?,
        breast: taken.food.id.as_str() == BreastMilk::FOOD,
        amount: match taken.portion {
            Portion::Mass(_, mass) => MilkAmount::Mass(mass),
            Portion::Feeds(feeds) => MilkAmount::Feeds(feeds),
            Portion::Wanted => MilkAmount::Wanted,
        },
    })
}
