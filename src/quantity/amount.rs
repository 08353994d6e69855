//! Amounts as people write them: `600 g`, `1 1/2 cup, cubes`, `3 each`.

use std::str::FromStr;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::{Mass, Unit, UnitKind, Volume, with_point};

/// The largest amount that is accepted, in grams or millilitres: 100 kg or 100 l, more than a home
/// kitchen holds (judgement).
const ABSURD: f64 = 100_000.0;
/// The largest number of pieces or cups that is accepted (judgement).
const ABSURD_COUNT: i64 = 10_000;

/// A number and the words behind it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Amount {
    number: Decimal,
    unit: String,
}

/// Why an amount cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum AmountError {
    /// There is no number in the text.
    #[error("“{0}” does not start with a number")]
    NoNumber(String),
    /// A comma in the number may separate thousands.
    #[error("“{0}” has a comma in its number")]
    Comma(String),
    /// A fraction divides by zero.
    #[error("“{0}” divides by zero")]
    DividesByZero(String),
    /// The amount is below zero.
    #[error("“{0}” is negative")]
    Negative(String),
    /// The amount is more than a kitchen holds.
    #[error("“{0}” is more than a kitchen holds")]
    Absurd(String),
    /// There is no unit.
    #[error("“{0}” has no unit")]
    NoUnit(String),
    /// The unit is `oz` where a volume is due.
    #[error("“oz” is a mass, and a volume is due here")]
    OunceForVolume,
    /// The unit is `fl oz` where a mass is due.
    #[error("“fl oz” is a volume, and a mass is due here")]
    FluidOunceForMass,
    /// The unit is of the other kind, or not known.
    #[error("“{found}” is not a unit of {kind}", kind = match due { UnitKind::Mass => "mass", UnitKind::Volume => "volume" })]
    WrongUnit {
        /// The unit as written.
        found: String,
        /// The kind that was due.
        due: UnitKind,
    },
}

impl AmountError {
    /// What to do next.
    pub fn hint(&self) -> String {
        match self {
            Self::NoNumber(_) => "write a number and a unit, such as “600 g”".into(),
            Self::Comma(_) => {
                "write thousands without a sign and decimals with a point, such as “1.5 kg”".into()
            }
            Self::DividesByZero(_) => "write a fraction such as “1/2 cup”".into(),
            Self::Negative(_) => "an amount is zero or more".into(),
            Self::Absurd(_) => {
                "the limit is 100 kg or 100 l of one thing; is the unit right?".into()
            }
            Self::NoUnit(_) => "write the unit behind the number, such as “600 g”".into(),
            Self::OunceForVolume => "write “fl oz” for a volume".into(),
            Self::FluidOunceForMass => "write “oz” for a mass".into(),
            Self::WrongUnit { due, .. } => format!("use one of {}", Unit::symbols(*due)),
        }
    }
}

impl Amount {
    /// The number of units.
    pub fn number(&self) -> f64 {
        self.number.to_f64().unwrap_or(f64::NAN)
    }

    /// The number of units, as a person writes it.
    pub fn number_text(&self) -> String {
        written(self.number)
    }

    /// The words behind the number; never empty.
    pub fn unit(&self) -> &str {
        &self.unit
    }

    /// The amount as a mass.
    pub fn mass(&self) -> Result<Mass, AmountError> {
        self.in_kind(UnitKind::Mass).map(Mass::from_grams)
    }

    /// The amount as a volume.
    pub fn volume(&self) -> Result<Volume, AmountError> {
        self.in_kind(UnitKind::Volume).map(Volume::from_millilitres)
    }

    /// The size in grams or millilitres: the exact product, rounded once to a float.
    fn in_kind(&self, due: UnitKind) -> Result<f64, AmountError> {
        let unit = Unit::named(&self.unit)
            .filter(|unit| unit.kind == due)
            .ok_or_else(
                || match (Unit::named(&self.unit).map(|unit| unit.symbol), due) {
                    (Some("oz"), UnitKind::Volume) => AmountError::OunceForVolume,
                    (Some("fl oz"), UnitKind::Mass) => AmountError::FluidOunceForMass,
                    _ => AmountError::WrongUnit {
                        found: self.unit.clone(),
                        due,
                    },
                },
            )?;
        self.number
            .checked_mul(unit.size())
            .and_then(|size| size.to_f64())
            .filter(|size| *size <= ABSURD)
            .ok_or_else(|| AmountError::Absurd(self.to_string()))
    }
}

/// Reads a mass as a person writes it: `8.4 kg`, or pounds with ounces, `18 lb 8 oz`.
///
/// Errors: the text is not a mass.
pub fn read_mass(text: &str) -> Result<Mass, AmountError> {
    let mass = |text: &str| text.parse::<Amount>().and_then(|amount| amount.mass());
    let parts = text.split_once("lb").map(|(pounds, ounces)| {
        let ounces = ounces.trim_start_matches(['s', '.', ',', ' ']);
        (pounds.trim(), ounces.trim())
    });
    match parts {
        Some((pounds, ounces)) if ounces.ends_with("oz") && !pounds.is_empty() => {
            Ok(mass(&format!("{pounds} lb"))? + mass(ounces)?)
        }
        _ => mass(text),
    }
}

impl std::fmt::Display for Amount {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} {}", written(self.number), self.unit)
    }
}

/// A number as a person writes it: thirds and sixths as fractions.
fn written(number: Decimal) -> String {
    let whole = number.trunc();
    let endless = number.scale() > 6;
    let fraction = [3_i64, 6].into_iter().find_map(|below| {
        let above = (number - whole).checked_mul(Decimal::from(below))?;
        let near = (above - above.round()).abs() < Decimal::new(1, 6);
        (endless && near && !above.round().is_zero()).then(|| format!("{}/{below}", above.round()))
    });
    match fraction {
        Some(fraction) if whole.is_zero() => fraction,
        Some(fraction) => format!("{whole} {fraction}"),
        None => number.to_string(),
    }
}

impl FromStr for Amount {
    type Err = AmountError;

    fn from_str(text: &str) -> Result<Self, AmountError> {
        let text = text.trim();
        let digit = |at: Option<usize>| {
            let byte = at.and_then(|at| text.as_bytes().get(at));
            byte.is_some_and(u8::is_ascii_digit)
        };
        let of_number = |(at, c): (usize, char)| match c {
            ',' => digit(at.checked_sub(1)) && digit(Some(at + 1)),
            _ => c.is_ascii_digit() || matches!(c, '.' | '/' | ' ' | '-' | '+'),
        };
        let mut letters = text.char_indices();
        let end = letters.find(|letter| !of_number(*letter));
        let (number, unit) = text.split_at(end.map_or(text.len(), |(at, _)| at));
        let number = with_point(number.trim()).ok_or_else(|| AmountError::Comma(text.into()))?;
        let number = parse_number(&number, text)?;
        if number.is_sign_negative() && !number.is_zero() {
            return Err(AmountError::Negative(text.into()));
        }
        if unit.trim().is_empty() {
            return Err(AmountError::NoUnit(text.into()));
        }
        if number > Decimal::from(ABSURD_COUNT) && Unit::named(unit).is_none() {
            return Err(AmountError::Absurd(text.into()));
        }
        Ok(Self {
            number,
            unit: unit.trim().to_string(),
        })
    }
}

/// Reads `2`, `0.5`, `1/2` or `1 1/2`.
fn parse_number(number: &str, text: &str) -> Result<Decimal, AmountError> {
    let no_number = || AmountError::NoNumber(text.into());
    let mut parts = number.split_whitespace();
    let first = parts.next().ok_or_else(no_number)?;
    let value = match (parts.next(), parts.next()) {
        (None, _) => parse_part(first, text)?,
        (Some(fraction), None) if fraction.contains('/') && !first.contains('/') => {
            let whole = parse_part(first, text)?;
            whole
                .checked_add(parse_part(fraction, text)?)
                .ok_or_else(no_number)?
        }
        _ => return Err(no_number()),
    };
    Ok(value)
}

/// Reads a decimal or a fraction.
fn parse_part(part: &str, text: &str) -> Result<Decimal, AmountError> {
    let decimal = |digits: &str| {
        digits
            .parse::<Decimal>()
            .map_err(|_| AmountError::NoNumber(text.into()))
    };
    match part.split_once('/') {
        None => decimal(part),
        Some((above, below)) => decimal(above)?
            .checked_div(decimal(below)?)
            .ok_or_else(|| AmountError::DividesByZero(text.into())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn amount(text: &str) -> Amount {
        text.parse().unwrap()
    }

    fn error(text: &str) -> AmountError {
        text.parse::<Amount>().unwrap_err()
    }

    #[test]
    fn numbers_are_read_as_people_write_them() {
        assert_eq!(amount("600 g").mass().unwrap(), Mass::from_grams(600.0));
        assert_eq!(amount("600g").mass().unwrap(), Mass::from_grams(600.0));
        assert_eq!(amount("1.5 kg").mass().unwrap(), Mass::from_grams(1500.0));
        assert_eq!(amount("1 1/2 cup, cubes").number(), 1.5);
        assert_eq!(amount("1 1/2 cup, cubes").unit(), "cup, cubes");
        assert_eq!(
            amount("1/2 cup").volume().unwrap().millilitres(),
            118.294_118_25
        );
        assert_eq!(amount("2 lb").mass().unwrap().grams(), 907.184_74);
    }

    #[test]
    fn ounces_of_the_wrong_kind_are_told_apart() {
        assert_eq!(
            amount("4 oz").volume().unwrap_err(),
            AmountError::OunceForVolume
        );
        assert_eq!(
            amount("4 fl oz").mass().unwrap_err(),
            AmountError::FluidOunceForMass
        );
    }

    #[test]
    fn what_cannot_be_an_amount_is_refused() {
        assert!(matches!(error("some"), AmountError::NoNumber(_)));
        assert!(matches!(error(""), AmountError::NoNumber(_)));
        assert!(matches!(error("-3 g"), AmountError::Negative(_)));
        assert_eq!(amount("0,5 kg"), amount("0.5 kg"));
        assert_eq!(amount("0,935 kg"), amount("0.935 kg"));
        assert!(matches!(error("1,200 g"), AmountError::Comma(_)));
        assert!(matches!(error("1/0 cup"), AmountError::DividesByZero(_)));
        assert!(matches!(error("600"), AmountError::NoUnit(_)));
        assert!(matches!(error("99999 each"), AmountError::Absurd(_)));
        assert!(matches!(
            amount("500 kg").mass().unwrap_err(),
            AmountError::Absurd(_)
        ));
        assert!(matches!(
            amount("3 each").mass().unwrap_err(),
            AmountError::WrongUnit { .. }
        ));
    }
}
