//! `trayful tastes`: first tastes, allergens, refusals; and the warnings that come from them.

use clap::Args;
use jiff::civil::Date;
use trayful::notebook::{Child, OFFERS_WANTED, Taste, TasteRecord};
use trayful::report::{Page, Sheet};
use trayful::safety::CautionTable;

use super::failure::Failure;
use super::{Answer, DayArg, Session};

/// The nine major allergens (FALCPA 2004, FASTER Act 2021).
pub(super) const ALLERGENS: [&str; 9] = [
    "milk",
    "egg",
    "fish",
    "shellfish",
    "tree nuts",
    "peanut",
    "wheat",
    "soy",
    "sesame",
];

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
    page.paragraph(&next_line(&record, book.settings.waiting_days, day));
    known(&mut page, &record);
    offer_again(&mut page, &record);
    allergens(&mut page, &record, child, day)?;
    Ok(Answer::text(page.finish()))
}

fn next_line(record: &TasteRecord, waiting_days: u32, day: Date) -> String {
    match record.next_free(waiting_days) {
        None => "No food is on record yet: the first may come any day.".into(),
        Some(free) if free <= day => "A new food may come today.".into(),
        Some(free) => {
            format!("The next new food may come on {free}, {waiting_days} days after the last.")
        }
    }
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

fn offer_again(page: &mut Page, record: &TasteRecord) {
    let again: Vec<_> = record.to_offer_again().collect();
    if again.is_empty() {
        return;
    }
    page.heading("OFFER AGAIN");
    page.list(again.into_iter().map(|taste| {
        format!(
            "{}: refused last time, {} of about {OFFERS_WANTED} offers made. Many foods are \
             accepted after 8 to 15 tries (USDA NESR: 8 to 10 and more; the wider figure from \
             memory).",
            taste.name, taste.offers
        )
    }));
}

fn allergens(
    page: &mut Page,
    record: &TasteRecord,
    child: &Child,
    day: Date,
) -> Result<(), Failure> {
    page.heading("THE NINE MAJOR ALLERGENS");
    let rows = record.allergens(&ALLERGENS, day).into_iter().map(|taste| {
        let date = |day: Option<Date>| day.map_or_else(|| "not yet".into(), |day| day.to_string());
        let seen = taste.reactions.last();
        vec![
            taste.allergen,
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
    if child.eczema || !child.allergies.is_empty() {
        page.paragraph(
            "Eczema or an allergy is on record: ask your paediatrician before the first taste of \
             peanut, egg or another allergen (NIAID addendum guidelines on peanut allergy, 2017).",
        );
    }
    page.paragraph(
        "No reason is known to put egg or peanut off once other solids are eaten; peanut thinned, \
         egg well cooked, a little at first, and then often (NIAID addendum guidelines, 2017; \
         Dietary Guidelines for Americans 2020, the egg from memory).",
    );
    let cautions = CautionTable::builtin()?;
    if let Some(defer) = cautions
        .all()
        .iter()
        .find(|one| one.id == trayful::safety::DEFER)
    {
        page.paragraph(&defer.text);
    }
    Ok(())
}
