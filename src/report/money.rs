//! Money in a table: where a price is missing, a cost is a lower bound, and what is saved an upper one.

use crate::cost::{Comparison, Money};

/// How bounds are said.
#[derive(Debug, Clone, Copy)]
pub struct MoneyWords {
    at_least: &'static str,
    at_most: &'static str,
}

impl MoneyWords {
    /// For narrow columns.
    pub const SIGNS: Self = Self {
        at_least: ">= ",
        at_most: "<= ",
    };
    /// For whoever reads or hears them.
    pub const WORDS: Self = Self {
        at_least: "at least ",
        at_most: "at most ",
    };

    /// A cost out of a comparison.
    pub fn cost(self, beside: &Comparison, money: Option<Money>) -> String {
        let bound = if beside.complete() { "" } else { self.at_least };
        money.map_or_else(
            || "not known".into(),
            |money| format!("{bound}{}", money.shown()),
        )
    }

    /// What is saved; `complete` says whether every price is known.
    pub fn saved(self, saving: Option<Money>, complete: bool) -> String {
        let bound = if complete || saving.is_none() {
            ""
        } else {
            self.at_most
        };
        format!("{bound}{}", money_or_dash(saving))
    }
}

/// An amount, or a dash where there is nothing to compare with.
pub fn money_or_dash(money: Option<Money>) -> String {
    money.map_or_else(|| "-".into(), Money::shown)
}
