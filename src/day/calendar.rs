//! Counting in the calendar: so many weeks later, the monday before, the friday of next week.

use jiff::civil::{Date, Weekday};
use jiff::{Span, ToSpan as _};

use super::lexicon::{DayToken, TimeUnit};
use super::refusal::Why;

/// Nothing is counted further than this, in any unit.
pub(super) const FURTHEST: u32 = 1000;

/// One day where two readings agree on it.
pub(super) fn agreed(one: Result<Date, Why>, other: Result<Date, Why>) -> Result<Date, Why> {
    let (one, other) = (one?, other?);
    if one == other {
        return Ok(one);
    }
    Err(Why::Ambiguous(vec![one, other]))
}

/// The last such weekday before today.
pub(super) fn before(today: Date, day: Weekday) -> Result<Date, Why> {
    let days = today.weekday().since(day);
    add(
        today,
        -i64::from(if days == 0 { 7 } else { days }),
        TimeUnit::Day,
    )
}

/// The first such weekday after today.
pub(super) fn after(today: Date, day: Weekday) -> Result<Date, Why> {
    let days = today.weekday().until(day);
    add(
        today,
        i64::from(if days == 0 { 7 } else { days }),
        TimeUnit::Day,
    )
}

/// The weekday in a week from Monday to Sunday, so many weeks after that of today.
pub(super) fn in_week(today: Date, weeks: i64, day: Weekday) -> Result<Date, Why> {
    let from_monday = i64::from(day.to_monday_zero_offset());
    let today_from_monday = i64::from(today.weekday().to_monday_zero_offset());
    add(
        today,
        7 * weeks + from_monday - today_from_monday,
        TimeUnit::Day,
    )
}

/// How many weeks or months from now: last, this, next.
pub(super) fn weeks(which: DayToken) -> i64 {
    match which {
        DayToken::Last => -1,
        DayToken::Next | DayToken::Coming => 1,
        _ => 0,
    }
}

/// A day so many units later.
pub(super) fn add(day: Date, count: i64, unit: TimeUnit) -> Result<Date, Why> {
    if count.unsigned_abs() > u64::from(FURTHEST) {
        return Err(Why::Unknown);
    }
    let span: Span = match unit {
        TimeUnit::Day => count.days(),
        TimeUnit::Week => count.weeks(),
        TimeUnit::Fortnight => (2 * count).weeks(),
        TimeUnit::Month => count.months(),
        TimeUnit::Year => count.years(),
    };
    day.checked_add(span).map_err(|_| Why::Unknown)
}
