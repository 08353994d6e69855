//! Numbers as people type them, with a point or a comma before the decimals.

use std::borrow::Cow;

/// A number with a point where a decimal comma was typed, `1,5` or `0,935`; `None` where the comma
/// may stand between thousands: `1,200`.
pub fn with_point(number: &str) -> Option<Cow<'_, str>> {
    let Some((whole, decimals)) = number.split_once(',') else {
        return Some(number.into());
    };
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let thousands = decimals.len() == 3 && whole.bytes().any(|byte| byte != b'0');
    (digits(whole) && digits(decimals) && !thousands).then(|| format!("{whole}.{decimals}").into())
}

/// The number that a text is; `None` where it is not a number, or may be two.
pub fn read_number(text: &str) -> Option<f64> {
    let number = with_point(text.trim())?.parse::<f64>().ok()?;
    number.is_finite().then_some(number)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_comma_before_decimals_is_read_and_one_that_may_part_thousands_is_not() {
        for (typed, number) in [
            ("1.19", 1.19),
            ("1,19", 1.19),
            ("8,1", 8.1),
            ("0,935", 0.935),
            ("1,2345", 1.2345),
        ] {
            assert_eq!(read_number(typed), Some(number), "{typed}");
        }
        for wrong in ["1,200", "1,2,3", "1.2,3", "-1,5", ",5", "1,", "x", ""] {
            assert_eq!(read_number(wrong), None, "{wrong}");
        }
    }
}
