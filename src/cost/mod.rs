//! Money: exact decimal amounts, rounded only when they are shown.

mod compare;

pub use compare::{BatchCost, Comparison, ReadyMade};

use std::fmt;
use std::str::FromStr;

use rust_decimal::{Decimal, RoundingStrategy};
use serde::{Serialize, Serializer};

use crate::quantity::{Mass, with_point};

/// An amount of money in the book's currency; never a float.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Money(Decimal);

/// Why a price cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MoneyError {
    /// The text is not a decimal number.
    #[error("“{0}” is not a price")]
    NotANumber(String),
    /// The price is below zero.
    #[error("“{0}” is negative")]
    Negative(String),
    /// The price is above [`ABSURD`].
    #[error("“{0}” is more than anybody pays for baby food")]
    Absurd(String),
}

impl MoneyError {
    /// What to do next.
    pub fn hint(&self) -> &'static str {
        "write a price without a currency sign, such as 3.49"
    }
}

/// The highest price that is believed, a million of any currency (judgement).
const ABSURD: i64 = 1_000_000;

impl Money {
    /// Nothing.
    pub const ZERO: Self = Self(Decimal::ZERO);

    /// An amount; may be negative, as a deficit is.
    pub const fn new(amount: Decimal) -> Self {
        Self(amount)
    }

    /// The exact amount.
    pub const fn amount(self) -> Decimal {
        self.0
    }

    /// The share of the amount that falls on `part` of `whole`; the masses count to a billionth of
    /// a gram. `None` where the whole is nothing or a mass is beyond what a decimal holds.
    pub fn share(self, part: Mass, whole: Mass) -> Option<Self> {
        let exact = |mass: Mass| Decimal::from_f64_retain(mass.grams()).map(|d| d.round_dp(9));
        let share = self
            .0
            .checked_mul(exact(part)?)?
            .checked_div(exact(whole)?)?;
        Some(Self(share))
    }

    /// Divided by a count; `None` for a count of nothing.
    pub fn per(self, count: u32) -> Option<Self> {
        self.0.checked_div(Decimal::from(count)).map(Self)
    }

    /// Times a count.
    #[must_use]
    pub fn times(self, count: u32) -> Self {
        Self(self.0 * Decimal::from(count))
    }

    /// With two decimals, half away from zero: `3.49`.
    pub fn shown(self) -> String {
        let cents = self
            .0
            .round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero);
        format!("{cents:.2}")
    }
}

impl std::ops::Add for Money {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl std::ops::Sub for Money {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl std::iter::Sum for Money {
    fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
        parts.fold(Self::ZERO, |sum, part| sum + part)
    }
}

/// Serialises the exact amount as a string, since a JSON number is a float to most readers.
impl Serialize for Money {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// The exact amount, every digit of it.
impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.normalize().fmt(f)
    }
}

impl FromStr for Money {
    type Err = MoneyError;

    fn from_str(text: &str) -> Result<Self, MoneyError> {
        let text = text.trim();
        let number = with_point(text).and_then(|number| number.parse::<Decimal>().ok());
        let amount = number.ok_or_else(|| MoneyError::NotANumber(text.into()))?;
        if amount.is_sign_negative() && !amount.is_zero() {
            return Err(MoneyError::Negative(text.into()));
        }
        if amount > Decimal::from(ABSURD) {
            return Err(MoneyError::Absurd(text.into()));
        }
        Ok(Self(amount))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn money(text: &str) -> Money {
        text.parse().unwrap()
    }

    #[test]
    fn cents_are_never_lost_and_rounded_only_when_shown() {
        let third = money("1")
            .share(Mass::from_grams(1.0), Mass::from_grams(3.0))
            .unwrap();
        assert_eq!(third.shown(), "0.33");
        assert_eq!((third + third + third).shown(), "1.00");
        assert_eq!(money("0.005").shown(), "0.01");
        assert_eq!((money("0.10") + money("0.20")).to_string(), "0.3");
    }

    #[test]
    fn a_price_is_a_plain_number() {
        assert!(matches!(
            "-1".parse::<Money>(),
            Err(MoneyError::Negative(_))
        ));
        assert_eq!(money("3,49"), money("3.49"));
        assert!(matches!(
            "3,490".parse::<Money>(),
            Err(MoneyError::NotANumber(_))
        ));
        assert!(matches!(
            "$3".parse::<Money>(),
            Err(MoneyError::NotANumber(_))
        ));
        assert!(matches!(
            "9999999".parse::<Money>(),
            Err(MoneyError::Absurd(_))
        ));
    }

    #[test]
    fn nothing_has_no_share() {
        assert_eq!(money("1").share(Mass::from_grams(1.0), Mass::ZERO), None);
        assert_eq!(money("1").per(0), None);
    }
}
