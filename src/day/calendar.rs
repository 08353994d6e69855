//! Counting in the calendar: a number of weeks later, the monday before, the friday of next week.

use jiff::civil::{Date, Weekday};
use jiff::{Span, ToSpan as _};

use super::lexicon::{DayToken, TimeUnit};
use super::refusal::Why;

/// The largest number of units that is counted, in any unit (judgement).
pub(super) const FURTHEST: u32 = 1000;

/// The day on which two readings agree.
pub(super) fn agreed(first: Result<Date, Why>, second: Result<Date, Why>) -> Result<Date, Why> {
    let (first, second) = (first?, second?);
    if first == second {
        return Ok(first);
    }
    Err(Why::Ambiguous(vec![first, second]))
}

/// The last day before today with a weekday.
pub(super) fn before(today: Date, day: Weekday) -> Result<Date, Why> {
    let days = match today.weekday().since(day) {
        0 => 7,
        days => days,
    };
    add(today, -i64::from(days), TimeUnit::Day)
}

/// The first day after today with a weekday.
pub(super) fn after(today: Date, day: Weekday) -> Result<Date, Why> {
    let days = match today.weekday().until(day) {
        0 => 7,
        days => days,
    };
    add(today, i64::from(days), TimeUnit::Day)
}

/// A weekday of the week, Monday to Sunday, that is a number of weeks after that of today.
pub(super) fn in_week(today: Date, weeks: i64, day: Weekday) -> Result<Date, Why> {
    let from_monday = |day: Weekday| i64::from(day.to_monday_zero_offset());
    let days = 7 * weeks + from_monday(day) - from_monday(today.weekday());
    add(today, days, TimeUnit::Day)
}

/// The number of weeks or months from now: -1 for last, 0 for this, 1 for next.
pub(super) fn weeks(which: DayToken) -> i64 {
    match which {
        DayToken::Last => -1,
        DayToken::Next | DayToken::Coming => 1,
        _ => 0,
    }
}

/// A day that is a number of units later.
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
