//! The state in which a food is bought, by its name: raw, frozen or dry, or cooked, canned or
//! prepared already.

use std::fmt;
use std::str::FromStr;

use data_import::{Food, NutrientId, group};
use serde::Serialize;

use crate::problem::nearest;

/// The state in which a food goes into the pot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum State {
    /// Neither cooked nor frozen nor dried.
    Raw,
    /// Frozen, at most blanched.
    Frozen,
    /// Dried, so that it takes up water.
    Dry,
    /// Cooked.
    Cooked,
    /// From a can.
    Canned,
    /// Made ready to eat.
    Prepared,
}

/// Every state with the word for it.
const STATES: [(State, &str); 6] = [
    (State::Raw, "raw"),
    (State::Frozen, "frozen"),
    (State::Dry, "dry"),
    (State::Cooked, "cooked"),
    (State::Canned, "canned"),
    (State::Prepared, "prepared"),
];

/// Phrases in the names of food that was heated by its maker and is eaten as it is.
const HEATED_ALREADY: [&str; 2] = ["cooked as purchased", "heated in oven"];
/// Phrases in the names of food that is still to be cooked.
const NOT_YET: [&str; 5] = [
    "uncooked",
    "unprepared",
    "unheated",
    "as purchased",
    "par-fried",
];
/// Ways to cook in the names of the dataset.
const COOKED: [&str; 26] = [
    "cooked",
    "boiled",
    "baked",
    "roasted",
    "broiled",
    "braised",
    "simmered",
    "stewed",
    "steamed",
    "poached",
    "scrambled",
    "grilled",
    "microwaved",
    "fried",
    "pan-fried",
    "pan-broiled",
    "pan-browned",
    "toasted",
    "heated",
    "rotisserie",
    "smoked",
    "sauteed",
    "charbroiled",
    "barbecued",
    "omelet",
    "hard-boiled",
];
/// Prefixes of a way to cook that say that it was not done, or not to the end.
const UNDONE: [&str; 2] = ["pre-", "par-"];
/// Phrases in the names of food that is ready to eat.
const READY: [&str; 7] = [
    "home-prepared",
    "prepared",
    "reconstituted",
    "ready-to-eat",
    "ready-to-serve",
    "ready-to-feed",
    "ready to eat",
];
/// Fast food and dishes of restaurants, every one of them eaten as it is sold.
const SERVED: [&str; 2] = [group::FAST_FOODS, group::RESTAURANT_FOODS];
/// Groups of pulses, grains and porridge.
const GRAINS_AND_PULSES: [&str; 3] = [
    group::BREAKFAST_CEREALS,
    group::LEGUMES,
    group::GRAINS_AND_PASTA,
];
/// A food with less water than this, in g per 100 g, is dry (judgement).
pub(super) const DRY_BELOW: f64 = 20.0;

impl State {
    /// The state by the name of a food: the first rule that fits.
    pub fn of(food: &Food) -> Self {
        let name = food.name.to_lowercase();
        let name = name.trim();
        let says = |phrases: &[&str]| phrases.iter().any(|phrase| name.contains(phrase));
        if whole_word(name, "canned") && !name.contains("condensed") {
            return Self::Canned;
        }
        if says(&HEATED_ALREADY) {
            return Self::Cooked;
        }
        if !says(&NOT_YET) {
            if !name.ends_with("dry") && COOKED.iter().any(|way| whole_word(name, way)) {
                return Self::Cooked;
            }
            let babyfood = name.starts_with("babyfood") && !whole_word(name, "dry");
            let served = SERVED.contains(&food.group.as_str()) || babyfood;
            if served || (READY.iter().any(|word| whole_word(name, word)) && !made_of_soy(name)) {
                return Self::Prepared;
            }
        }
        if whole_word(name, "frozen") {
            return Self::Frozen;
        }
        if is_dry(food, name) {
            Self::Dry
        } else {
            Self::Raw
        }
    }

    /// Whether it is only warmed.
    pub fn is_ready(self) -> bool {
        matches!(self, Self::Cooked | Self::Canned | Self::Prepared)
    }

    /// The word for it in recipe files, tables and JSON.
    pub fn word(self) -> &'static str {
        STATES
            .iter()
            .find(|(state, _)| *state == self)
            .map_or("raw", |(_, word)| word)
    }
}

/// Whether a name is that of tofu, which is "prepared with" what sets it, and still to be cooked.
fn made_of_soy(name: &str) -> bool {
    name.contains("tofu") && name.contains("prepared with")
}

/// Whether a food is dry: grains, pulses and whatever is called dried, with hardly any water in
/// them.
fn is_dry(food: &Food, name: &str) -> bool {
    let water = food.composition.get(NutrientId::WATER);
    let called = ["dry", "dried", "dehydrated", "powder"]
        .iter()
        .any(|word| whole_word(name, word));
    let grain = GRAINS_AND_PULSES.contains(&food.group.as_str());
    (called || grain) && water.is_some_and(|water| water < DRY_BELOW)
}

/// Whether a word stands in the name by itself: not inside another word, and not after "pre-" or
/// "par-".
fn whole_word(name: &str, word: &str) -> bool {
    // Names are short, and many words are looked for: setting up a search for each takes longer
    // than comparing every letter.
    let first = word.bytes().next();
    let starts = name
        .bytes()
        .zip(0..)
        .filter(|(byte, _)| Some(*byte) == first);
    let mut found = starts.filter(|(_, at)| name.as_bytes()[*at..].starts_with(word.as_bytes()));
    found.any(|(_, at)| {
        let (before, after) = (
            name.get(..at).unwrap_or(""),
            name.get(at + word.len()..).unwrap_or(""),
        );
        !before.ends_with(char::is_alphanumeric)
            && !after.starts_with(char::is_alphanumeric)
            && !UNDONE.iter().any(|undone| before.ends_with(undone))
    })
}

impl fmt::Display for State {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// A word that names no state.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("“{0}” is not a state of a food")]
pub struct UnknownState(pub String);

impl UnknownState {
    /// What to do next.
    pub fn hint(&self) -> String {
        let states = format!("use one of {}", STATES.map(|(_, word)| word).join(", "));
        match nearest(&self.0, STATES.iter().map(|(_, word)| *word)) {
            Some(word) => format!("did you mean “{word}”? {states}"),
            None => states,
        }
    }
}

impl FromStr for State {
    type Err = UnknownState;

    fn from_str(text: &str) -> Result<Self, UnknownState> {
        let lower = text.trim().to_lowercase();
        let known = STATES.iter().find(|(_, word)| *word == lower);
        known
            .map(|(state, _)| *state)
            .ok_or_else(|| UnknownState(text.trim().to_string()))
    }
}
