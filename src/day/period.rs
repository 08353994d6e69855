//! A period that ends today: `7d`, `2w`, `1m`, as a person types its length.

use std::str::FromStr;

use jiff::civil::Date;

use super::calendar::{FURTHEST, add};
use super::lexicon::{self, DayToken, TimeUnit};
use super::spelling::tokens;

/// A length of time that ends today.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Period {
    count: u32,
    unit: TimeUnit,
}

impl Period {
    /// The first and the last day, both included, of the period that ends today.
    pub fn until(self, today: Date) -> (Date, Date) {
        let before = add(today, -i64::from(self.count), self.unit).unwrap_or(Date::MIN);
        (before.tomorrow().unwrap_or(before), today)
    }
}

impl FromStr for Period {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let text = text.trim().to_lowercase();
        length(&text)
            .map(|(count, unit)| Self { count, unit })
            .ok_or_else(|| "write how long, such as 7d, 2w or 1m".to_string())
    }
}

/// A length of time, such as `7d`, `two weeks` or `a month`.
fn length(text: &str) -> Option<(u32, TimeUnit)> {
    let tokens = tokens(&lexicon::words(text))?;
    match *tokens.as_slice() {
        [DayToken::Number(count @ 1..=FURTHEST), DayToken::Unit(unit)] => Some((count, unit)),
        [DayToken::Unit(unit)] => Some((1, unit)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_ends_today_and_holds_as_many_days_as_it_says() {
        let today = jiff::civil::date(2026, 11, 27);
        for (text, from) in [
            ("7d", "2026-11-21"),
            ("1 day", "2026-11-27"),
            ("2w", "2026-11-14"),
            ("two weeks", "2026-11-14"),
            ("a fortnight", "2026-11-14"),
            ("6 weeks", "2026-10-17"),
            ("1m", "2026-10-28"),
            ("month", "2026-10-28"),
        ] {
            let period: Period = text.parse().unwrap();
            assert_eq!(
                period.until(today),
                (from.parse().unwrap(), today),
                "{text}"
            );
        }
        for wrong in ["", "7", "0d", "yesterday", "seven", "9999d", "7d 2w"] {
            assert!(wrong.parse::<Period>().is_err(), "{wrong}");
        }
    }
}
