//! `trayful tastes`: first tastes, allergens, refusals; and the warnings that come from them.

use std::collections::BTreeSet;

use clap::Args;
use jiff::civil::Date;
use trayful::notebook::{
    BatchFood, Book, Child, Feeding, OFFERS_WANTED, Store, Taste, TasteRecord,
};
use trayful::recipe::Batch;
use trayful::report::{Page, Sheet};
use trayful::safety::CautionTable;

use super::failure::Failure;
use super::{Answer, DayArg, Session};

/// The nine major allergens (FALCPA 2004, FASTER Act 2021).
const ALLERGENS: [&str; 9] = [
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

/// What a batch brings that the children have not tasted, said before it is cooked.
pub(super) fn warnings(
    book: &Book,
    store: &Store,
    batch: &Batch,
    day: Date,
) -> Result<Vec<String>, Failure> {
    let cautions = CautionTable::builtin()?;
    let ingredients = batch
        .prepared
        .ingredients
        .iter()
        .filter(|one| one.class.0 != "water");
    let foods: BTreeSet<_> = ingredients
        .map(|one| BatchFood {
            id: one.food.id.to_string(),
            name: one.food.name.clone(),
            allergens: cautions.allergens_of(&one.food).map(String::from).collect(),
        })
        .collect();
    let mut warnings = Vec::new();
    for child in &book.settings.children {
        let record = store.tastes(&child.name, day)?;
        let new = new_foods(&record, &foods);
        let free = record
            .next_free(book.settings.waiting_days)
            .filter(|free| *free > day);
        match (new.as_slice(), free) {
            ([], _) | ([_], None) => {}
            ([one], Some(free)) => {
                warnings.push(format!("{one} is new to {}: not before {free}", child.name));
            }
            (several, _) => warnings.push(format!(
                "{} foods are new to {}: {}. One at a time, {} days apart: a reaction is then easy \
                 to place",
                several.len(),
                child.name,
                several.join("; "),
                book.settings.waiting_days
            )),
        }
        warnings.extend(allergy_warnings(child, &foods, &new));
        warnings.extend(reaction_warnings(child, &record, &foods));
    }
    Ok(warnings)
}

/// What a meal brings too much of or too soon.
pub(super) fn serving_warnings(
    book: &Book,
    store: &Store,
    feeding: &Feeding<'_>,
    child: &Child,
) -> Result<Vec<String>, Failure> {
    let record = store.tastes(&child.name, feeding.day)?;
    let mut foods = BTreeSet::new();
    for pick in feeding.picks {
        foods.extend(store.foods_of(&pick.name)?);
    }
    foods.extend(feeding.foods.iter().map(|one| BatchFood {
        id: one.food.id.to_string(),
        name: one.food.name.clone(),
        allergens: one.allergens.clone(),
    }));
    let new = new_foods(&record, &foods);
    let mut warnings = Vec::new();
    if new.len() > 1 {
        warnings.push(format!(
            "{} new foods in one meal: {}. One at a time, a reaction is easy to place",
            new.len(),
            new.join("; ")
        ));
    }
    let free = record.next_free(book.settings.waiting_days);
    if let Some(free) = free.filter(|free| !new.is_empty() && *free > feeding.day) {
        let comes = if new.len() == 1 { "comes" } else { "come" };
        let due = format!("{comes} too soon: the next new food was due on {free}");
        warnings.push(format!("{} {due}", new.join("; ")));
    }
    warnings.extend(allergy_warnings(child, &foods, &new));
    warnings.extend(reaction_warnings(child, &record, &foods));
    Ok(warnings)
}

/// What was seen after earlier meals with these foods.
fn reaction_warnings(
    child: &Child,
    record: &TasteRecord,
    foods: &BTreeSet<BatchFood>,
) -> Vec<String> {
    let there = |taste: &&Taste| foods.iter().any(|food| food.id == taste.food);
    let mut by_meal: Vec<(String, Vec<&str>)> = Vec::new();
    for taste in record.foods.iter().filter(there) {
        let Some((day, seen)) = taste.reactions.last() else {
            continue;
        };
        let seen = format!("{seen} on {day}");
        match by_meal.iter_mut().find(|(known, _)| *known == seen) {
            Some((_, names)) => names.push(&taste.name),
            None => by_meal.push((seen, vec![&taste.name])),
        }
    }
    let line = |(seen, names): (String, Vec<&str>)| {
        format!(
            "after a meal with {} you noted for {}: {seen}. Ask your paediatrician before it is \
             offered again",
            names.join("; "),
            child.name
        )
    };
    by_meal.into_iter().map(line).collect()
}

fn new_foods(record: &TasteRecord, foods: &BTreeSet<BatchFood>) -> Vec<String> {
    record.new_among(
        foods
            .iter()
            .map(|food| (food.id.as_str(), food.name.as_str())),
    )
}

/// What an allergy or eczema on record says to these foods.
fn allergy_warnings(child: &Child, foods: &BTreeSet<BatchFood>, new: &[String]) -> Vec<String> {
    let mut warnings = Vec::new();
    for food in foods {
        let known = |allergen: &&String| {
            child
                .allergies
                .iter()
                .any(|known| known.eq_ignore_ascii_case(allergen))
        };
        for allergen in food.allergens.iter().filter(known) {
            warnings.push(format!(
                "{} holds {allergen}, which is on record as an allergy of {}: ask your \
                 paediatrician first",
                food.name, child.name
            ));
        }
    }
    let at_risk = child.eczema || !child.allergies.is_empty();
    let first: Vec<_> = foods
        .iter()
        .filter(|food| !food.allergens.is_empty() && new.contains(&food.name))
        .map(|food| food.name.as_str())
        .collect();
    if at_risk && !first.is_empty() {
        warnings.push(format!(
            "{}: a major allergen for the first time, and eczema or an allergy of {} is on record: \
             ask your paediatrician first (NIAID addendum guidelines on peanut allergy, 2017)",
            first.join("; "),
            child.name
        ));
    }
    warnings
}

/// The foods known to the child who knows the fewest.
pub(super) fn fewest_known(book: &Book, store: &Store, day: Date) -> Result<usize, Failure> {
    let mut fewest = usize::MAX;
    for child in &book.settings.children {
        fewest = fewest.min(store.tastes(&child.name, day)?.foods.len());
    }
    Ok(if fewest == usize::MAX { 0 } else { fewest })
}
