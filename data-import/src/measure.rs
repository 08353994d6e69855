//! Household measures: "1 cup, cubes" weighs so many grams.

use std::fmt;

/// A household measure of one food, and what it weighs.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    /// How many of the unit.
    pub amount: f64,
    /// The unit with its description: `cup, cubes`.
    pub unit: String,
    /// Weight of the whole measure (`amount` of the unit) in grams.
    pub grams: f64,
}

impl Measure {
    /// Reads `text` such as `1 cup, cubes`, `.25 cup`, `1/2 cup` or `1 potato, 2-1/4" dia`.
    /// Text that does not begin with a number is one of the unit it names.
    pub fn parse(text: &str, grams: f64) -> Self {
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let (first, rest) = text.split_once(' ').unwrap_or((&text, ""));
        match amount(first) {
            Some(amount) => Self {
                amount,
                unit: rest.to_owned(),
                grams,
            },
            None => Self {
                amount: 1.0,
                unit: text,
                grams,
            },
        }
    }

    /// The measure as it is written: `1 cup, cubes`.
    pub fn label(&self) -> String {
        self.to_string()
    }

    /// Grams of one unit.
    pub fn grams_per_unit(&self) -> f64 {
        self.grams / self.amount
    }
}

impl fmt::Display for Measure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.unit.is_empty() {
            write!(f, "{}", self.amount)
        } else {
            write!(f, "{} {}", self.amount, self.unit)
        }
    }
}

/// A positive decimal number or fraction.
fn amount(text: &str) -> Option<f64> {
    let value = match text.split_once('/') {
        Some((over, under)) => decimal(over)? / decimal(under)?,
        None => decimal(text)?,
    };
    (value.is_finite() && value > 0.0).then_some(value)
}

/// A number written with digits and at most one point: no sign, no exponent, no words.
fn decimal(text: &str) -> Option<f64> {
    let plain = text
        .bytes()
        .all(|byte| byte.is_ascii_digit() || byte == b'.');
    if plain { text.parse().ok() } else { None }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amount_and_unit_are_told_apart() {
        for (text, amount, unit, label) in [
            ("1 cup, cubes", 1.0, "cup, cubes", "1 cup, cubes"),
            (".25 cup", 0.25, "cup", "0.25 cup"),
            ("1/2 cup", 0.5, "cup", "0.5 cup"),
            (
                "1 potato, 2-1/4\" dia",
                1.0,
                "potato, 2-1/4\" dia",
                "1 potato, 2-1/4\" dia",
            ),
            ("6.75 fl oz", 6.75, "fl oz", "6.75 fl oz"),
            (
                "1 fl oz,  sweetened",
                1.0,
                "fl oz, sweetened",
                "1 fl oz, sweetened",
            ),
            ("handful", 1.0, "handful", "1 handful"),
            ("0 cup", 1.0, "0 cup", "1 0 cup"),
            ("1", 1.0, "", "1"),
        ] {
            let measure = Measure::parse(text, 10.0);
            assert_eq!(
                (measure.amount, measure.unit.as_str()),
                (amount, unit),
                "{text}"
            );
            assert_eq!(measure.label(), label);
        }
    }

    #[test]
    fn grams_are_shared_among_the_units() {
        assert!((Measure::parse("4 each", 100.0).grams_per_unit() - 25.0).abs() < 1e-12);
    }
}
