//! Days in numbers: `2026-11-27`, `20.11.2026`, `20/11`. The year comes first or last. With dots
//! the day stands before the month; with other signs both orders are in use, so that a day that
//! depends on the order is ambiguous.

use jiff::ToSpan as _;
use jiff::civil::{Date, Weekday};

use super::lexicon::{self, DayToken};
use super::refusal::Why;
use super::written::{days_of_month, other_weekday, yearless};
use super::{DayReader, DayUse};

/// The years around today in which a day is looked for whose year has two digits, where no birth
/// bounds it (judgement).
const NEAR_YEARS: i64 = 5;
/// The years before today in which a birth is looked for whose year has two digits (judgement).
const GROWN_UP: i64 = 18;

/// The numbers read in one order.
#[derive(Debug, Clone, Copy)]
struct NumericDate {
    year: Option<i16>,
    month: u32,
    day: u32,
}

/// The day of a text in numbers, perhaps after a weekday; `None` where it is something else.
pub(super) fn read(reader: &DayReader, text: &str) -> Option<Result<Date, Why>> {
    let (weekday, text) = after_a_weekday(text);
    let text = without_time(text);
    let text = text.strip_suffix('.').unwrap_or(text);
    let mut signs = text.chars().filter(|c| !c.is_ascii_digit());
    let sign = signs.next();
    let one_kind = signs.all(|other| Some(other) == sign);
    let parts: Option<Vec<(usize, u32)>> = match sign {
        None => number(text).map(|number| vec![number]),
        Some(sign @ ('-' | '/' | '.' | ' ')) if one_kind => text.split(sign).map(number).collect(),
        Some(_) => None,
    };
    let parts = parts?;
    if let (None, [(_, number @ 1..=31)]) = (weekday, parts.as_slice()) {
        return Some(Err(Why::BareNumber(*number)));
    }
    let (first, rest) = readings(&parts, sign == Some('.'))?;
    let chosen = chosen(reader, &first, &rest, parts.iter().any(|part| part.0 == 4));
    Some(of_readings(reader, &chosen, weekday))
}

fn after_a_weekday(text: &str) -> (Option<Weekday>, &str) {
    let (word, rest) = text
        .split_once([' ', ','])
        .map_or((text, ""), |(word, rest)| {
            (word, rest.trim_start_matches([' ', ',']))
        });
    match lexicon::token(word.trim_end_matches('.')) {
        Some(DayToken::Weekday(weekday)) if rest.contains(['/', '-', '.']) => (Some(weekday), rest),
        _ => (None, text),
    }
}

/// The text without a time of day at its end: `2026-11-26 18:30`.
fn without_time(text: &str) -> &str {
    match text.split_once(['t', ' ']) {
        Some((day, time))
            if time.contains(':') && time.chars().all(|c| c.is_ascii_digit() || c == ':') =>
        {
            day
        }
        _ => text,
    }
}

/// How many digits a number has, and its value.
fn number(text: &str) -> Option<(usize, u32)> {
    let digits = (1..=8).contains(&text.len()) && text.chars().all(|c| c.is_ascii_digit());
    digits.then(|| text.parse().ok().map(|value| (text.len(), value)))?
}

/// The readings with the year first, and those with it last or left out.
fn readings(parts: &[(usize, u32)], dots: bool) -> Option<(Vec<NumericDate>, Vec<NumericDate>)> {
    let year = |(digits, value): (usize, u32)| {
        let value = i16::try_from(value).ok()?;
        match digits {
            4 => Some(value),
            2 => Some(2000 + value),
            _ => None,
        }
    };
    let reading = |year, month, day| NumericDate { year, month, day };
    let both = |year, first: u32, second: u32| {
        let day_first = reading(year, second, first);
        let month_first = reading(year, first, second);
        if dots {
            vec![day_first]
        } else {
            vec![day_first, month_first]
        }
    };
    match *parts {
        [(8, whole)] => {
            let of_year = i16::try_from(whole / 10_000).ok()?;
            let first = reading(Some(of_year), whole / 100 % 100, whole % 100);
            Some((vec![first], Vec::new()))
        }
        [(..=2, first), (..=2, second)] => Some((Vec::new(), both(None, first, second))),
        [first @ (4, _), (..=2, month), (..=2, day)] => {
            Some((vec![reading(Some(year(first)?), month, day)], Vec::new()))
        }
        [(..=2, first), (..=2, second), last @ (4, _)]
        | [(1, first), (..=2, second), last @ (2, _)] => {
            Some((Vec::new(), both(Some(year(last)?), first, second)))
        }
        [first @ (2, _), (..=2, month), (..=2, day)] => {
            let last = (parts[2].0 == 2).then(|| year(parts[2])).flatten();
            let last = last.map(|last| both(Some(last), first.1, month));
            Some((
                vec![reading(Some(year(first)?), month, day)],
                last.unwrap_or_default(),
            ))
        }
        _ => None,
    }
}

/// The readings that are plausible of those with the year first and last: all of them where the
/// year has four digits, or where both or neither orders give a day near today.
fn chosen(
    reader: &DayReader,
    first: &[NumericDate],
    last: &[NumericDate],
    four_digits: bool,
) -> Vec<NumericDate> {
    let plausible = |some: &[NumericDate]| {
        let days = some.iter().filter_map(|reading| reading.date().ok());
        days.into_iter().any(|day| near(reader, day))
    };
    match (
        first.is_empty() || last.is_empty(),
        plausible(first),
        plausible(last),
    ) {
        _ if four_digits => [first, last].concat(),
        (false, true, false) => first.to_vec(),
        (false, false, true) => last.to_vec(),
        _ => [first, last].concat(),
    }
}

fn near(reader: &DayReader, day: Date) -> bool {
    let today = reader.today;
    let years = if reader.purpose == DayUse::Birth {
        GROWN_UP
    } else {
        NEAR_YEARS
    };
    let first = reader
        .born
        .unwrap_or_else(|| today.saturating_sub(years.years()));
    match reader.purpose {
        DayUse::Record | DayUse::Birth | DayUse::Past => (first..=today).contains(&day),
        DayUse::Plan => (today..=today.saturating_add(1.year())).contains(&day),
        DayUse::Ahead => (first..=today.saturating_add(1.year())).contains(&day),
    }
}

fn of_readings(
    reader: &DayReader,
    readings: &[NumericDate],
    weekday: Option<Weekday>,
) -> Result<Date, Why> {
    let possible = readings.iter().filter(|reading| reading.date().is_ok());
    let mut found: Vec<(Date, Result<Date, Why>)> = Vec::new();
    for reading in possible {
        let read = match reading.year {
            Some(_) => reading.date(),
            None => reading.without_year(reader),
        };
        let day = match &read {
            Ok(day)
            | Err(Why::ToCome { day, .. } | Why::Over { day, .. } | Why::BeforeBirth { day, .. }) => {
                *day
            }
            Err(why) => return Err(why.clone()),
        };
        if found.iter().all(|(known, _)| *known != day) {
            found.push((day, read));
        }
    }
    if let (Some(weekday), 2..) = (weekday, found.len()) {
        found.retain(|(day, _)| day.weekday() == weekday);
    }
    match found.as_slice() {
        [] => Err(impossible(readings)),
        [(day, read)] => match weekday {
            Some(weekday) if day.weekday() != weekday => Err(other_weekday(*day)),
            _ => read.clone(),
        },
        several => Err(Why::Ambiguous(
            several.iter().map(|reading| reading.0).collect(),
        )),
    }
}

/// Why none of the readings is a day, by the one that comes nearest to it.
fn impossible(readings: &[NumericDate]) -> Why {
    let with_month = readings
        .iter()
        .find(|reading| (1..=12).contains(&reading.month));
    let nearest = with_month.or(readings.first());
    nearest
        .and_then(|reading| reading.date().err())
        .unwrap_or(Why::Unknown)
}

impl NumericDate {
    /// The date; without a year, that of a leap year, since any year could be meant.
    fn date(&self) -> Result<Date, Why> {
        const LEAP: i16 = 2024;
        let month = self.month()?;
        days_of_month(self.year, month, self.day)?;
        let day = i8::try_from(self.day).map_err(|_| Why::Unknown)?;
        Date::new(self.year.unwrap_or(LEAP), month, day).map_err(|_| Why::Unknown)
    }

    fn month(&self) -> Result<i8, Why> {
        let month = i8::try_from(self.month).ok();
        month
            .filter(|month| (1..=12).contains(month))
            .ok_or_else(|| Why::Impossible(format!("there is no month {}", self.month)))
    }

    fn without_year(&self, reader: &DayReader) -> Result<Date, Why> {
        yearless(reader, self.month()?, self.day)
    }
}
