//! Where the amount is in what was typed, and which words are left for the food.

use data_import::{Error, FoodId};
use rust_decimal::Decimal;

use super::amounts::Amounts;
use super::food_names::food_names;
use super::lexicon::{Kind, Lexicon, Word, lexicon};
use super::stop::Stop;
use super::text::{Token, TokenKind, joins, stems, tokens};
use super::{Doubt, TakenAmount};
use crate::food::search::stem;

/// What was typed, taken apart.
#[derive(Debug)]
pub(super) struct Phrase {
    pub(super) typed: String,
    pub(super) tokens: Vec<Token>,
    /// The id that was typed.
    pub(super) id: Option<FoodId>,
    /// How much.
    pub(super) amount: Option<SpokenAmount>,
    /// A word that stands for an amount without being one: `handful`.
    pub(super) vague: Option<String>,
    /// Feeds at the breast that were counted.
    pub(super) feeds: Option<CountedFeeds>,
    pub(super) breast_fed: bool,
    /// Tokens that may name the food or say more of it.
    pub(super) content: Vec<usize>,
    /// Bought in cans.
    pub(super) pack: Option<Pack>,
    /// Why the words are not enough, as the table of foods says.
    pub(super) why: String,
}

/// Feeds at the breast.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct CountedFeeds {
    /// How many; `None` where the words do not give one number.
    pub(super) number: Option<Decimal>,
    /// Whether the sides were typed.
    pub(super) sided: bool,
}

/// What a food is bought in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Pack {
    /// The state in which it is then.
    pub(super) state: String,
    /// Whether the amount is of what was taken out: `100 g chickpeas from a tin`.
    pub(super) emptied: bool,
}

impl Pack {
    pub(super) fn of(word: &Word) -> Self {
        Self {
            state: word.means.clone(),
            emptied: false,
        }
    }
}

/// An amount as it was typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct SpokenAmount {
    pub(super) number: Decimal,
    pub(super) unit: SpokenUnit,
}

/// What an amount counts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum SpokenUnit {
    /// A unit of mass.
    Mass(String),
    /// A unit of volume.
    Volume(String),
    /// Pieces: of this kind, where one was named.
    Pieces(Option<String>),
    /// Packs of this kind.
    Pack(String),
}

impl SpokenAmount {
    /// Whether it is a mass or a volume.
    pub(super) fn is_measured(&self) -> bool {
        matches!(self.unit, SpokenUnit::Mass(_) | SpokenUnit::Volume(_))
    }

    /// The amount times a number; `None` where that is more than can be counted.
    pub(super) fn times(&self, number: Decimal) -> Option<Self> {
        Some(Self {
            number: self.number.checked_mul(number)?.normalize(),
            unit: self.unit.clone(),
        })
    }
}

impl std::fmt::Display for SpokenAmount {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let unit = match &self.unit {
            SpokenUnit::Mass(unit) | SpokenUnit::Volume(unit) | SpokenUnit::Pack(unit) => unit,
            SpokenUnit::Pieces(piece) => piece.as_deref().unwrap_or_default(),
        };
        write!(f, "{} {unit}", self.number.normalize())
    }
}

/// The text with a blank between a unit and the food that is glued to it: `200gcarrots`.
fn unglued(typed: &str) -> Result<String, Error> {
    let mut unglued = String::new();
    let mut rest = typed;
    while let Some(at) = rest.find(|c: char| c.is_ascii_digit()) {
        let after = rest[at..].trim_start_matches(|c: char| c.is_ascii_digit());
        let end = after.find(|c: char| !c.is_ascii_alphabetic());
        let word = &after[..end.unwrap_or(after.len())];
        unglued += &rest[..rest.len() - after.len()];
        rest = after;
        if let Some(unit) = glued_unit(word)? {
            unglued += unit;
            unglued.push(' ');
            rest = &after[unit.len()..];
        }
    }
    Ok(unglued + rest)
}

/// The unit that a word begins with, where the rest is a word of a food and the whole is not:
/// `gcarrots`, but not `goats`.
fn glued_unit(word: &str) -> Result<Option<&'static str>, Error> {
    const UNITS: [&str; 6] = ["kg", "g", "ml", "l", "oz", "lb"];
    let begins = |unit: &&str| word.len() > unit.len() + 2 && word.starts_with(*unit);
    let known = |word: &str| Ok::<bool, Error>(food_names()?.knows(&stem(&word.to_lowercase())));
    // Nearly every word beside a number is a unit, and the long table of names need not be read for it.
    if !UNITS.iter().any(&begins) || lexicon()?.knows(&stem(word)) || known(word)? {
        return Ok(None);
    }
    for unit in UNITS.into_iter().filter(|unit| begins(unit)) {
        if known(&word[unit.len()..])? {
            return Ok(Some(unit));
        }
    }
    Ok(None)
}

impl Phrase {
    /// Takes a text apart.
    ///
    /// Errors: a table does not read, or a number is in doubt.
    pub(super) fn of(typed: &str) -> Result<Self, Stop<Error>> {
        let lexicon = lexicon()?;
        let typed = &unglued(typed)?;
        let phrase = tokens(typed).and_then(|all| Amounts::new(lexicon, typed, all).phrase());
        phrase.map_err(Doubt::stop)
    }

    /// The words that may name the food, in order.
    pub(super) fn stems(&self) -> Vec<&str> {
        self.content
            .iter()
            .filter_map(|at| self.stem(*at))
            .collect()
    }

    /// A word in the singular.
    pub(super) fn stem(&self, at: usize) -> Option<&str> {
        self.tokens.get(at)?.word()
    }

    /// What was weighed, poured or served, in the words that were typed, without how much; `None`
    /// where it was counted, or no amount was typed.
    pub(super) fn measured_name(&self) -> Option<&str> {
        let counted = |amount: &SpokenAmount| amount.unit == SpokenUnit::Pieces(None);
        if self.amount.as_ref().map_or(self.vague.is_none(), counted) {
            return None;
        }
        let names = |at: &&usize| !self.stem(**at).is_some_and(joins);
        let mut naming = self.content.iter().filter(names);
        let first = *naming.next()?;
        let last = naming.next_back().copied().unwrap_or(first);
        // Where the name leads, the amount is behind it; else all the rest is the name, numbers in it too.
        let end = match first {
            0 => self.tokens.get(last)?.span.end,
            _ => self.typed.len(),
        };
        let name = self.typed.get(self.tokens.get(first)?.span.start..end)?;
        Some(name.trim())
    }

    /// A word right after the number that is not in the tables and looks like a unit: `mg`,
    /// `tblspn`.
    pub(super) fn unknown_unit(
        &self,
        lexicon: &Lexicon,
        knows: impl Fn(&str) -> bool,
    ) -> Option<&str> {
        let counted = |amount: &SpokenAmount| amount.unit == SpokenUnit::Pieces(None);
        self.amount.as_ref().filter(|amount| counted(amount))?;
        let follows = |at: &&usize| {
            let before = at.checked_sub(1).and_then(|before| self.tokens.get(before));
            before.is_some_and(|one| matches!(one.kind, TokenKind::Number(..)))
        };
        let at = *self.content.iter().find(follows)?;
        let word = self.stem(at).filter(|word| !knows(word))?;
        let names = |other: &usize| *other != at && !self.stem(*other).is_some_and(joins);
        let beside_a_food = self.content.iter().any(names);
        // Hardly a word of a food is without a vowel.
        let letters = word.chars().all(char::is_alphabetic);
        let abbreviation = letters && !word.contains(['a', 'e', 'i', 'o', 'u', 'y']);
        let is_unit = beside_a_food && (abbreviation || lexicon.unit_like(word).is_some());
        is_unit.then(|| self.typed.get(self.tokens.get(at)?.span.clone()))?
    }

    /// Puts another word in the place of one that was mistyped.
    pub(super) fn mend(&mut self, at: usize, word: String) {
        if let Some(token) = self.tokens.get_mut(at) {
            token.kind = TokenKind::Word(word);
        }
    }

    /// The text with another food in it: its amount and its words for cooking stay.
    pub(super) fn with_food(&self, id: &FoodId, kept: &[usize]) -> String {
        let mut words = Vec::new();
        let mut named = false;
        for (at, token) in self.tokens.iter().enumerate() {
            let food = self.content.contains(&at) && !kept.contains(&at);
            // "A can of beans": the article is the amount.
            let next = at + 1;
            let article = matches!(token.word(), Some("a" | "an"))
                && next < self.tokens.len()
                && !self.content.contains(&next);
            if (food && !article) || matches!(token.kind, TokenKind::Id(_)) {
                if !named {
                    words.push(id.to_string());
                    named = true;
                }
                continue;
            }
            words.push(self.typed[token.span.clone()].to_string());
        }
        if !named {
            words.push(id.to_string());
        }
        words.join(" ")
    }

    /// The food and the words for cooking, without the amount.
    pub(super) fn without_amount(&self, id: &FoodId, kept: &[usize]) -> String {
        let kept = kept.iter().filter_map(|at| self.tokens.get(*at));
        let kept = kept.map(|token| self.typed[token.span.clone()].to_string());
        let words: Vec<String> = std::iter::once(id.to_string()).chain(kept).collect();
        words.join(" ")
    }

    /// What was typed where the measure of a food named by its id stands: all but the id and words for cooking.
    pub(super) fn measure_text(&self, kept: &[usize]) -> Option<&str> {
        let plain = |at: &usize| {
            !kept.contains(at)
                && !matches!(
                    self.tokens.get(*at).map(|one| &one.kind),
                    Some(TokenKind::Id(_)) | None
                )
        };
        let all: Vec<usize> = (0..self.tokens.len()).filter(plain).collect();
        let (first, last) = (*all.first()?, *all.last()?);
        let gapless = last - first + 1 == all.len();
        let (from, to) = (
            self.tokens.get(first)?.span.start,
            self.tokens.get(last)?.span.end,
        );
        // A measure may end in a sign: `potato, 2-1/4" dia`.
        gapless.then(|| &self.typed[from..to])
    }

    /// The words about the food as they were typed, without its amount and its id: `ground
    /// almonds`, `3-minute egg`. `cooked` leaves the ways to cook among them.
    pub(super) fn about_food(&self, lexicon: &Lexicon, cooked: bool) -> String {
        let kind = |at: usize| {
            let word = self.stem(at)?;
            Some(lexicon.word_at(&[word])?.0.kind)
        };
        let is_left_out = |at: usize| match self.tokens.get(at).map(|token| &token.kind) {
            Some(TokenKind::Number(..)) => kind(at + 1) != Some(Kind::Time),
            Some(TokenKind::Word(_)) => match kind(at) {
                Some(Kind::Mass | Kind::Volume) => true,
                Some(Kind::Method) => !cooked,
                _ => false,
            },
            _ => true,
        };
        let typed = self.typed.as_str();
        let (mut words, mut from) = (String::new(), 0);
        for (at, token) in self.tokens.iter().enumerate() {
            if is_left_out(at) {
                words += typed.get(from..token.span.start).unwrap_or_default();
                words.push(' ');
                from = token.span.end;
            }
        }
        words += typed.get(from..).unwrap_or_default();
        // A bar separates the words for the parts of a food in the record.
        let words = words.replace('|', " ");
        let words = words.split_whitespace();
        let words: Vec<&str> = words
            .skip_while(|word| joins(&word.to_lowercase()))
            .collect();
        let words = words.join(" ");
        words
            .trim_matches(|c: char| !c.is_alphanumeric())
            .to_string()
    }

    /// Whether a word about the food is neither in its name nor of how it is cooked and trimmed.
    pub(super) fn says_beyond(&self, lexicon: &Lexicon, name: &str) -> bool {
        let known = stems(name);
        let beside = |word: &str| {
            let kind = lexicon.word_at(&[word]).map(|(word, _)| word.kind);
            matches!(
                kind,
                Some(
                    Kind::Number
                        | Kind::Mass
                        | Kind::Volume
                        | Kind::Method
                        | Kind::Edible
                        | Kind::Filler
                )
            )
        };
        // A word that counts pieces may name what is eaten: two apricot kernels.
        let mut words = self.tokens.iter().filter_map(Token::word);
        words.any(|word| !joins(word) && !beside(word) && known.iter().all(|one| one != word))
    }

    /// Whether it was drained.
    pub(super) fn says_drained(&self) -> bool {
        const DRAINED: [&str; 3] = ["drained", "rinsed", "strained"];
        self.stems().iter().any(|word| DRAINED.contains(word))
    }

    /// Whether bone or cob may be in the amount of what is cooked already.
    pub(super) fn names_bones(&self) -> bool {
        let with_bones = |word: &&str| {
            matches!(
                *word,
                "drumstick" | "wing" | "leg" | "cob" | "ear" | "whole" | "rib" | "bone"
            )
        };
        self.stems().iter().any(with_bones)
    }

    /// Whether the amount is what a can weighs, with all that is in it.
    pub(super) fn is_weight_of_cans(&self) -> bool {
        let measured = self
            .amount
            .as_ref()
            .is_some_and(|one| matches!(one.unit, SpokenUnit::Mass(_)));
        measured && self.pack.as_ref().is_some_and(|pack| !pack.emptied)
    }

    /// Feeds at the breast, where that is what was typed; `None` where it is so much milk, or milk
    /// of which it is not said how much.
    pub(super) fn feeds(&self) -> Option<Result<TakenAmount, Doubt>> {
        /// Milk that is not drunk at the breast.
        const MEASURED: [&str; 6] = ["expressed", "pumped", "ebm", "donor", "frozen", "bottle"];
        let stems = self.stems();
        let at_the_breast = self.breast_fed || stems == ["breast"];
        let by_itself = !stems.iter().any(|word| MEASURED.contains(word));
        let amount = self.amount.as_ref();
        if amount.is_some_and(SpokenAmount::is_measured) {
            return None;
        }
        let counted = amount.filter(|_| at_the_breast);
        let counted = counted.map(|one| Some(one.number));
        let feeds = self.feeds.map(|feeds| feeds.number).or(counted);
        let Some(feeds) = feeds else {
            return match (at_the_breast, by_itself) {
                _ if amount.is_some() || self.vague.is_some() => None,
                (true, _) => Some(Ok(TakenAmount::Wanted)),
                // "Breast milk": at the breast, or so much of it.
                (false, true) => Some(Err(Doubt::Feeds)),
                (false, false) => None,
            };
        };
        let whole = feeds.filter(|feeds| feeds.fract().is_zero());
        let whole = whole.and_then(|feeds| feeds.normalize().to_string().parse().ok());
        let sensible = whole.filter(|feeds| (1..=30).contains(feeds));
        Some(sensible.map(TakenAmount::Feeds).ok_or(Doubt::Feeds))
    }
}

#[cfg(test)]
mod tests {
    use super::{Phrase, lexicon, unglued};

    #[test]
    fn the_words_about_a_food_are_without_its_amount_and_its_id() {
        let lexicon = lexicon().unwrap();
        for (typed, words) in [
            ("20 g ground almonds", "ground almonds"),
            ("200g carrots steamed", "carrots steamed"),
            ("2 tbsp of ground almonds", "ground almonds"),
            ("2 3-minute eggs", "3-minute eggs"),
            ("5 apricot kernels", "apricot kernels"),
            ("20 g ground almonds (12061)", "ground almonds"),
            ("20 g 12061", ""),
        ] {
            let phrase = Phrase::of(typed).unwrap_or_else(|_| panic!("{typed}"));
            assert_eq!(phrase.about_food(lexicon, true), words, "{typed}");
        }
        let carrots = Phrase::of("carrots steamed").unwrap_or_else(|_| panic!("carrots"));
        assert_eq!(carrots.about_food(lexicon, false), "carrots");
        assert!(!carrots.says_beyond(lexicon, "Carrots, raw"));
        let almonds = Phrase::of("ground almonds").unwrap_or_else(|_| panic!("almonds"));
        assert!(almonds.says_beyond(lexicon, "Nuts, almonds"));
        let kernels = Phrase::of("two apricot kernels").unwrap_or_else(|_| panic!("kernels"));
        assert!(kernels.says_beyond(lexicon, "Apricots, raw"));
    }

    #[test]
    fn a_unit_is_parted_from_a_food_that_is_glued_to_it_and_from_nothing_else() {
        for (typed, read) in [
            ("200gcarrots boiled", "200g carrots boiled"),
            ("carrots 200gram, 1kgLeeks", "carrots 200gram, 1kg Leeks"),
            ("2goats cheese", "2goats cheese"),
            ("300 gr péches, 2large", "300 gr péches, 2large"),
        ] {
            assert_eq!(unglued(typed).unwrap(), read);
        }
    }
}
