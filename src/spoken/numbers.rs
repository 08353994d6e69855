//! Numbers among the tokens of a text: in digits, in words, and put together of several; and what the digits of one
//! are worth.

use rust_decimal::Decimal;

use super::amounts::Amounts;
use super::text::{TokenKind, fraction};
use crate::quantity::with_point;

impl Amounts<'_> {
    /// A number that begins here, and where it ends: `1 1/2`, `one and a half`, `three quarters`, `half a dozen`.
    pub(super) fn number(&self, at: usize) -> Option<(Decimal, usize)> {
        let (mut value, mut after) = self.one_number(at)?;
        let mut next = after;
        while matches!(self.word(next), Some("a" | "an" | "of")) {
            next += 1;
        }
        match self.one_number(next) {
            // "1 1/2".
            Some((part, end))
                if next == after
                    && part < Decimal::ONE
                    && value >= Decimal::ONE
                    && matches!(self.tokens[next].kind, TokenKind::Number(..)) =>
            {
                value = value.checked_add(part)?;
                after = end;
            }
            // "three quarters", "half a dozen".
            Some((part, end))
                if self.word(next).is_some()
                    && (part < Decimal::ONE
                        || value < Decimal::ONE
                        || matches!(self.word(next), Some("dozen" | "hundred"))) =>
            {
                value = value.checked_mul(part)?;
                after = end;
                if part == Decimal::ONE_HUNDRED {
                    (value, after) = self.beyond_hundreds(value, after);
                }
            }
            _ => {}
        }
        // "one and a half".
        if self.word(after) == Some("and") {
            let mut half = after + 1;
            half += usize::from(self.word(half) == Some("a"));
            if let Some((part, end)) = self
                .one_number(half)
                .filter(|(part, _)| *part < Decimal::ONE)
            {
                value = value.checked_add(part)?;
                after = end;
            }
        }
        Some((value, after))
    }

    /// `two hundred and fifty`.
    fn beyond_hundreds(&self, hundreds: Decimal, after: usize) -> (Decimal, usize) {
        let next = after + usize::from(self.word(after) == Some("and"));
        let rest = self.one_number(next).filter(|(rest, _)| {
            self.word(next).is_some() && (Decimal::ONE..Decimal::ONE_HUNDRED).contains(rest)
        });
        let sum = rest.and_then(|(rest, end)| Some((hundreds.checked_add(rest)?, end)));
        sum.unwrap_or((hundreds, after))
    }

    /// A number of one token, or a word for one.
    fn one_number(&self, at: usize) -> Option<(Decimal, usize)> {
        match &self.tokens.get(at)?.kind {
            TokenKind::Number(value, _) => Some((*value, at + 1)),
            TokenKind::Word(_) => {
                let (word, length) = self.word_at(at)?;
                Some((word.number()?, at + length))
            }
            TokenKind::Id(_) => None,
        }
    }
}

/// What is weighed and poured in hundreds: a thousandth of it is never meant.
pub(super) const SMALL_UNITS: [&str; 12] = [
    "g",
    "gr",
    "gm",
    "gms",
    "gram",
    "grams",
    "gramme",
    "grammes",
    "ml",
    "mls",
    "millilitres",
    "milliliters",
];
/// "1.250 g" may be thousands as they are written on the continent; from this many on it is more
/// than a pot holds.
const MOST_THOUSANDS: i64 = 20;

/// Whether a number with a point may be one of thousands: `1.000 g`. Nobody weighs to thousandths
/// of a gram and writes the zero.
fn may_be_thousands(written: &str, small: bool) -> bool {
    let Some((whole, rest)) = written.split_once('.') else {
        return false;
    };
    let whole = whole.parse::<i64>().unwrap_or(0);
    small && rest.len() == 3 && rest.ends_with(['0', '5']) && (1..MOST_THOUSANDS).contains(&whole)
}

/// What a number with one sign in it may be: with a decimal point, and with a sign between thousands.
pub(super) fn readings(written: &str) -> Vec<String> {
    let Some((whole, rest)) = written.split_once(['.', ',']) else {
        return Vec::new();
    };
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    if !digits(whole) || !digits(rest) {
        return Vec::new();
    }
    let decimals = rest.trim_end_matches('0');
    let decimal = match decimals {
        "" => whole.to_string(),
        decimals => format!("{whole}.{decimals}"),
    };
    vec![decimal, format!("{whole}{rest}")]
}

/// The value of `600`, `0.5`, `0,5`, `1/2` or `½`, and whether it is a fraction below one; `None`
/// where it is none of them, or could be two.
pub(super) fn value(written: &str, rest: &str) -> Option<(Decimal, bool)> {
    let unit = rest.trim_start().split(|c: char| !c.is_alphabetic()).next();
    let small = unit.is_some_and(|unit| SMALL_UNITS.contains(&unit.to_lowercase().as_str()));
    if may_be_thousands(written, small) {
        return None;
    }
    let mut chars = written.chars();
    if let (Some(first), None) = (chars.next(), chars.next())
        && let Some(value) = fraction(first)
    {
        return Some((value, true));
    }
    if let Some((above, below)) = written.split_once(['/', '⁄']) {
        let value = above.parse::<Decimal>().ok()?;
        let value = value.checked_div(below.parse().ok()?)?;
        return Some((value, value < Decimal::ONE));
    }
    let plain = match written.split_once(',') {
        None => written.to_string(),
        Some((_, rest)) if rest.contains(',') => written.replace(',', ""),
        // "1,500" is fifteen hundred in English, and one and a half elsewhere; of grams it is never one and a half.
        Some(_) => match with_point(written) {
            Some(number) => number.into_owned(),
            None if small => written.replace(',', ""),
            None => return None,
        },
    };
    plain.parse().ok().map(|value| (value, false))
}
