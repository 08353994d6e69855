//! What a child has tasted, in sentences.

use data_import::Error;
use jiff::civil::Date;

use crate::notebook::{AllergenTaste, Child, OFFERS_WANTED, TasteRecord};
use crate::nutrition::{AgeMonths, Solids};
use crate::safety::{CautionTable, DEFER};

/// The nine major allergens (FALCPA 2004, FASTER Act 2021).
pub const ALLERGENS: [&str; 9] = [
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

/// What a child has tasted up to a day.
#[derive(Debug)]
pub struct TasteReport<'a> {
    /// The record.
    pub record: &'a TasteRecord,
    /// When the next new food may come.
    pub next: String,
    /// Foods to offer again, a sentence each.
    pub again: Vec<String>,
    /// The nine major allergens.
    pub allergens: Vec<AllergenTaste>,
    /// What publications say of allergens, and who comes first.
    pub advice: Vec<String>,
}

impl<'a> TasteReport<'a> {
    /// Draws it up.
    pub fn new(
        record: &'a TasteRecord,
        child: &Child,
        waiting_days: u32,
        day: Date,
    ) -> Result<Self, Error> {
        let again = record.to_offer_again().map(|taste| {
            format!(
                "{}: refused last time, {} of about {OFFERS_WANTED} offers made. Many foods are \
                 accepted after 8 to 15 tries (USDA NESR: 8 to 10 and more; the wider figure from \
                 memory).",
                taste.name, taste.offers
            )
        });
        Ok(Self {
            next: next(record, waiting_days, (child.age_on(day), day)),
            again: again.collect(),
            allergens: record.allergens(&ALLERGENS, day),
            advice: advice(child)?,
            record,
        })
    }
}

/// When the next new food may come: what the age says of solids goes first.
fn next(record: &TasteRecord, waiting_days: u32, (age, day): (AgeMonths, Date)) -> String {
    if let Some(sentence) = Solids::at(age).sentence() {
        return sentence.into();
    }
    match record.next_free(waiting_days) {
        None => "No food is on record yet: the first may come any day.".into(),
        Some(free) if free <= day => "A new food may come today.".into(),
        Some(free) => {
            format!("The next new food may come on {free}, {waiting_days} days after the last.")
        }
    }
}

fn advice(child: &Child) -> Result<Vec<String>, Error> {
    let mut advice = Vec::new();
    if child.eczema || !child.allergies.is_empty() {
        advice.push(
            "Eczema or an allergy is on record: ask your paediatrician before the first taste of \
             peanut, egg or another allergen (NIAID addendum guidelines on peanut allergy, 2017)."
                .to_string(),
        );
    }
    advice.push(
        "No reason is known to put egg or peanut off once other solids are eaten; peanut thinned, \
         egg well cooked, a little at first, and then often (NIAID addendum guidelines, 2017; \
         Dietary Guidelines for Americans 2020, the egg from memory)."
            .to_string(),
    );
    let cautions = CautionTable::builtin()?;
    let defer = cautions.all().iter().find(|one| one.id == DEFER);
    advice.extend(defer.map(|defer| defer.text.clone()));
    Ok(advice)
}
