//! Which numbers and words of what was typed are its amount.

use data_import::FoodId;
use rust_decimal::Decimal;

use super::Doubt;
use super::lexicon::{Kind, Lexicon, Word};
use super::phrase::{Pack, Phrase, SpokenAmount, SpokenUnit};
use super::repeats::{Repeat, RepeatKind};
use super::text::{Token, TokenKind, joins};

/// An amount, and the tokens from its number to its unit.
#[derive(Debug)]
pub(super) struct FoundAmount {
    pub(super) amount: SpokenAmount,
    pub(super) from: usize,
    pub(super) to: usize,
}

/// Finds the amounts in the tokens of a text.
pub(super) struct Amounts<'a> {
    lexicon: &'a Lexicon,
    pub(super) typed: &'a str,
    pub(super) tokens: Vec<Token>,
    used: Vec<bool>,
    pub(super) found: Vec<FoundAmount>,
    vague: Option<String>,
    pub(super) repeats: Vec<Repeat>,
    /// On how many sides it was fed.
    pub(super) sides: Vec<Decimal>,
    /// Whether both sides were named.
    pub(super) both: bool,
    breast_fed: bool,
    pack: Option<Pack>,
}

impl<'a> Amounts<'a> {
    pub(super) fn new(lexicon: &'a Lexicon, typed: &'a str, tokens: Vec<Token>) -> Self {
        Self {
            lexicon,
            typed,
            used: vec![false; tokens.len()],
            tokens,
            found: Vec::new(),
            vague: None,
            repeats: Vec::new(),
            sides: Vec::new(),
            both: false,
            breast_fed: false,
            pack: None,
        }
    }

    /// The text, taken apart.
    ///
    /// Errors: not exactly one amount, or more than one food, named by ids.
    pub(super) fn phrase(mut self) -> Result<Phrase, Doubt> {
        self.find();
        self.words_for_amounts();
        self.packed();
        let amount = self.amount()?;
        let ids = self.tokens.iter().filter_map(|token| match &token.kind {
            TokenKind::Id(id) => Some(id),
            _ => None,
        });
        let ids: Vec<&FoodId> = ids.collect();
        if ids.len() > 1 {
            return Err(Doubt::TwoFoods(ids.into_iter().cloned().collect()));
        }
        let id = ids.first().map(|id| (*id).clone());
        let mut content: Vec<usize> = (0..self.tokens.len())
            .filter(|at| !self.used[*at] && self.tokens[*at].word().is_some())
            .collect();
        // "2 drumsticks": the piece is the food.
        if content
            .iter()
            .all(|at| self.tokens[*at].word().is_none_or(joins))
            && id.is_none()
        {
            content = self.pieces();
        }
        Ok(Phrase {
            typed: self.typed.to_string(),
            id,
            amount,
            feeds: self.feeds_counted(),
            vague: self.vague,
            breast_fed: self.breast_fed,
            content,
            pack: self.pack,
            why: String::new(),
            tokens: self.tokens,
        })
    }

    /// Finds what is counted.
    pub(super) fn find(&mut self) {
        let mut at = 0;
        while at < self.tokens.len() {
            // "Cut in quarters" is not an amount.
            let cut = at > 0
                && matches!(self.word(at - 1), Some("in" | "into" | "cut"))
                && self.word(at).is_some();
            at = match self.number(at).filter(|_| !cut) {
                Some((number, after)) => self.counted(number, at, after),
                None => self.how_often(at),
            };
        }
    }

    /// The words that were taken for pieces or packs.
    fn pieces(&self) -> Vec<usize> {
        let found = self.found.iter();
        let piece = found.filter(|one| matches!(one.amount.unit, SpokenUnit::Pieces(Some(_))));
        let pieces = piece.flat_map(|one| one.from..one.to);
        // "2 bottles": of what is asked.
        let bottle = |at: &usize| self.word(*at) == Some("bottle");
        pieces
            .chain((0..self.tokens.len()).filter(bottle))
            .filter(|at| self.tokens[*at].word().is_some())
            .collect()
    }

    pub(super) fn word_at(&self, at: usize) -> Option<(&'a Word, usize)> {
        let stems: Vec<&str> = self.tokens[at.min(self.tokens.len())..]
            .iter()
            .map_while(Token::word)
            .collect();
        self.lexicon.word_at(&stems)
    }

    pub(super) fn word(&self, at: usize) -> Option<&str> {
        self.tokens.get(at)?.word()
    }

    /// What a number counts, and what goes before a quantity; gives where to read on.
    fn counted(&mut self, number: Decimal, from: usize, after: usize) -> usize {
        let by = from > 0 && self.word(from - 1) == Some("x");
        let measured = self.found.iter().any(|one| one.amount.is_measured());
        if by {
            self.mark(from - 1, from);
        }
        let of = if by && measured {
            // "150 ml x 3".
            RepeatKind::Times
        } else if self.both_sides(after).is_some() {
            // "2 both sides".
            RepeatKind::Feeds
        } else {
            return self.quantity(number, from, after);
        };
        self.repeats.push(Repeat::new(of, number, (from, after)));
        self.mark(from, after);
        after
    }

    /// Words that say how often without a number: `twice`, `both sides`; gives where to read on.
    fn how_often(&mut self, at: usize) -> usize {
        if let Some(end) = self.both_sides(at) {
            self.sides.push(Decimal::TWO);
            self.both = true;
            self.mark(at, end);
            return end;
        }
        let often = self
            .word_at(at)
            .filter(|(word, _)| word.kind == Kind::Times);
        let Some((word, length)) = often else {
            return at + 1;
        };
        let end = at + length;
        if let Ok(number) = word.means.parse() {
            self.repeats.push(Repeat::of_word(word, number, (at, end)));
            self.mark(at, end);
        }
        end
    }

    /// What a number counts; gives where to read on.
    fn quantity(&mut self, number: Decimal, from: usize, after: usize) -> usize {
        let times = self.word(after) == Some("x")
            || self.tokens[from..after]
                .iter()
                .all(|one| one.word().is_none())
                && self.word(after) == Some("time");
        if times && let Some((second, end)) = self.number(after + 1) {
            self.mark(from, after + 1);
            let product = number.checked_mul(second).unwrap_or(number);
            return self.quantity(product, after + 1, end);
        }
        let mut at = after;
        while matches!(self.word(at), Some("of" | "a" | "an" | "level")) {
            at += 1;
        }
        let mut size = at;
        while let Some((word, length)) = self.word_at(size)
            && word.kind == Kind::Size
        {
            size += length;
        }
        for place in [at, size] {
            let Some((word, length)) = self.word_at(place) else {
                continue;
            };
            let end = place + length;
            let heat = word.means == "cup" && number > Decimal::from(20);
            match word.kind {
                Kind::Vague => {
                    self.vague = self.word(place).map(str::to_string);
                    self.repeats
                        .push(Repeat::of_word(word, number, (from, end)));
                }
                Kind::Feed if word.is_side() => {
                    self.sides.push(number);
                    self.breast_fed = true;
                }
                Kind::Feed => {
                    self.breast_fed |= word.stems_say_breast();
                    self.repeats
                        .push(Repeat::of_word(word, number, (from, end)));
                }
                Kind::Time => {}
                _ if heat => {}
                _ => match self.unit(word, place) {
                    Some(unit) => self.keep(word.times(number), unit, (from, end)),
                    None => continue,
                },
            }
            self.mark(from, at);
            self.mark(place, end);
            return end;
        }
        if self.tokens[from..after]
            .iter()
            .any(|one| one.word().is_none())
        {
            self.mark(from, after);
        }
        if let Some(word) = self.unit_before(from)
            && let Some(unit) = self.unit(word, from - 1)
        {
            self.keep(word.times(number), unit, (from - 1, after));
            self.mark(from - 1, from);
        } else {
            self.keep(number, SpokenUnit::Pieces(None), (from, after));
        }
        after
    }

    /// The unit of mass or volume right before a number, which nothing else counts: `grams 60`.
    fn unit_before(&self, from: usize) -> Option<&'a Word> {
        let at = from.checked_sub(1).filter(|at| !self.used[*at])?;
        let (word, length) = self.word_at(at)?;
        (length == 1 && matches!(word.kind, Kind::Mass | Kind::Volume)).then_some(word)
    }

    fn mark(&mut self, from: usize, to: usize) {
        for used in self.used.iter_mut().take(to).skip(from) {
            *used = true;
        }
    }

    /// Words that stand for an amount without a number: `a slice of`, `a handful of`, `breast fed`.
    fn words_for_amounts(&mut self) {
        let mut at = 0;
        while at < self.tokens.len() {
            let Some((word, length)) = self.word_at(at).filter(|_| !self.used[at]) else {
                at += 1;
                continue;
            };
            let end = at + length;
            let article = at > 0 && matches!(self.word(at - 1), Some("a" | "an"));
            match word.kind {
                Kind::Feed => self.breast_fed |= word.stems_say_breast(),
                Kind::Vague if self.vague.is_none() => {
                    self.vague = self.word(at).map(str::to_string);
                    self.mark(at, end);
                }
                _ if self.found.is_empty() && (article || self.leads(word, at, end)) => {
                    if let Some(unit) = self.unit(word, at) {
                        self.keep(word.times(Decimal::ONE), unit, (at, end));
                        self.mark(at, end);
                    }
                }
                _ => {}
            }
            at = end;
        }
        let articled = self
            .tokens
            .iter()
            .any(|token| matches!(token.word(), Some("a" | "an")));
        if self.found.is_empty() && self.vague.is_none() && articled {
            self.keep(Decimal::ONE, SpokenUnit::Pieces(None), (0, 0));
        }
    }

    /// Whether a word at the very beginning is one of what it names: `tablespoon of peas`,
    /// `slice of bread`; a leg of lamb is a cut.
    fn leads(&self, word: &Word, at: usize, end: usize) -> bool {
        let of = self.word(end) == Some("of");
        at == 0
            && match word.kind {
                Kind::Volume | Kind::Pack => true,
                Kind::Piece => of && !is_cut_of_meat(self.word(at).unwrap_or_default()),
                _ => false,
            }
    }

    /// What a word counts, where it is a unit, a piece or a pack.
    fn unit(&mut self, word: &Word, at: usize) -> Option<SpokenUnit> {
        Some(match word.kind {
            Kind::Mass => SpokenUnit::Mass(word.means.clone()),
            Kind::Volume => SpokenUnit::Volume(word.unit().to_string()),
            Kind::Piece => SpokenUnit::Pieces(Some(word.means.clone())),
            Kind::Measure => SpokenUnit::Pack(self.word(at).unwrap_or("").to_string()),
            Kind::Pack => {
                self.pack = Some(Pack::of(word));
                SpokenUnit::Pack("can".into())
            }
            _ => return None,
        })
    }

    fn keep(&mut self, number: Decimal, unit: SpokenUnit, (from, to): (usize, usize)) {
        let amount = SpokenAmount { number, unit };
        self.found.push(FoundAmount { amount, from, to });
    }

    /// The one amount that the numbers add up to.
    fn amount(&self) -> Result<Option<SpokenAmount>, Doubt> {
        let masses = self.found.iter().filter(|one| one.amount.is_measured());
        let masses: Vec<&FoundAmount> = masses.collect();
        let amount = match masses.as_slice() {
            [] => match self.found.as_slice() {
                [] => return Ok(None),
                [one] => one.amount.clone(),
                [count, pack]
                    if matches!(pack.amount.unit, SpokenUnit::Pack(_)) && count.to == pack.from =>
                {
                    pack.amount.clone()
                }
                _ => return Err(Doubt::TwoAmounts),
            },
            [one] => self.multiplied(one)?,
            [first, second] => self.multiplied(&FoundAmount {
                amount: self.sum(first, second).ok_or(Doubt::TwoAmounts)?,
                from: first.from,
                to: second.to,
            })?,
            _ => return Err(Doubt::TwoAmounts),
        };
        if amount.number.is_zero() {
            return Err(Doubt::Zero);
        }
        Ok(Some(amount))
    }

    /// The amount that two together are.
    fn sum(&self, first: &FoundAmount, second: &FoundAmount) -> Option<SpokenAmount> {
        // "1 kg carrots 500 g" rather lacks the food of its other half.
        let between = self.tokens.get(first.to..second.from).unwrap_or_default();
        let side_by_side = between.iter().all(|token| token.word().is_some_and(joins));
        sum(&first.amount, &second.amount, side_by_side)
    }

    /// The can that a food comes in, wherever its word stands: `400 g tin of`, `chickpeas from a tin`.
    fn packed(&mut self) {
        for at in 0..self.tokens.len() {
            let word = self.word_at(at).map(|(word, _)| word);
            let Some(word) = word.filter(|word| word.kind == Kind::Pack && !self.used[at]) else {
                continue;
            };
            self.mark(at, at + 1);
            let article = matches!(self.word(at.wrapping_sub(1)), Some("a" | "an" | "the"));
            let before = at.wrapping_sub(1 + usize::from(article));
            let out_of = matches!(self.word(before), Some("from" | "in" | "out" | "of"));
            self.pack.get_or_insert(Pack {
                emptied: out_of,
                ..Pack::of(word)
            });
        }
    }
}

/// Whether a piece is also a cut that a food is named by.
fn is_cut_of_meat(piece: &str) -> bool {
    matches!(
        piece,
        "leg" | "breast" | "thigh" | "wing" | "drumstick" | "rib" | "fillet" | "head"
    )
}

/// `1 lb 4 oz`, `1 kg 200 g`; or the same amount in two units, or in mass and volume, of which the mass counts.
fn sum(first: &SpokenAmount, second: &SpokenAmount, side_by_side: bool) -> Option<SpokenAmount> {
    let size = |amount: &SpokenAmount| -> Option<Decimal> {
        let (SpokenUnit::Mass(unit) | SpokenUnit::Volume(unit)) = &amount.unit else {
            return None;
        };
        amount
            .number
            .checked_mul(crate::quantity::Unit::named(unit)?.size())
    };
    let parts = |big: &str, small: &str| {
        first.unit == SpokenUnit::Mass(big.into()) && second.unit == SpokenUnit::Mass(small.into())
    };
    if side_by_side && (parts("lb", "oz") || parts("kg", "g")) {
        let number = size(first)?.checked_add(size(second)?)?;
        return Some(SpokenAmount {
            number,
            unit: SpokenUnit::Mass("g".into()),
        });
    }
    match (&first.unit, &second.unit) {
        (SpokenUnit::Mass(_), SpokenUnit::Mass(_))
        | (SpokenUnit::Volume(_), SpokenUnit::Volume(_)) => {
            let (one, other) = (size(first)?, size(second)?);
            let apart = one.checked_sub(other)?.abs().checked_div(one.max(other))?;
            (apart < Decimal::new(5, 2)).then(|| first.clone())
        }
        (SpokenUnit::Mass(_), _) => Some(first.clone()),
        (_, SpokenUnit::Mass(_)) => Some(second.clone()),
        _ => None,
    }
}
