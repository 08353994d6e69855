//! Weight, length and head size as they are typed.

use jiff::civil::Date;

use crate::notebook::{Measured, Measurement};
use crate::problem::{Place, Problem, SourceText};
use crate::quantity::{Mass, read_mass, read_number};
use crate::words::quoted;

/// Reads a measurement of a child: a mass with its unit, or a length.
///
/// Errors: it is none, or none that a child has.
pub fn measurement(day: Date, what: Measured, text: &str) -> Result<Measurement, Problem> {
    // Bounds of what can be meant, to catch a wrong unit (judgement): they say nothing of what a child should have.
    let (value, range) = match what {
        Measured::Weight => (typed_mass(text)?.grams(), 300.0..=60_000.0),
        Measured::Length => (centimetres(text)?, 20.0..=150.0),
        Measured::Head => (centimetres(text)?, 15.0..=65.0),
    };
    if range.contains(&value) {
        return Ok(Measurement { day, what, value });
    }
    let what = format!("that is no {} of a child", what.word());
    Err(Problem::new(what).hint("look at the number and the unit"))
}

/// The measurement next to a new one that is far from it: the number, or the child, may be another. It says nothing of what a child should
/// have.
pub fn far_from_before<'a>(
    new: &Measurement,
    before: &'a [Measurement],
) -> Option<&'a Measurement> {
    // A tenth, and half a hundredth more for each day between (judgement).
    const AT_ONCE: f64 = 0.1;
    const A_DAY: f64 = 0.005;
    let same = before.iter().filter(|one| one.what == new.what);
    let near = same.min_by_key(|one| days_apart(one.day, new.day))?;
    let far = AT_ONCE + A_DAY * f64::from(days_apart(near.day, new.day));
    ((new.value - near.value).abs() > far * near.value).then_some(near)
}

fn days_apart(one: Date, other: Date) -> i32 {
    one.until(other).map_or(0, |span| span.get_days().abs())
}

/// Reads what was measured in a parent's words: `8.4 kg, 66 cm, head 44 cm`. A mass is the weight, a length that of the child unless it is said
/// to be of the head.
///
/// Errors: words that are none of these, or a measurement that no child has.
pub fn measurements(day: Date, words: &str) -> Result<Vec<Measurement>, Problem> {
    let unread = |word: &str| {
        Problem::new(format!("{} is no measurement", quoted(word)))
            .hint("write the numbers with their units, such as “8.4 kg, 66 cm, head 44 cm”")
    };
    let text = words.to_lowercase();
    let (mut rest, mut of_head, mut found) = (text.as_str(), false, Vec::new());
    loop {
        rest = rest.trim_start_matches(|c: char| c.is_whitespace() || [',', ';', ':'].contains(&c));
        if rest.is_empty() {
            return Ok(found);
        }
        let digits = digits(rest);
        let after = rest[digits..].trim_start();
        let letters = after.find(|c: char| !c.is_alphabetic());
        let (unit, after) = after.split_at(letters.unwrap_or(after.len()));
        if digits == 0 {
            of_head = match unit {
                "head" => true,
                "weight" | "weighs" | "length" | "height" | "long" | "tall" | "and" | "is" => false,
                "circumference" | "size" | "around" => of_head,
                _ => return Err(unread(rest)),
            };
            rest = after;
            continue;
        }
        let mut end = text.len() - after.len();
        let start = text.len() - rest.len();
        let what = match unit {
            "cm" | "in" | "inch" | "inches" if of_head => Measured::Head,
            "cm" | "in" | "inch" | "inches" => Measured::Length,
            "kg" | "g" | "lb" | "lbs" | "oz" => Measured::Weight,
            _ => return Err(unread(rest)),
        };
        // Pounds and ounces are one weight.
        let ounces = after.trim_start();
        let number = self::digits(ounces);
        if ["lb", "lbs"].contains(&unit) && number > 0 {
            let word = ounces[number..].trim_start();
            if let Some(behind) = word.strip_prefix("oz") {
                end = text.len() - behind.len();
            }
        }
        let written = text[start..end]
            .replace("inches", "in")
            .replace("inch", "in");
        found.push(measurement(day, what, &written)?);
        (rest, of_head) = (&text[end..], false);
    }
}

/// How much of a text is a number; a comma before a blank parts two measurements.
fn digits(text: &str) -> usize {
    let is_digit = |c: char| c.is_ascii_digit();
    let of_number = |(at, c): &(usize, char)| match c {
        ',' => *at > 0 && text[at + 1..].starts_with(is_digit),
        '.' => true,
        _ => is_digit(*c),
    };
    text.char_indices().take_while(of_number).count()
}

/// A mass that is typed.
///
/// Errors: it is none.
pub fn typed_mass(text: &str) -> Result<Mass, Problem> {
    let place = Place::whole(&SourceText::new("the amount", text));
    read_mass(text).map_err(|error| Problem::at(place, error.to_string()).hint(error.hint()))
}

/// A length that is typed, in centimetres.
///
/// Errors: it is none.
pub fn centimetres(text: &str) -> Result<f64, Problem> {
    let (number, factor) = match text.trim().strip_suffix("in") {
        // One inch is 2.54 cm exactly (NIST SP 811).
        Some(inches) => (inches, 2.54),
        None => (text.trim().trim_end_matches("cm"), 1.0),
    };
    read_number(number)
        .map(|length| length * factor)
        .ok_or_else(|| {
            Problem::new(format!("{} is no length", quoted(text)))
                .hint("write it in centimetres or inches, such as 71.5 cm or 28 in")
        })
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    #[test]
    fn measurements_are_read_as_a_parent_writes_them() {
        let read = |words: &str| -> Vec<(Measured, f64)> {
            let all = measurements(date(2026, 11, 16), words).unwrap();
            all.iter()
                .map(|one| (one.what, (one.value * 10.0).round() / 10.0))
                .collect()
        };
        assert_eq!(read("8.4kg"), [(Measured::Weight, 8400.0)]);
        assert_eq!(
            read("8,35 kg,66,5 cm"),
            [(Measured::Weight, 8350.0), (Measured::Length, 66.5)]
        );
        let all = [
            (Measured::Weight, 8400.0),
            (Measured::Length, 66.0),
            (Measured::Head, 44.0),
        ];
        assert_eq!(read("8.4 kg, 66 cm, head 44 cm"), all);
        assert_eq!(
            read("weight 8.4 kg length 66cm head circumference 44 cm"),
            all
        );
        // A pound is 453.59237 g, an ounce the sixteenth of it, an inch 2.54 cm (NIST SP 811).
        assert_eq!(
            read("18 lb 8 oz and 26 in"),
            [(Measured::Weight, 8391.5), (Measured::Length, 66.0)]
        );
        assert_eq!(
            read("head 17.5 inches, 70 cm"),
            [(Measured::Head, 44.5), (Measured::Length, 70.0)]
        );
        for wrong in ["8.4", "tooth 3 mm", "66 kg", "44 cm of cloth"] {
            assert!(measurements(date(2026, 11, 16), wrong).is_err(), "{wrong}");
        }
    }
}
