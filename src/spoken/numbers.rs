//! Numbers among the tokens of a text: in digits, in words, and put together of several.

use rust_decimal::Decimal;

use super::amounts::Amounts;
use super::text::TokenKind;

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
