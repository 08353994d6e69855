//! The words that stand beside the name of a food: numbers, units, pieces, ways to cook.

use std::sync::OnceLock;

use data_import::{Error, reference};
use rust_decimal::Decimal;

use super::phrase::Phrase;
use super::spelling::nearest;
use super::text::{joins, stems};
use crate::food::search::stem;

/// What a word beside a food does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub(super) enum Kind {
    /// How many.
    Number,
    /// A unit of mass.
    Mass,
    /// A unit of volume.
    Volume,
    /// The food is bought so.
    Pack,
    /// Names a household measure.
    Piece,
    /// No amount.
    Vague,
    /// No amount, unless the food has a measure of that name.
    Measure,
    /// How large a piece is.
    Size,
    /// How it is cut, which some measures tell.
    Cut,
    /// Which form of the food is meant.
    State,
    /// The amount is that of the trimmed food.
    Edible,
    /// A way to cook.
    Method,
    /// Changes nothing.
    Filler,
    /// The number before it is not an amount.
    Time,
    /// A feed at the breast.
    Feed,
    /// How often, in a word: `twice`.
    Times,
    /// When it is drunk: `before bed`.
    Daytime,
}

/// A word beside a food.
#[derive(Debug)]
pub(super) struct Word {
    pub(super) kind: Kind,
    /// What it stands for, as the table says.
    pub(super) means: String,
    stems: Vec<String>,
}

/// The words that stand beside the names of foods.
#[derive(Debug)]
pub(super) struct Lexicon {
    /// By their first stems; those of one first stem as they stand in the table.
    words: Vec<Word>,
}

impl Lexicon {
    /// The word that the longest run of these stems is, and how many of them it takes.
    pub(super) fn word_at(&self, stems: &[&str]) -> Option<(&Word, usize)> {
        let first = *stems.first()?;
        let fits = |word: &&Word| {
            word.stems.len() <= stems.len()
                && word
                    .stems
                    .iter()
                    .zip(stems)
                    .all(|(known, typed)| known == typed)
        };
        let from = self.words.partition_point(|word| word.first_stem() < first);
        let candidates = self.words[from..].iter();
        let candidates = candidates.take_while(|word| word.first_stem() == first);
        // Of words of one length the one that stands first in the table.
        let best = candidates.filter(fits).reduce(|best, word| {
            if word.stems.len() > best.stems.len() {
                word
            } else {
                best
            }
        })?;
        Some((best, best.stems.len()))
    }

    /// The words that name the food, as they are remembered: without amounts, cuts and ways to cook.
    pub(super) fn food_words(&self, phrase: &Phrase) -> String {
        let mut words: Vec<&str> = Vec::new();
        for at in &phrase.content {
            let Some(word) = phrase.stem(*at) else {
                continue;
            };
            let known = self.word_at(&[word]).map(|(word, _)| word.kind);
            // "Bottle, 4 times" names milk, if not which.
            let names = known.is_none_or(|kind| matches!(kind, Kind::Piece | Kind::State));
            let beside = !names && word != "bottle";
            if !joins(word) && !beside {
                words.push(word);
            }
        }
        words.join(" ")
    }

    /// The first of these words that stands beside foods, where all that do mean the same; none of
    /// them changes an amount.
    pub(super) fn one_meaning<'a>(&self, words: &[&'a str]) -> Option<&'a str> {
        let known = words.iter().filter_map(|word| {
            let (known, _) = self.word_at(&[word])?;
            Some((*word, known))
        });
        let known: Vec<(&str, &Word)> = known.collect();
        let (first, meant) = known.first()?;
        let same = |one: &Word| one.kind == meant.kind && one.means == meant.means;
        known.iter().all(|(_, one)| same(one)).then_some(*first)
    }

    /// Whether a word beside a food says nothing of it.
    pub(super) fn changes_nothing(&self, word: &str) -> bool {
        let known = self.word_at(&[word]);
        known.is_some_and(|(word, _)| word.kind == Kind::Filler)
    }

    /// Whether a word is in the table.
    pub(super) fn knows(&self, word: &str) -> bool {
        let mut stems = self.words.iter().flat_map(|known| &known.stems);
        stems.any(|known| known == word)
    }

    /// The unit that a word is most likely meant for: `tbsp` for `tblespoon`.
    pub(super) fn unit_like(&self, word: &str) -> Option<&str> {
        let is_unit = |known: &&Word| matches!(known.kind, Kind::Mass | Kind::Volume);
        let units = self.words.iter().filter(is_unit);
        let written = units.flat_map(|known| &known.stems).map(String::as_str);
        let near = nearest(word, written);
        let word = self.one_meaning(&near)?;
        let (unit, _) = self.word_at(&[word])?;
        // What is several of another unit is called as it is written: a dessertspoon is not a
        // teaspoon.
        Some(if unit.several().is_some() {
            word
        } else {
            unit.means.as_str()
        })
    }

    /// The words that a mistyped one may be meant for: none that changes an amount.
    pub(super) fn mendable(&self) -> impl Iterator<Item = &str> {
        let kinds = [
            Kind::Method,
            Kind::State,
            Kind::Edible,
            Kind::Cut,
            Kind::Piece,
        ];
        let words = self.words.iter();
        let words = words.filter(move |word| kinds.contains(&word.kind));
        words.flat_map(|word| &word.stems).map(String::as_str)
    }
}

/// How many words from the first on stand beside the name of a food without naming it: `roasted`,
/// `skin off`, `g`.
pub(super) fn beside(words: &[&str]) -> Option<usize> {
    let (_, length) = lexicon().ok()?.word_at(words)?;
    Some(length)
}

/// Whether a word stands for an amount of something beside a number: `g`, `cup`, `serving`, `handful`.
pub fn is_measure(word: &str) -> bool {
    let stem = stem(&word.to_lowercase());
    let known = lexicon().ok().and_then(|all| all.word_at(&[stem.as_str()]));
    known.is_some_and(|(word, _)| {
        matches!(
            word.kind,
            Kind::Mass | Kind::Volume | Kind::Pack | Kind::Vague | Kind::Measure
        )
    })
}

/// Whether a word begins an amount: `half`, `two`, `a`.
pub(super) fn is_number(word: &str) -> bool {
    let known = lexicon().ok().and_then(|all| all.word_at(&[word]));
    matches!(word, "a" | "an") || known.is_some_and(|(word, _)| word.kind == Kind::Number)
}

impl Word {
    fn first_stem(&self) -> &str {
        self.stems.first().map_or("", String::as_str)
    }

    /// Whether it speaks of the breast, not of times alone: `feed`, `nursing`.
    pub(super) fn stems_say_breast(&self) -> bool {
        self.kind == Kind::Feed && self.stems != ["time"]
    }

    /// Whether it counts sides of the breast.
    pub(super) fn is_side(&self) -> bool {
        self.kind == Kind::Feed && self.stems == ["side"]
    }

    /// The unit of a volume: a dessertspoon is two `tsp`.
    pub(super) fn unit(&self) -> &str {
        self.several().map_or(&self.means, |(_, unit)| unit)
    }

    /// How many of a unit it is, where it is several: `2 tsp`.
    fn several(&self) -> Option<(Decimal, &str)> {
        let (number, unit) = self.means.split_once(' ')?;
        Some((number.parse().ok()?, unit))
    }

    /// A number of it, in its unit.
    pub(super) fn times(&self, number: Decimal) -> Decimal {
        let each = self.several().filter(|_| self.kind == Kind::Volume);
        let product = each.and_then(|(each, _)| number.checked_mul(each));
        product.unwrap_or(number)
    }

    /// The number that it stands for.
    pub(super) fn number(&self) -> Option<Decimal> {
        self.means
            .parse()
            .ok()
            .filter(|_| self.kind == Kind::Number)
    }
}

/// The table, read once.
///
/// Errors: it does not read.
pub(super) fn lexicon() -> Result<&'static Lexicon, Error> {
    static LEXICON: OnceLock<Lexicon> = OnceLock::new();
    if let Some(lexicon) = LEXICON.get() {
        return Ok(lexicon);
    }
    let read = read()?;
    Ok(LEXICON.get_or_init(|| read))
}

#[derive(serde::Deserialize)]
struct WordRow {
    word: String,
    kind: Kind,
    means: String,
}

fn read() -> Result<Lexicon, Error> {
    let mut words = Vec::new();
    for row in reference::rows::<WordRow>("spoken-words.csv", reference::SPOKEN_WORDS)? {
        words.extend(row.word.split('|').map(|word| Word {
            kind: row.kind,
            means: row.means.clone(),
            stems: stems(word),
        }));
    }
    words.sort_by(|one, other| one.first_stem().cmp(other.first_stem()));
    Ok(Lexicon { words })
}
