//! How often: feeds at the breast, bottles of so much, so much three times a day.

use rust_decimal::Decimal;

use super::Doubt;
use super::amounts::{Amounts, FoundAmount};
use super::lexicon::{Kind, Word};
use super::phrase::{CountedFeeds, SpokenAmount, SpokenUnit};
use crate::nutrition::feeds_of_sides;

/// A count that a measured amount may have to be taken by, and the tokens from its number to its word.
#[derive(Debug)]
pub(super) struct Repeat {
    number: Decimal,
    from: usize,
    to: usize,
    of: RepeatKind,
}

/// What is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum RepeatKind {
    /// Feeds.
    Feeds,
    /// Times, as of day.
    Times,
    /// What milk is drunk from, and packs in which food is bought: each usually holds the same.
    Vessels,
    /// Pieces of a kind that is named, or portions: an amount beside them is rather that of all.
    Pieces,
    /// Whatever is named next.
    Any,
}

/// How a count goes with a measured amount.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Relation {
    /// The amount is that of one.
    EachIsSoMuch,
    /// The amount is that of all.
    AllAreSoMuch,
    /// Either could be meant.
    Unsure,
}

/// Words that stand between a count and the amount of one: `2 bottles of 120 ml`, `half a 400 g tin`.
const OF_EACH: [&str; 8] = ["of", "a", "an", "the", "x", "at", "each", "with"];
/// Words before a count into which the whole is divided: `600 ml in 5 feeds`.
const PARTED: [&str; 6] = ["in", "into", "over", "across", "between", "within"];

impl Repeat {
    pub(super) fn new(of: RepeatKind, number: Decimal, (from, to): (usize, usize)) -> Self {
        Self {
            number,
            from,
            to,
            of,
        }
    }

    /// A count of feeds, times or vessels.
    pub(super) fn of_word(word: &Word, number: Decimal, span: (usize, usize)) -> Self {
        let of = match word.kind {
            Kind::Feed if word.stems_say_breast() => RepeatKind::Feeds,
            Kind::Feed | Kind::Times => RepeatKind::Times,
            _ if word.means == "vessel" => RepeatKind::Vessels,
            _ => RepeatKind::Pieces,
        };
        Self::new(of, number, span)
    }

    fn of_found(found: &FoundAmount) -> Option<Self> {
        let of = match &found.amount.unit {
            SpokenUnit::Pieces(None) => RepeatKind::Any,
            SpokenUnit::Pieces(Some(_)) => RepeatKind::Pieces,
            SpokenUnit::Pack(_) => RepeatKind::Vessels,
            SpokenUnit::Mass(_) | SpokenUnit::Volume(_) => return None,
        };
        Some(Self::new(of, found.amount.number, (found.from, found.to)))
    }
}

impl Amounts<'_> {
    /// On how many sides a feed was that stands here: `both sides`; and where to read on.
    pub(super) fn both_sides(&self, at: usize) -> Option<usize> {
        let both = matches!(self.word(at), Some("both" | "each" | "either" | "per"));
        let side = matches!(self.word(at + 1), Some("side" | "breast"));
        (both && side).then_some(at + 2)
    }

    /// The feeds that were counted, each side for itself.
    pub(super) fn feeds_counted(&self) -> Option<CountedFeeds> {
        let counts: Vec<Decimal> = self
            .repeats
            .iter()
            .filter(|one| matches!(one.of, RepeatKind::Feeds | RepeatKind::Times))
            .map(|one| one.number)
            .collect();
        let sided = !self.sides.is_empty();
        let number = match (counts.as_slice(), self.sides.as_slice()) {
            ([], []) => return None,
            // "6 sides": each is a feed.
            ([], [sides]) if !self.both => Some(*sides),
            ([one], []) => Some(*one),
            ([one], [sides]) => by_sides(*one, *sides),
            (several, sides) if several.len() == sides.len() => several
                .iter()
                .zip(sides)
                .try_fold(Decimal::ZERO, |sum, (one, sides)| {
                    sum.checked_add(by_sides(*one, *sides)?)
                }),
            _ => None,
        };
        Some(CountedFeeds { number, sided })
    }

    /// A measured amount, by as many as there are of it.
    ///
    /// Errors: it may be the amount of one, or of all.
    pub(super) fn multiplied(&self, measured: &FoundAmount) -> Result<SpokenAmount, Doubt> {
        let counts = self.found.iter().filter_map(Repeat::of_found);
        let counts: Vec<Repeat> = counts.filter(|one| one.number != Decimal::ONE).collect();
        let repeats = self.repeats.iter().filter(|one| one.number != Decimal::ONE);
        let mut times = None;
        for count in repeats.chain(&counts) {
            let product = || measured.amount.times(count.number).ok_or(Doubt::TwoAmounts);
            match self.relation(count, measured) {
                Relation::AllAreSoMuch => {}
                Relation::Unsure => {
                    return Err(Doubt::Total {
                        once: measured.amount.to_string(),
                        all: product()?.to_string(),
                    });
                }
                Relation::EachIsSoMuch if times.is_some() => return Err(Doubt::TwoAmounts),
                Relation::EachIsSoMuch => times = Some(product()?),
            }
        }
        Ok(times.unwrap_or_else(|| measured.amount.clone()))
    }

    fn relation(&self, count: &Repeat, measured: &FoundAmount) -> Relation {
        let before = count.from.checked_sub(1).and_then(|at| self.word(at));
        if before.is_some_and(|word| PARTED.contains(&word)) {
            return Relation::AllAreSoMuch;
        }
        let each = |at: usize| matches!(self.word(at), Some("each" | "apiece"));
        let between = count.to..measured.from;
        let of_each = |at: usize| self.word(at).is_some_and(|word| OF_EACH.contains(&word));
        let apart = !between.is_empty() && between.clone().all(of_each);
        let pieces = || {
            let next = self.word_at(measured.to).map(|(word, _)| word.kind);
            matches!(next, Some(Kind::Pack | Kind::Measure | Kind::Piece))
        };
        match count.of {
            RepeatKind::Times => Relation::EachIsSoMuch,
            _ if apart || (0..self.tokens.len()).any(each) => Relation::EachIsSoMuch,
            RepeatKind::Any if count.to == measured.from && pieces() => Relation::EachIsSoMuch,
            RepeatKind::Any | RepeatKind::Pieces => Relation::AllAreSoMuch,
            RepeatKind::Feeds | RepeatKind::Vessels => Relation::Unsure,
        }
    }
}

/// The feeds of a count, each on one side or on both; `None` where it is neither.
fn by_sides(feeds: Decimal, sides: Decimal) -> Option<Decimal> {
    let feeds: u32 = feeds.normalize().to_string().parse().ok()?;
    let feeds = match sides.to_string().as_str() {
        "1" => feeds_of_sides(feeds, 0),
        "2" => feeds_of_sides(0, feeds),
        _ => return None,
    };
    Some(Decimal::from(feeds))
}
