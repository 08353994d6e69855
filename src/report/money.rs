//! Money in a table: where a price is missing, a cost is a lower bound, and what is saved an upper one.

use super::number::or_not_known;
use crate::cost::{Comparison, Money};
use crate::household::{RecipeOutlay, SavedSoFar};

/// The wording of bounds.
#[derive(Debug, Clone, Copy)]
pub struct MoneyWords {
    at_least: &'static str,
    at_most: &'static str,
}

impl MoneyWords {
    /// Signs, for narrow columns.
    pub const SIGNS: Self = Self {
        at_least: ">= ",
        at_most: "<= ",
    };
    /// Words, for sentences and screen readers.
    pub const WORDS: Self = Self {
        at_least: "at least ",
        at_most: "at most ",
    };

    /// A batch beside the jar: cost, cost of 100 g, the jars, what is saved, and what was saved so far.
    pub fn batch_row(self, beside: &Comparison, so_far: Option<SavedSoFar>) -> [String; 5] {
        let so_far = so_far.map(|so_far| self.saved(Some(so_far.amount), so_far.complete));
        [
            self.cost(beside, beside.cost.known),
            self.cost(beside, beside.per_100_g()),
            money_or_dash(beside.ready_made_of(beside.mass)),
            self.saved(beside.saving(), beside.complete()),
            so_far.unwrap_or_else(|| "-".into()),
        ]
    }

    /// A recipe beside the jar: batches, cost of 100 g and of an ounce, 100 g of the jar, and what is saved.
    pub fn recipe_row(self, outlay: &RecipeOutlay) -> [String; 5] {
        let beside = &outlay.beside;
        [
            outlay.batches.to_string(),
            self.cost(beside, beside.per_100_g()),
            self.cost(beside, beside.per_ounce()),
            money_or_dash(beside.ready_made_per_100_g()),
            self.saved(beside.saving(), beside.complete()),
        ]
    }

    /// A cost out of a comparison.
    fn cost(self, beside: &Comparison, money: Option<Money>) -> String {
        let bound = if beside.complete() { "" } else { self.at_least };
        or_not_known(money.map(|money| format!("{bound}{}", money.shown())))
    }

    /// The amount saved; `complete` says whether every price is known.
    fn saved(self, saving: Option<Money>, complete: bool) -> String {
        let bound = if complete || saving.is_none() {
            ""
        } else {
            self.at_most
        };
        format!("{bound}{}", money_or_dash(saving))
    }
}

/// An amount, or a dash where there is nothing to compare with.
fn money_or_dash(money: Option<Money>) -> String {
    money.map_or_else(|| "-".into(), Money::shown)
}
