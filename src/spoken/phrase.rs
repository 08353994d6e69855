//! Where the amount is in what was typed, and which words are left for the food.

use data_import::{Error, FoodId};
use rust_decimal::Decimal;

use super::amounts::Amounts;
use super::lexicon::lexicon;
use super::text::{Token, TokenKind, tokens};
use super::{Doubt, TakenAmount};

/// What was typed, taken apart.
#[derive(Debug)]
pub(super) struct Phrase {
    pub(super) typed: String,
    pub(super) tokens: Vec<Token>,
    /// The id that was typed.
    pub(super) id: Option<FoodId>,
    /// How much.
    pub(super) amount: Option<SpokenAmount>,
    /// A word that is no amount, where one stands for it: `handful`.
    pub(super) vague: Option<String>,
    /// Feeds at the breast.
    pub(super) feeds: Option<Decimal>,
    pub(super) breast_fed: bool,
    /// Tokens that may name the food or say more of it.
    pub(super) content: Vec<usize>,
    /// Bought in cans.
    pub(super) pack: Option<String>,
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

impl Phrase {
    /// Takes a text apart.
    ///
    /// Errors: a table does not read. The inner error: a number that cannot be one.
    pub(super) fn of(typed: &str) -> Result<Result<Self, Doubt>, Error> {
        let lexicon = lexicon()?;
        Ok(tokens(typed).and_then(|tokens| Amounts::new(lexicon, typed, tokens).phrase()))
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
            if food || matches!(token.kind, TokenKind::Id(_)) {
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

    /// Feeds at the breast, where that is what was typed; `None` where it is so much milk, or milk without an amount.
    pub(super) fn feeds(&self) -> Option<Result<TakenAmount, Doubt>> {
        let at_the_breast = self.breast_fed || self.stems() == ["breast"];
        if self
            .amount
            .as_ref()
            .is_some_and(|one| matches!(one.unit, SpokenUnit::Mass(_) | SpokenUnit::Volume(_)))
        {
            return None;
        }
        let counted = self
            .amount
            .as_ref()
            .filter(|_| at_the_breast)
            .map(|one| one.number);
        let Some(feeds) = self.feeds.or(counted) else {
            let wanted = at_the_breast && self.amount.is_none() && self.vague.is_none();
            return wanted.then_some(Ok(TakenAmount::Wanted));
        };
        let whole = feeds
            .fract()
            .is_zero()
            .then(|| feeds.to_string().parse().ok());
        let sensible = whole.flatten().filter(|feeds| (1..=30).contains(feeds));
        Some(sensible.map(TakenAmount::Feeds).ok_or(Doubt::Feeds))
    }
}
