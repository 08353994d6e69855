//! `trayful milk`: what a child drinks a day.

use clap::Args;
use data_import::NutrientId;
use jiff::civil::Date;
use trayful::food::FoodId;
use trayful::household::{Judged, Listener, Said, drink, said_parts};
use trayful::notebook::{Child, MilkAmount, MilkPart, NewMilk, Store};
use trayful::nutrition::{BreastMilk, total_of};
use trayful::problem::{Place, Problem, SourceText};
use trayful::report::{MilkLine, MilkReport, Page, amount_of, objection_list};
use trayful::safety::Objection;

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
    let child = book.settings.child(args.to.as_deref())?;
    let day = args.on.or(args.from).unwrap_or_else(today);
    let mut listener = Listener::new(session, &book);
    let said = said_parts(&args.what);
    let milks: Vec<MilkPart> = match said.as_slice() {
        [none] if none == "none" => Vec::new(),
        said => said
            .iter()
            .map(|text| milk(text, &mut listener))
            .collect::<Result<_, _>>()?,
    };
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
        return report(&store, child, &new, &judged);
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
    let what = match said.join(", ").as_str() {
        "none" => "no milk".to_string(),
        said => said.to_string(),
    };
    page.paragraph(&format!("{}, {when} {day}{on}: {what}.", child.name));
    for understood in listener.taken_as() {
        page.paragraph(&format!("{understood}."));
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
    new: &NewMilk<'_>,
    judged: &Judged<()>,
) -> Result<Answer, Failure> {
    let recorded = judged.recorded.is_some();
    let breast = BreastMilk::builtin()?;
    let days = store.milk_days(child, (new.day, new.day), &breast, None)?;
    let milks = days.iter().filter_map(|day| day.milk.as_ref()).flatten();
    let report = MilkReport {
        schema: 1,
        child: child.name.clone(),
        day: new.day,
        one_day: new.one_day,
        recorded,
        milks: milks
            .map(|milk| MilkLine {
                what: milk.serving.what.clone(),
                grams: milk.serving.mass.grams(),
                estimate: milk.estimate.clone(),
            })
            .collect(),
        objections: judged.objections.clone(),
    };
    Ok(Answer {
        found: recorded,
        ..Answer::json(&report)?
    })
}

/// What a milk brings a day.
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

/// One milk: `breast`, `breast 5 feeds`, `breast 400 ml`, or so much of a food.
fn milk(text: &str, listener: &mut Listener<'_, Session>) -> Result<MilkPart, Failure> {
    let Some(rest) = text.strip_prefix("breast") else {
        let place = Place::whole(&SourceText::new("the milk", text));
        return match listener.one(text)? {
            Said::Food(helping) => Ok(MilkPart {
                amount: MilkAmount::Mass(helping.mass),
                helping: *helping,
                breast: false,
            }),
            Said::Cubes(_) => Err(Problem::at(place, "a milk is so much of a food")
                .hint("such as `600 ml own-formula`, `breast 5 feeds`, or `breast` alone")
                .into()),
        };
    };
    let rest = rest.trim().trim_start_matches("milk").trim();
    let human: FoodId = BreastMilk::FOOD.parse()?;
    let (amount, mass) = match rest {
        "" => (MilkAmount::Wanted, None),
        feeds if feeds.ends_with("feeds") || feeds.ends_with("feed") => {
            (MilkAmount::Feeds(feeds_of(text, feeds)?), None)
        }
        volume => (MilkAmount::Wanted, Some(volume)),
    };
    let helping = listener.helping(text, mass.unwrap_or("100 g"), human.as_str())?;
    Ok(MilkPart {
        amount: mass.map_or(amount, |_| MilkAmount::Mass(helping.mass)),
        helping,
        breast: true,
    })
}

fn feeds_of(text: &str, feeds: &str) -> Result<u32, Failure> {
    let number = feeds.trim_end_matches('s').trim_end_matches("feed").trim();
    let wrong = || {
        Problem::at(
            Place::whole(&SourceText::new("the milk", text)),
            format!("`{number}` is no number of feeds a day"),
        )
        .hint("write 1 to 30, such as `breast 5 feeds`")
    };
    let feeds: u32 = number.parse().map_err(|_| wrong())?;
    if (1..=30).contains(&feeds) {
        Ok(feeds)
    } else {
        Err(wrong().into())
    }
}
