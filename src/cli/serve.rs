//! `trayful serve`: a meal, oldest cubes first, and what it holds.

use clap::{Args, ValueEnum};
use data_import::NutrientId;
use jiff::civil::Date;
use trayful::notebook::{Child, Feeding, How, Served};
use trayful::nutrition::{IntakeTable, nutrients};
use trayful::report::{Page, amount, percent};

use super::failure::Failure;
use super::freezer::{freezer_line, pick};
use super::{Answer, DayArg, Session};

/// Arguments of `trayful serve`.
#[derive(Debug, Args)]
pub(super) struct ServeArgs {
    /// Cubes and recipes, such as: 2 red-lentil-squash, 1 beef-beetroot-barley
    #[arg(required = true, value_name = "N RECIPE")]
    what: Vec<String>,
    /// The child; may be left out where the book has one
    #[arg(long, value_name = "NAME")]
    to: Option<String>,
    /// How it went
    #[arg(long, value_name = "HOW", default_value = "taken")]
    how: HowArg,
    /// What was seen afterwards, in your words
    #[arg(long, value_name = "WORDS", default_value = "")]
    reaction: String,
    #[command(flatten)]
    day: DayArg,
}

/// How a meal went, on the command line.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum HowArg {
    /// Eaten
    Taken,
    /// Some of it
    Some,
    /// Not eaten
    Refused,
}

/// Runs the command.
pub(super) fn run(args: &ServeArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let child = book.settings.child(args.to.as_deref())?;
    let picks: Result<Vec<_>, _> = args
        .what
        .join(" ")
        .split(',')
        .filter(|part| !part.trim().is_empty())
        .map(pick)
        .collect();
    let feeding = Feeding {
        day: args.day.day(),
        child: &child.name,
        picks: &picks?,
        how: match args.how {
            HowArg::Taken => How::Taken,
            HowArg::Some => How::Some,
            HowArg::Refused => How::Refused,
        },
        reaction: &args.reaction,
    };
    let mut store = book.store()?;
    let mut warnings = super::tastes::serving_warnings(&book, &store, &feeding, child)?;
    let served = store.serve(&feeding)?;
    warnings.extend(past_their_day(&served, feeding.day));
    let mut page = Page::new(session.look);
    page.paragraph(&format!(
        "{}, {}: {}, {}.",
        child.name,
        feeding.day,
        parts(&served),
        feeding.how.word()
    ));
    page.paragraph(&holds(&served, child, &feeding)?);
    page.list(warnings.into_iter().map(|warning| format!("! {warning}")));
    page.paragraph(&format!(
        "{} Take it back with `trayful undo`.",
        freezer_line(&store)?
    ));
    Ok(Answer::text(page.finish()))
}

/// The cubes of a meal that were to be eaten before.
fn past_their_day(served: &Served, day: Date) -> impl Iterator<Item = String> {
    let past = served
        .parts
        .iter()
        .filter(move |(batch, _)| batch.use_by < day);
    past.map(|(batch, _)| {
        format!(
            "the cubes of batch #{} are past their last day, {}",
            batch.id, batch.use_by
        )
    })
}

fn parts(served: &Served) -> String {
    let part = |(batch, cubes): &(trayful::notebook::FrozenBatch, u32)| {
        format!("{cubes} of {} (#{})", batch.title, batch.id)
    };
    served.parts.iter().map(part).collect::<Vec<_>>().join(", ")
}

/// Energy and iron of the meal as served, iron beside the reference for the age on that day.
fn holds(served: &Served, child: &Child, feeding: &Feeding<'_>) -> Result<String, Failure> {
    let age = child.age_on(feeding.day);
    let intakes = IntakeTable::builtin()?;
    let figure = |id: NutrientId, name: &str| -> Result<String, Failure> {
        let Some(nutrient) = nutrients()?.iter().find(|one| one.id == id) else {
            return Ok(format!("{name} not known"));
        };
        let total = served.totals.get(&id).cloned().unwrap_or_default();
        let shown = amount(total.known, total.complete, nutrient);
        let share = total
            .known
            .zip(intakes.intake(id, age))
            .map(|(known, intake)| {
                format!(
                    ", {} of {} {} ({} at {} months)",
                    percent(known / intake.amount * 100.0),
                    intake.amount,
                    nutrient.unit,
                    intake.kind.label(),
                    age.0
                )
            });
        Ok(format!("{name} {shown}{}", share.unwrap_or_default()))
    };
    let served = match feeding.how {
        How::Taken => "Served and eaten",
        How::Some => "Served, of which some was eaten",
        How::Refused => "Served, not eaten",
    };
    let iron = figure(NutrientId::IRON, "iron")?;
    let energy = figure(NutrientId::ENERGY, "energy")?;
    Ok(format!("{served}: {iron}; {energy}."))
}
