//! Reading weight, length and head size as they are typed.

use std::ops::RangeInclusive;

use jiff::civil::Date;

use crate::notebook::{Child, Measured, Measurement};
use crate::nutrition::AgeMonths;
use crate::problem::{Place, Problem, SourceText};
use crate::quantity::{Mass, read_mass, read_number};
use crate::words::quoted;

/// Reads a measurement of a child: a mass with its unit, or a length.
///
/// Errors: the text is not a measurement, or not one that a child has.
pub fn measurement(day: Date, what: Measured, text: &str) -> Result<Measurement, Problem> {
    // Bounds of what can be meant, to catch a wrong unit (judgement): they say nothing of what a
    // child should have.
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

/// The reason to ask about a measurement before it is recorded: the number, the unit or the child
/// may be wrong. It says nothing of what a child should have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MeasureDoubt {
    /// The measurement is far from this one, which was measured next to it.
    Beside(Measurement),
    /// The measurement is far from the weight that the book has of the child.
    OfBook(Mass),
    /// The measurement is far from what a child of this age weighs.
    OfAge(AgeMonths),
}

/// The weight in the book is written once. The days around today within which a measurement is
/// compared with it, and the factor by which the two may differ (judgement).
const BOOK_DAYS: i32 = 60;
const BOOK_TIMES: f64 = 1.5;

/// The weight of a child from an age in months on, in kilograms: at least, and at most. Wide of the
/// lightest and the heaviest (judgement; the order of size from memory of the WHO Child Growth
/// Standards).
const BY_AGE: [(u16, f64, f64); 6] = [
    (0, 0.5, 9.0),
    (3, 2.5, 11.0),
    (6, 4.0, 13.0),
    (12, 5.5, 18.0),
    (24, 7.0, 25.0),
    (48, 9.0, 40.0),
];

/// What makes a new measurement of a child doubtful beside those on record; `None` where nothing
/// does.
pub fn measure_doubt(
    new: &Measurement,
    child: &Child,
    before: &[Measurement],
    today: Date,
) -> Option<MeasureDoubt> {
    let beside = far_from_before(new, before).map(|near| MeasureDoubt::Beside(*near));
    if beside.is_some() || new.what != Measured::Weight {
        return beside;
    }
    let is_first = before.iter().all(|known| known.what != Measured::Weight);
    let of_book = child
        .weight
        .filter(|_| is_first && days_apart(new.day, today) <= BOOK_DAYS);
    let times = |weight: &Mass| new.value / weight.grams();
    let is_far = |weight: &Mass| !(1.0 / BOOK_TIMES..=BOOK_TIMES).contains(&times(weight));
    if let Some(weight) = of_book.filter(is_far) {
        return Some(MeasureDoubt::OfBook(weight));
    }
    let age = child.age_on(new.day);
    let (_, least, most) = BY_AGE.iter().rfind(|(from, ..)| *from <= age.0)?;
    let usual = least * 1000.0..=most * 1000.0;
    (!usual.contains(&new.value)).then_some(MeasureDoubt::OfAge(age))
}

/// The measurement next to a new one, where the new one is far from it and from all others of these
/// weeks: a right one is not doubted because of a slip beside it.
fn far_from_before<'a>(new: &Measurement, before: &'a [Measurement]) -> Option<&'a Measurement> {
    // A tenth, and half a hundredth more for each day between (judgement).
    const AT_ONCE: f64 = 0.1;
    const A_DAY: f64 = 0.005;
    const THESE_WEEKS: i32 = 28;
    let is_far = |known: &&Measurement| {
        let far = AT_ONCE + A_DAY * f64::from(days_apart(known.day, new.day));
        (new.value - known.value).abs() > far * known.value
    };
    let same = before.iter().filter(|known| known.what == new.what);
    let same: Vec<&Measurement> = same.collect();
    let near = same
        .iter()
        .copied()
        .min_by_key(|known| days_apart(known.day, new.day))?;
    let mut around = same
        .iter()
        .filter(|known| days_apart(known.day, new.day) <= THESE_WEEKS || known.day == near.day);
    around.all(is_far).then_some(near)
}

fn days_apart(from: Date, to: Date) -> i32 {
    from.until(to).map_or(0, |span| span.get_days().abs())
}

/// Reads measurements in a parent's words: `8.4 kg, 66 cm, head 44 cm`. A mass is the weight, a
/// length that of the child unless it is said to be of the head.
///
/// Errors: words that are not a measurement, or a measurement that no child has.
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

/// The length in bytes of the number at the start of a text; a comma before a blank separates two
/// measurements.
fn digits(text: &str) -> usize {
    let is_digit = |c: char| c.is_ascii_digit();
    let of_number = |(at, c): &(usize, char)| match c {
        ',' => *at > 0 && text[at + 1..].starts_with(is_digit),
        '.' => true,
        _ => is_digit(*c),
    };
    text.char_indices().take_while(of_number).count()
}

/// Reads a mass that is typed.
///
/// Errors: the text is not a mass.
pub fn typed_mass(text: &str) -> Result<Mass, Problem> {
    let place = Place::whole(&SourceText::new("the amount", text));
    read_mass(text).map_err(|error| Problem::at(place, error.to_string()).hint(error.hint()))
}

/// A weight at birth that is typed: a number alone is in kilograms, a large one in grams.
///
/// Errors: it is none, or none of a newborn child.
pub fn weight_at_birth(typed: &str) -> Result<Mass, Problem> {
    // Wide of the lightest who live and of the heaviest (judgement); no child is born with so many kilograms.
    const NEWBORN_GRAMS: RangeInclusive<f64> = 300.0..=7_000.0;
    const IN_GRAMS_FROM: f64 = 100.0;
    let weight = match read_number(typed) {
        Some(grams) if grams >= IN_GRAMS_FROM => Mass::from_grams(grams),
        Some(kilograms) => Mass::from_grams(kilograms * 1000.0),
        None => typed_mass(typed)?,
    };
    if NEWBORN_GRAMS.contains(&weight.grams()) {
        return Ok(weight);
    }
    let what = format!("{} is no weight at birth", quoted(typed));
    Err(Problem::new(what).hint("look at the number and the unit, such as 3.1 kg or 3100 g"))
}

/// Reads a length that is typed, in centimetres.
///
/// Errors: the text is not a length.
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
    fn a_weight_at_birth_is_that_of_a_newborn_child() {
        let grams = |typed: &str| weight_at_birth(typed).map(Mass::grams).ok();
        for typed in ["2.1", "2,1", "2100", "2.1 kg", "2100 g"] {
            assert_eq!(grams(typed), Some(2100.0), "{typed}");
        }
        for typed in ["31", "31 kg", "0.2", "7.5 kg", "210 kg", "heavy", ""] {
            assert_eq!(grams(typed), None, "{typed}");
        }
    }

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
