//! `trayful tastes`: first tastes, allergens, refusals.

use clap::Args;
use jiff::civil::Date;
use trayful::notebook::{Taste, TasteRecord};
use trayful::report::{Page, Sheet, TasteReport};

use super::failure::Failure;
use super::{Answer, DayArg, Session};

/// Arguments of `trayful tastes`.
#[derive(Debug, Args)]
pub(super) struct TastesArgs {
    /// The child; may be left out where the book has one
    #[arg(long, value_name = "NAME")]
    of: Option<String>,
    #[command(flatten)]
    day: DayArg,
}

/// Runs the command.
pub(super) fn run(args: &TastesArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let child = book.settings.child(args.of.as_deref())?;
    let day = args.day.day();
    let record = book.store()?.tastes(&child.name, day)?;
    let mut page = Page::new(session.look);
    page.heading(&format!(
        "{}, {} MONTHS OLD ON {day}",
        child.name,
        child.age_on(day).0
    ));
    let report = TasteReport::new(&record, child, book.settings.waiting_days, day)?;
    page.paragraph(&report.next);
    known(&mut page, &record);
    if !report.again.is_empty() {
        page.heading("OFFER AGAIN");
        page.list(report.again.iter().cloned());
    }
    allergens(&mut page, &report);
    Ok(Answer::text(page.finish()))
}

fn known(page: &mut Page, record: &TasteRecord) {
    if record.foods.is_empty() {
        return;
    }
    page.heading("KNOWN FOODS");
    let header = ["", "first", "last", "meals", "accepted", "reaction"]
        .map(String::from)
        .to_vec();
    let row = |taste: &Taste| {
        let seen = taste.reactions.last();
        vec![
            taste.name.clone(),
            taste.first.to_string(),
            taste.last.to_string(),
            taste.offers.to_string(),
            taste.accepted.to_string(),
            seen.map_or_else(String::new, |(day, words)| format!("{words} ({day})")),
        ]
    };
    let rows = record.foods.iter().map(row).collect();
    page.sheet(Sheet {
        header,
        rows,
        right: vec![3, 4],
    });
}

fn allergens(page: &mut Page, report: &TasteReport<'_>) {
    page.heading("THE NINE MAJOR ALLERGENS");
    let rows = report.allergens.iter().map(|taste| {
        let date = |day: Option<Date>| day.map_or_else(|| "not yet".into(), |day| day.to_string());
        let seen = taste.reactions.last();
        vec![
            taste.allergen.clone(),
            date(taste.first),
            date(taste.last),
            format!("{} in two weeks", taste.recent),
            seen.map_or_else(String::new, |(day, words)| format!("{words} ({day})")),
        ]
    });
    let header = ["", "first", "last", "meals", "reaction"]
        .map(String::from)
        .to_vec();
    page.sheet(Sheet {
        header,
        rows: rows.collect(),
        right: vec![],
    });
    page.line("");
    for words in &report.advice {
        page.paragraph(words);
    }
}
