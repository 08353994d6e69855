//! Dates in writing: 17 Oct, October 17th 2026, the 17th. A date without a year or a month is the
//! nearest on the side to which its use looks.

use jiff::civil::Date;

use super::calendar::{add, weeks};
use super::lexicon::{DayToken, TimeUnit};
use super::refusal::Why;
use super::{DayReader, DayUse};

/// Dates: 17 Oct, October 17th 2026, the 17th, saturday the 21st, the 17th of last month.
pub(super) fn read(reader: &DayReader, tokens: &[DayToken]) -> Option<Result<Date, Why>> {
    use DayToken::{Last, Next, Number, Ordinal, This, Unit as Of};
    if let [
        Ordinal(day) | Number(day),
        which @ (This | Last | Next),
        Of(TimeUnit::Month),
    ] = *tokens
    {
        let month = add(reader.today.first_of_month(), weeks(which), TimeUnit::Month);
        return Some(month.and_then(|month| of_month(month, day)));
    }
    let mut weekday = None;
    let mut rest = Vec::new();
    for token in tokens {
        match token {
            DayToken::Weekday(day) if weekday.is_none() => weekday = Some(*day),
            token => rest.push(*token),
        }
    }
    let found = match *rest.as_slice() {
        [Ordinal(day)] => day_of_month(reader, day),
        [Number(day)] if weekday.is_some() => day_of_month(reader, day),
        [DayToken::Month(_), Number(1000..)] => Err(Why::Vague(Vec::new())),
        [Ordinal(day) | Number(day), DayToken::Month(month)]
        | [DayToken::Month(month), Ordinal(day) | Number(day)] => yearless(reader, month, day),
        [
            Ordinal(day) | Number(day),
            DayToken::Month(month),
            Number(year),
        ]
        | [
            DayToken::Month(month),
            Ordinal(day) | Number(day),
            Number(year),
        ] if !(100..1000).contains(&year) => dated(year, month, day),
        [
            Number(year @ 1000..),
            DayToken::Month(month),
            Ordinal(day) | Number(day),
        ] => dated(year, month, day),
        _ => return None,
    };
    Some(found.and_then(|day| match weekday {
        Some(weekday) if weekday != day.weekday() => Err(other_weekday(day)),
        _ => Ok(day),
    }))
}

/// A date without its year: that of this year, or of the year before or after to which this use
/// looks, if that is nearer.
pub(super) fn yearless(reader: &DayReader, month: i8, day: u32) -> Result<Date, Why> {
    let today = reader.today;
    let of_year = |year: i16| {
        days_of_month(Some(year), month, day)?;
        let day = i8::try_from(day).map_err(|_| Why::Unknown)?;
        Date::new(year, month, day).map_err(|_| Why::Unknown)
    };
    days_of_month(None, month, day)?;
    let year = today.year();
    let looks_back = reader.purpose.looks_back();
    let this = of_year(year);
    let other = of_year(if looks_back { year - 1 } else { year + 1 });
    let (this, other) = match (this, other) {
        (Ok(this), Ok(other)) => (this, other),
        (Ok(this), Err(_)) => return Ok(this),
        // This is 29 February of a year without it.
        (Err(why), _) => return Err(why),
    };
    let fits = if looks_back {
        this <= today
    } else {
        this >= today
    };
    let away = |day: Date| (day - today).get_days().abs();
    let lived = reader.born.is_none_or(|born| born <= other);
    match reader.purpose {
        _ if fits => Ok(this),
        DayUse::Birth => Ok(other),
        DayUse::Record if away(this) <= away(other) || !lived => Err(Why::ToCome {
            day: this,
            earlier: Some(other).filter(|_| lived),
        }),
        DayUse::Plan if away(this) <= away(other) => Err(Why::Over {
            day: this,
            later: Some(other),
        }),
        _ if away(this) <= away(other) => Ok(this),
        _ => Ok(other),
    }
}

/// A day of the month alone: of this month, else of the nearest month with such a day on the side
/// to which this use looks.
fn day_of_month(reader: &DayReader, day: u32) -> Result<Date, Why> {
    let today = reader.today;
    if !(1..=31).contains(&day) {
        return Err(Why::Impossible(format!("no month has a day {day}")));
    }
    let looks_back = reader.purpose.looks_back();
    let this = of_month(today.first_of_month(), day);
    let fits = |found: &Date| {
        if looks_back {
            *found <= today
        } else {
            *found >= today
        }
    };
    if let Ok(this) = this
        && fits(&this)
    {
        return Ok(this);
    }
    let steps: i64 = if looks_back { -1 } else { 1 };
    let others = (1..=2).map(|months| add(today.first_of_month(), steps * months, TimeUnit::Month));
    let mut others = others
        .flatten()
        .filter_map(|month| of_month(month, day).ok());
    let other = others.next().ok_or(Why::Unknown)?;
    let away = |day: Date| (day - today).get_days().abs();
    match this {
        Ok(this) if reader.purpose == DayUse::Record && away(this) <= away(other) => {
            Err(Why::ToCome {
                day: this,
                earlier: Some(other),
            })
        }
        _ => Ok(other),
    }
}

fn of_month(month: Date, day: u32) -> Result<Date, Why> {
    days_of_month(Some(month.year()), month.month(), day)?;
    let day = i8::try_from(day).map_err(|_| Why::Unknown)?;
    Date::new(month.year(), month.month(), day).map_err(|_| Why::Unknown)
}

fn dated(year: u32, month: i8, day: u32) -> Result<Date, Why> {
    let year = if year < 100 { 2000 + year } else { year };
    let year = i16::try_from(year).map_err(|_| Why::Unknown)?;
    let first = Date::new(year, month, 1).map_err(|_| Why::Unknown)?;
    of_month(first, day)
}

/// Whether the month has such a day; without a year, in a leap year.
pub(super) fn days_of_month(year: Option<i16>, month: i8, day: u32) -> Result<(), Why> {
    const LEAP: i16 = 2024;
    let first = Date::new(year.unwrap_or(LEAP), month, 1).map_err(|_| Why::Unknown)?;
    let days = first.days_in_month();
    if (1..=u32::from(days.unsigned_abs())).contains(&day) {
        return Ok(());
    }
    let name = first.strftime("%B");
    Err(Why::Impossible(match (month, year) {
        (2, Some(year)) => format!("{name} {year} has {days} days"),
        (2, None) => format!("{name} has 28 days, {days} in a leap year"),
        _ => format!("{name} has {days} days"),
    }))
}

/// The refusal of a day that is not of the weekday that was typed.
pub(super) fn other_weekday(day: Date) -> Why {
    Why::Impossible(format!(
        "{} {} is a {}",
        day.strftime("%-d %B %Y"),
        format_args!("({day})"),
        day.strftime("%A")
    ))
}
