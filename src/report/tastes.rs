//! The foods a child has tasted: known foods, open reactions, and when the next new food may come.

use data_import::Error;
use jiff::civil::Date;
use serde::Serialize;

use super::plan::short_name;
use crate::food::brief_name;
use crate::notebook::{
    AllergenTaste, Child, Eczema, OFFERS_WANTED, Reaction, Settings, Taste, TasteRecord,
};
use crate::nutrition::AgeMonths;
use crate::safety::{CautionTable, Judge, NotedReaction, Objection, WaitAfter, allergy_parts};
use crate::words;

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

/// The meaning of a clearance, shown wherever one is recorded.
pub const CLEARANCE: &str =
    "This records what your doctor said; Trayful does not judge it. Watch the next meals with it.";

/// What a food that a child knows from elsewhere counts as, shown wherever one is recorded.
pub const KNOWN_COUNTS: &str =
    "It counts as tasted from that day on; no cube, no cost and no nutrient moves.";

/// The foods that a child has tasted up to a day.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct TasteReport {
    pub schema: u32,
    pub child: String,
    pub day: Date,
    pub age_months: u16,
    /// The objections to foods on record, the gravest first.
    pub objections: Vec<Objection>,
    /// Foods that are objected to until the doctor clears them.
    pub open_reactions: Vec<NotedReaction>,
    /// The first day for the next new food; `None` where nothing is waited after.
    pub next_new_food: Option<Date>,
    /// When the next new food may come, as a sentence.
    pub next: String,
    /// The first offered on top.
    pub foods: Vec<Taste>,
    pub offer_again: Vec<AgainLine>,
    /// The nine major allergens.
    pub allergens: Vec<AllergenTaste>,
    /// The allergens of the milk that was drunk in the last week, such as the cow's milk that formula is made of.
    pub drunk: Vec<String>,
    /// Published advice on allergens, and the advice to follow the child's own doctor.
    pub advice: Vec<String>,
    /// The major allergens that the child is allergic to.
    #[serde(skip)]
    pub allergic_to: Vec<&'static str>,
    /// What defers to those who know the child, in a few words.
    #[serde(skip)]
    pub defer: String,
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

impl TasteReport {
    /// Builds the report of a child's tastes on a day.
    pub fn new(
        record: &TasteRecord,
        child: &Child,
        settings: &Settings,
        (day, objections): (Date, Vec<Objection>),
        drunk: Vec<String>,
    ) -> Result<Self, Error> {
        Ok(Self {
            schema: 1,
            child: child.name.clone(),
            day,
            age_months: child.age_on(day).0,
            objections,
            open_reactions: record.open_reactions(),
            next_new_food: record.next_free(settings),
            next: next(record, settings, (child.age_on(day), day))?,
            foods: record.foods.clone(),
            offer_again: record.to_offer_again().map(again).collect(),
            allergens: record.allergens(&ALLERGENS, day),
            drunk,
            advice: advice(child, &record.open_reactions())?,
            allergic_to: allergic_to(child),
            defer: CautionTable::builtin()?.defer_in_short().to_string(),
        })
    }

    /// The reactions that are open, each in a sentence with the foods that are stopped for it, in the fewest words.
    pub fn open_in_short(&self) -> Vec<String> {
        let open = self.open_reactions.iter();
        let open = words::grouped(open.map(|one| ((one.day, one.words.as_str()), one)));
        let sentence = |((day, seen), foods): ((Date, &str), Vec<&NotedReaction>)| {
            let brief = foods.iter().map(|food| brief_name(&food.name));
            let foods = words::joined(brief, ", no ");
            format!(
                "no {foods} for {} until the doctor has cleared it: {} on {}.",
                self.child,
                words::quoted(seen),
                words::day(day)
            )
        };
        open.into_iter().map(sentence).collect()
    }

    /// Leaves only what was eaten or offered from a day on.
    pub fn keep_since(&mut self, day: Date) {
        self.foods.retain(|taste| taste.last >= day);
        let shown = |id: &str| self.foods.iter().any(|taste| taste.food == id);
        self.offer_again.retain(|again| shown(&again.food));
        self.allergens
            .retain(|one| one.last.is_some_and(|last| last >= day));
    }

    /// The objections to offering foods of the record again, without those that are listed as reactions, and without
    /// how to prepare a food that is not to be offered after one.
    pub fn not_noted(&self) -> Vec<Objection> {
        let is_open = |food: &String| self.open_reactions.iter().any(|open| open.food == *food);
        let of_open = |one: &Objection| !one.foods.is_empty() && one.foods.iter().all(is_open);
        let others = self.objections.iter();
        let others = others.filter(|one| !one.is_noted() && !of_open(one));
        others.cloned().collect()
    }

    /// How many foods are known, the newest of them, and how many were offered and never eaten.
    pub fn known_in_short(&self) -> Option<String> {
        const NEWEST: usize = 3;
        let mut known: Vec<_> = self.foods.iter().filter(|taste| taste.eaten()).collect();
        known.sort_by_key(|taste| std::cmp::Reverse(taste.first_eaten));
        let day = |taste: &Taste| words::day(taste.first_eaten.unwrap_or(taste.first));
        let newest = known.iter().take(NEWEST);
        let newest = newest.map(|taste| format!("{} ({})", short_name(&taste.name), day(taste)));
        let newest = words::joined(newest, "; ");
        let new = match self.foods.len() - known.len() {
            0 => String::new(),
            new => format!("; {} offered and never eaten", words::counted(new, "food")),
        };
        let count = words::counted(known.len(), "food");
        (!self.foods.is_empty()).then(|| match newest.as_str() {
            "" => format!("{count}{new}"),
            newest => format!("{count}, the newest: {newest}{new}"),
        })
    }

    /// The foods to offer again, with the offers made of those that are wanted.
    pub fn again_in_short(&self) -> Option<String> {
        let again = self.offer_again.iter();
        let again = again.map(|one| {
            let (name, of) = (short_name(&one.name), one.offers_wanted);
            format!("{name} ({} of about {of} offers made)", one.offers)
        });
        Some(words::joined(again, "; ")).filter(|all| !all.is_empty())
    }

    /// The major allergens that were eaten, with the meals of the last two weeks.
    pub fn allergens_eaten(&self) -> Option<String> {
        let eaten = self.allergens.iter().filter(|one| one.first.is_some());
        let eaten = eaten.map(|one| {
            let reacted = if one.reactions.is_empty() {
                ""
            } else {
                ", with a reaction"
            };
            let meals = words::counted(one.recent, "meal");
            format!("{} in {meals}{reacted}", one.allergen)
        });
        let drunk = self
            .drunk_alone()
            .map(|one| format!("{one} in the milk that is drunk"));
        let eaten = words::joined(eaten.chain(drunk), "; ");
        (!eaten.is_empty()).then(|| format!("in the last two weeks: {eaten}"))
    }

    /// The allergens that were drunk and never eaten.
    fn drunk_alone(&self) -> impl Iterator<Item = &str> {
        let alone = self
            .allergens
            .iter()
            .filter(|one| one.first.is_none() && self.drank(one));
        alone.map(|one| one.allergen.as_str())
    }

    fn drank(&self, allergen: &AllergenTaste) -> bool {
        self.drunk.contains(&allergen.allergen)
    }

    /// The major allergens that were neither eaten nor drunk.
    pub fn allergens_not_yet(&self) -> Option<String> {
        let never = self
            .allergens
            .iter()
            .filter(|one| one.first.is_none() && !self.drank(one));
        let never = words::joined(never.map(|one| one.allergen.as_str()), ", ");
        Some(never).filter(|all| !all.is_empty())
    }

    /// The known foods, or those that were offered and never eaten: name, first and last day,
    /// offers, those that were eaten, and what was seen last. `day` writes a day.
    pub fn food_rows(&self, known: bool, day: impl Fn(Date) -> String) -> Vec<[String; 6]> {
        let foods = self.foods.iter().filter(|taste| taste.eaten() == known);
        let row = |taste: &Taste| {
            [
                taste.name.clone(),
                day(taste.first_eaten.unwrap_or(taste.first)),
                day(taste.last),
                taste.offers.to_string(),
                taste.accepted.to_string(),
                last_seen(&taste.reactions, &day),
            ]
        };
        foods.map(row).collect()
    }

    /// The major allergens: name, first and last day, meals in two weeks, and what was seen last.
    pub fn allergen_rows(&self, day: impl Fn(Date) -> String) -> Vec<[String; 5]> {
        let row = |taste: &AllergenTaste| {
            let never = if self.drank(taste) {
                "in milk"
            } else {
                "not yet"
            };
            let eaten = |on: Option<Date>| on.map_or_else(|| never.into(), &day);
            let on_record = self.allergic_to.contains(&taste.allergen.as_str());
            let mark = if on_record {
                " (allergy on record)"
            } else {
                ""
            };
            [
                format!("{}{mark}", taste.allergen),
                eaten(taste.first),
                eaten(taste.last),
                taste.recent.to_string(),
                last_seen(&taste.reactions, &day),
            ]
        };
        self.allergens.iter().map(row).collect()
    }
}

fn last_seen(reactions: &[Reaction], day: impl Fn(Date) -> String) -> String {
    let last = reactions.last();
    last.map_or_else(String::new, |seen| {
        format!("{} ({})", seen.words, day(seen.day))
    })
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

/// When the next new food may come; advice on the age for solids takes precedence.
fn next(
    record: &TasteRecord,
    settings: &Settings,
    (age, day): (AgeMonths, Date),
) -> Result<String, Error> {
    if let Some(sentence) = Judge::builtin()?.before_solids(age) {
        return Ok(sentence);
    }
    let sentence = match record.next_free(settings) {
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
            let (days, free) = (settings.waiting_days, words::day(free));
            format!("The next new food may come on {free}, {days} days after {after}.")
        }
    };
    Ok(if record.open_reactions().is_empty() {
        sentence
    } else {
        format!("{sentence} Ask your paediatrician first: a reaction is open.")
    })
}

/// The major allergens that a child is allergic to, as the book has it.
fn allergic_to(child: &Child) -> Vec<&'static str> {
    let parts = child.allergies.iter().flat_map(|one| allergy_parts(one));
    parts.flat_map(|part| part.allergens).collect()
}

/// Advice on allergens; what is stopped for the child, or asked about first, is left out.
fn advice(child: &Child, open: &[NotedReaction]) -> Result<Vec<String>, Error> {
    let allergic_to = allergic_to(child);
    let is_stopped = |allergen: &str| {
        let mut noted = open.iter().flat_map(|one| &one.allergens);
        allergic_to.contains(&allergen) || noted.any(|one| one == allergen)
    };
    let egg = !is_stopped("egg");
    let is_asked_first = !egg || matches!(child.eczema, Eczema::Severe | Eczema::Unspecified);
    let peanut = !is_stopped("peanut") && !is_asked_first;
    let (what, how, source) = match (egg, peanut) {
        (true, true) => (
            "egg or peanut",
            "peanut thinned, egg well cooked",
            "NIAID addendum guidelines, 2017; Dietary Guidelines for Americans 2020, the egg from memory",
        ),
        (true, false) => (
            "egg",
            "well cooked",
            "Dietary Guidelines for Americans 2020, from memory",
        ),
        (false, _) => return Ok(vec![CautionTable::builtin()?.defer().to_string()]),
    };
    Ok(vec![
        format!(
            "No reason is known to put {what} off once other solids are eaten; {how}, a little at first, and then often ({source})."
        ),
        CautionTable::builtin()?.defer().to_string(),
    ])
}
