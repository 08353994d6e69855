//! What a child has tasted: which foods are known, which are objected to, when the next new one may come.

use data_import::Error;
use jiff::civil::Date;
use serde::Serialize;

use crate::notebook::{
    AllergenTaste, Child, OFFERS_WANTED, OpenReaction, Settings, Taste, TasteRecord,
};
use crate::nutrition::AgeMonths;
use crate::safety::{CautionTable, DEFER, Judge, Objection, WaitAfter};

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

/// What a clearance is, said wherever one is recorded.
pub const CLEARANCE: &str =
    "This records what your doctor said; Trayful does not judge it. Watch the next meals with it.";

/// What a child has tasted up to a day.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct TasteReport {
    pub schema: u32,
    pub child: String,
    pub day: Date,
    pub age_months: u16,
    /// What speaks against foods of the record, the gravest first.
    pub objections: Vec<Objection>,
    /// Foods that are objected to until the doctor clears them.
    pub open_reactions: Vec<OpenLine>,
    /// The first day for the next new food; `None` where nothing is waited after.
    pub next_new_food: Option<Date>,
    /// When the next new food may come, in a sentence.
    pub next: String,
    /// The first offered on top.
    pub foods: Vec<TasteLine>,
    pub offer_again: Vec<AgainLine>,
    /// The nine major allergens.
    pub allergens: Vec<AllergenLine>,
    /// What publications say of allergens, and who comes first.
    pub advice: Vec<String>,
}

/// A reaction that no doctor cleared.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct OpenLine {
    pub food: String,
    pub name: String,
    pub day: Date,
    pub words: String,
}

/// A food that was offered.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct TasteLine {
    pub food: String,
    pub name: String,
    pub allergens: Vec<String>,
    pub first_offered: Date,
    pub last_offered: Date,
    /// `None` for a food that was only ever refused: it is still new.
    pub first_eaten: Option<Date>,
    pub offers: u32,
    pub eaten: u32,
    pub last_how: &'static str,
    pub reactions: Vec<ReactionLine>,
}

/// What was seen after a meal.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct ReactionLine {
    pub day: Date,
    pub words: String,
}

/// A refused food to offer again.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct AgainLine {
    pub food: String,
    pub name: String,
    pub offers: u32,
    pub offers_wanted: u32,
    pub text: String,
}

/// One of the major allergens.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct AllergenLine {
    pub allergen: String,
    pub first_eaten: Option<Date>,
    pub last_eaten: Option<Date>,
    pub meals_in_two_weeks: u32,
    pub reactions: Vec<ReactionLine>,
}

impl TasteReport {
    /// Draws it up.
    pub fn new(
        record: &TasteRecord,
        child: &Child,
        settings: &Settings,
        (day, objections): (Date, Vec<Objection>),
    ) -> Result<Self, Error> {
        let allergens = record.allergens(&ALLERGENS, day);
        Ok(Self {
            schema: 1,
            child: child.name.clone(),
            day,
            age_months: child.age_on(day).0,
            objections,
            open_reactions: record.open_reactions().into_iter().map(open).collect(),
            next_new_food: record.next_free(settings),
            next: next(record, settings, (child.age_on(day), day))?,
            foods: record.foods.iter().map(line).collect(),
            offer_again: record.to_offer_again().map(again).collect(),
            allergens: allergens.into_iter().map(allergen).collect(),
            advice: advice()?,
        })
    }
}

fn open(open: OpenReaction<'_>) -> OpenLine {
    OpenLine {
        food: open.food.to_string(),
        name: open.name.to_string(),
        day: open.day,
        words: open.words.to_string(),
    }
}

fn line(taste: &Taste) -> TasteLine {
    TasteLine {
        food: taste.food.clone(),
        name: taste.name.clone(),
        allergens: taste.allergens.clone(),
        first_offered: taste.first,
        last_offered: taste.last,
        first_eaten: taste.first_eaten,
        offers: taste.offers,
        eaten: taste.accepted,
        last_how: taste.last_how.word(),
        reactions: reactions(&taste.reactions),
    }
}

fn reactions(seen: &[(Date, String)]) -> Vec<ReactionLine> {
    let lines = seen.iter().map(|(day, words)| ReactionLine {
        day: *day,
        words: words.clone(),
    });
    lines.collect()
}

fn again(taste: &Taste) -> AgainLine {
    AgainLine {
        food: taste.food.clone(),
        name: taste.name.clone(),
        offers: taste.offers,
        offers_wanted: OFFERS_WANTED,
        text: format!(
            "{}: refused last time, {} of about {OFFERS_WANTED} offers made. Many foods are accepted \
             after 8 to 15 tries (USDA NESR: 8 to 10 and more; the wider figure from memory).",
            taste.name, taste.offers
        ),
    }
}

fn allergen(taste: AllergenTaste) -> AllergenLine {
    AllergenLine {
        first_eaten: taste.first,
        last_eaten: taste.last,
        meals_in_two_weeks: taste.recent,
        reactions: reactions(&taste.reactions),
        allergen: taste.allergen,
    }
}

/// When the next new food may come: what the age says of solids goes first.
fn next(
    record: &TasteRecord,
    settings: &Settings,
    (age, day): (AgeMonths, Date),
) -> Result<String, Error> {
    if let Some(sentence) = Judge::builtin()?.before_solids(age) {
        return Ok(sentence.to_string());
    }
    Ok(match record.next_free(settings) {
        None if record.known().is_empty() => {
            "No food is on record yet: the first may come any day.".into()
        }
        None => "A new food may come today.".into(),
        Some(free) if free <= day => "A new food may come today.".into(),
        Some(free) => {
            let after = match settings.waiting {
                WaitAfter::All => "the last",
                WaitAfter::Allergens => "the last new allergen",
            };
            let days = settings.waiting_days;
            format!("The next new food may come on {free}, {days} days after {after}.")
        }
    })
}

fn advice() -> Result<Vec<String>, Error> {
    let mut advice = vec![
        "No reason is known to put egg or peanut off once other solids are eaten; peanut thinned, \
         egg well cooked, a little at first, and then often (NIAID addendum guidelines, 2017; \
         Dietary Guidelines for Americans 2020, the egg from memory)."
            .to_string(),
    ];
    let cautions = CautionTable::builtin()?;
    let defer = cautions.all().iter().find(|one| one.id == DEFER);
    advice.extend(defer.map(|defer| defer.text.clone()));
    Ok(advice)
}
