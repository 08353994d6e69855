//! How well one food answers one reading of a query.
//!
//! The costs are judgement, tuned by hand to the queries of the split `tune` in
//! `tests/data/kitchen-queries.csv`; `tests/world/search.rs` holds the share of the queries that
//! find their food. An ordinary word that the query leaves unsaid costs 1 point.

use super::describe::{Described, NamePlace, NameToken};
use super::forms;
use super::group_number as group;
use super::query::{QueryWord, QueryWordKind, Reading};
use super::term::Term;

/// Cost of a naming word that the food lacks: more than all else together.
pub(super) const MISSING: f64 = 100.0;
/// Cost of each step down the ranks of the sources: that of an ordinary word left unsaid.
const SOURCE_RANK: f64 = 1.0;
/// Cost of a brand nobody asked for.
const BRANDED: f64 = 6.0;
/// Points of the general row of its kind.
const GENERAL: f64 = 0.3;
/// Cost of a word of which it is not sure at all that it is meant.
const UNSURE: f64 = 4.0;
/// Cost, beside [`MISSING`], of lacking the rarest word.
const RAREST: f64 = 10.0;
/// The share of its cost that a quiet word has.
const QUIET_SHARE: f64 = 0.6;
/// Cost of a quiet word that the food lacks.
const QUIET_MISSING: f64 = 3.0;
/// Cost of a word for a form that the food's words lack; `forms::suit` weighs the form itself.
const FORM_MISSING: f64 = 0.5;
/// Cost of a food whose own name is only what the food asked for lies in.
const MEDIUM_AS_FOOD: f64 = 6.0;
/// Cost of a word that sorts the food, or stands right after its name.
const BESIDE_NAME: f64 = 0.3;
/// Cost of a word of a common name that the query says in full.
const IN_SAID_ALIAS: f64 = 0.5;
/// Cost of a word further on in the description.
const IN_TAIL: f64 = 1.0;
/// Cost of a word of a common name.
const IN_ALIAS: f64 = 1.5;
/// Cost of a word in brackets.
const IN_ASIDE: f64 = 2.0;
/// The most that the words which the query does not have cost together.
const MOST_UNSAID: f64 = 12.0;

/// How well `described` answers `reading`: 0 is perfect, less is worse.
///
/// `rarity` gives how rare a word is, 0 to 1: lacking a rare word is worse.
pub(super) fn score(described: &Described, reading: &Reading, rarity: impl Fn(Term) -> f64) -> f64 {
    let mut matched = vec![false; described.tokens.len()];
    for word in &reading.words {
        mark_matched(described, word, &mut matched);
    }
    let renamed = is_renamed(&described.tokens, &matched);
    let words = reading
        .words
        .iter()
        .map(|word| shortfall(described, word, renamed, &rarity));
    let general = if described.general { GENERAL } else { 0.0 };
    general + forms::suit(&described.forms, &reading.forms())
        - MISSING * reading.unknown as f64
        - words.sum::<f64>()
        - unmatched(&described.tokens, &matched, renamed)
        - standing(described, &matched)
        - SOURCE_RANK * f64::from(described.source_rank)
}

/// How far a food is from a short and plain name in its plain form, whatever the query: of foods with
/// the same words of a query, those with the least are the likely answers.
pub(super) fn elaborateness(described: &Described) -> f64 {
    // A word that the query has costs nothing, wherever it stands: the number of words
    // shows how many it does not have.
    const WORD: f64 = 4.0;
    const COST: f64 = 0.1;
    let costs = || described.tokens.iter().map(|token| f64::from(token.cost));
    WORD * costs().map(|cost| cost.min(1.0)).sum::<f64>() + COST * costs().sum::<f64>()
        - forms::suit(&described.forms, &[])
        + SOURCE_RANK * f64::from(described.source_rank)
}

/// Marks the description's words that a query's word says.
fn mark_matched(described: &Described, word: &QueryWord, matched: &mut [bool]) {
    for (token, matched) in described.tokens.iter().zip(matched) {
        let names = token.place != NamePlace::Maker || word.brand;
        *matched |= names && word.guesses.iter().any(|guess| guess.0 == token.term);
    }
}

/// How far a word falls short of standing, spelt right, in the food's own name.
fn shortfall(
    described: &Described,
    word: &QueryWord,
    renamed: bool,
    rarity: &impl Fn(Term) -> f64,
) -> f64 {
    let found = described.tokens.iter().filter_map(|token| {
        let &(_, sureness) = word.guesses.iter().find(|guess| guess.0 == token.term)?;
        let place = match token.place {
            NamePlace::Maker if !word.brand => return None,
            place => out_of_place(place, word.medium, renamed),
        };
        Some(UNSURE * (1.0 - f64::from(sureness)) + place)
    });
    let least = found.min_by(f64::total_cmp);
    match (word.kind, least) {
        (QueryWordKind::Naming, Some(least)) => least,
        (QueryWordKind::Naming, None) => {
            let rarest = word
                .guesses
                .iter()
                .map(|guess| rarity(guess.0))
                .fold(0.0, f64::max);
            MISSING + RAREST * rarest
        }
        (QueryWordKind::Quiet, Some(least)) => least * QUIET_SHARE,
        (QueryWordKind::Quiet, None) => QUIET_MISSING,
        (QueryWordKind::FoodForm(_), Some(_)) => 0.0, // forms::suit weighs it
        (QueryWordKind::FoodForm(_), None) => FORM_MISSING,
    }
}

/// What it costs that a word stands elsewhere than in the food's own name.
fn out_of_place(place: NamePlace, medium: bool, renamed: bool) -> f64 {
    match place {
        NamePlace::Head if medium => MEDIUM_AS_FOOD,
        NamePlace::Head | NamePlace::Maker => 0.0,
        NamePlace::Class | NamePlace::Next => BESIDE_NAME,
        NamePlace::Alias(_) if renamed => IN_SAID_ALIAS,
        NamePlace::Tail => IN_TAIL,
        NamePlace::Alias(_) => IN_ALIAS,
        NamePlace::Aside => IN_ASIDE,
    }
}

/// The cost of the description's words that the query does not say.
fn unmatched(tokens: &[NameToken], matched: &[bool], renamed: bool) -> f64 {
    // Asked for "cheese", no cheese is further off than another.
    let is_matched = |place| {
        tokens
            .iter()
            .zip(matched)
            .any(|(t, matched)| *matched && t.place == place)
    };
    let class_only = is_matched(NamePlace::Class) && !is_matched(NamePlace::Head);
    let cost = |(token, matched): (&NameToken, &bool)| match token.place {
        _ if *matched => 0.0,
        NamePlace::Head | NamePlace::Class if renamed => 0.0,
        NamePlace::Head if class_only => f64::from(token.cost_in_class),
        _ => f64::from(token.cost),
    };
    tokens
        .iter()
        .zip(matched)
        .map(cost)
        .sum::<f64>()
        .min(MOST_UNSAID)
}

/// Whether the query says one of the food's common names in full.
fn is_renamed(tokens: &[NameToken], matched: &[bool]) -> bool {
    let numbers = tokens.iter().filter_map(|token| match token.place {
        NamePlace::Alias(number) => Some(number),
        _ => None,
    });
    numbers.into_iter().any(|number| {
        let mut words = tokens
            .iter()
            .zip(matched)
            .filter(|(t, _)| t.place == NamePlace::Alias(number));
        words.all(|(_, matched)| *matched)
    })
}

/// The cost of a brand or a food group far from the kitchen, unless the query asks for it.
fn standing(described: &Described, matched: &[bool]) -> f64 {
    let tokens = || described.tokens.iter().zip(matched);
    let brand_matched = tokens().any(|(token, matched)| *matched && token.brand);
    let brand = if described.branded && !brand_matched {
        BRANDED
    } else {
        0.0
    };
    let first = described.tokens.first().map(|token| token.place);
    let named = |(token, matched): (&NameToken, &bool)| Some(token.place) != first || *matched;
    let group_matched = tokens().all(named);
    let class_matched =
        tokens().any(|(token, matched)| *matched && token.place == NamePlace::Class);
    let ready_to_eat = matches!(
        described.group,
        group::BABY_FOODS | group::FAST_FOODS | group::RESTAURANT_FOODS
    );
    let asked_for = group_matched || ready_to_eat && class_matched;
    let is_asked = asked_for && described.group != group::AMERICAN_INDIAN_AND_ALASKA_NATIVE;
    if is_asked {
        return brand;
    }
    brand + cost_of_group(described.group)
}

/// The cost of a food group by how far it is from the basic foods of a kitchen.
fn cost_of_group(group: u16) -> f64 {
    match group {
        group::BABY_FOODS | group::FAST_FOODS | group::RESTAURANT_FOODS => 8.0,
        group::AMERICAN_INDIAN_AND_ALASKA_NATIVE | group::MEALS_AND_SIDE_DISHES | group::SNACKS => {
            5.0
        }
        group::SOUPS_AND_SAUCES => 4.0,
        group::SWEETS => 3.0,
        group::SAUSAGES | group::BEVERAGES | group::BAKED_PRODUCTS => 2.0,
        group::BREAKFAST_CEREALS => 1.5,
        group::HERBS_AND_SPICES => 0.5,
        _ => 0.0,
    }
}
