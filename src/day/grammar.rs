//! Days in words: the day that a phrase means, seen from today.

use jiff::civil::{Date, Weekday};

use super::calendar::{add, after, agreed, before, in_week, weeks};
use super::lexicon::{self, DayToken, TimeUnit};
use super::refusal::Why;
use super::spelling::{misspelt, tokens};
use super::written::{self, yearless};
use super::{DayReader, DayUse};

/// The day that a text in words means.
pub(super) fn read(reader: &DayReader, text: &str) -> Result<Date, Why> {
    let words = lexicon::words(text);
    if let Some((month, day)) = lexicon::named_day(&words) {
        return yearless(reader, month, day);
    }
    match tokens(&words) {
        Some(tokens) => day(reader, &tokens).unwrap_or(Err(Why::Unknown)),
        None => misspelt(reader, &words),
    }
}

/// The day of a phrase of words; `None` where they are no phrase.
fn day(reader: &DayReader, tokens: &[DayToken]) -> Option<Result<Date, Why>> {
    if let Some(vague) = vague(reader, tokens) {
        return Some(Err(Why::Vague(vague)));
    }
    // A part of the day leaves the day as it is: friday evening, on the evening of 17 Oct.
    let without_part: Vec<DayToken> = match tokens {
        [DayToken::This, DayToken::Part] => return Some(Ok(reader.today)),
        [DayToken::Last, DayToken::Part] => return Some(add(reader.today, -1, TimeUnit::Day)),
        [
            DayToken::Part | DayToken::Unit(TimeUnit::Day),
            DayToken::Before,
            DayToken::Last,
        ] => {
            return Some(add(reader.today, -2, TimeUnit::Day));
        }
        [
            DayToken::Part,
            side @ (DayToken::Before | DayToken::After),
            rest @ ..,
        ] => {
            let day = [DayToken::Unit(TimeUnit::Day), *side];
            day.iter().chain(rest).copied().collect()
        }
        tokens => tokens
            .iter()
            .copied()
            .filter(|token| *token != DayToken::Part)
            .collect(),
    };
    let tokens = without_part.as_slice();
    relative(reader, tokens)
        .or_else(|| weekday(reader, tokens))
        .or_else(|| written::read(reader, tokens))
}

/// Days counted from another day: 3 days ago, in 2 weeks, the day before yesterday, a week on
/// monday.
fn relative(reader: &DayReader, tokens: &[DayToken]) -> Option<Result<Date, Why>> {
    let today = reader.today;
    let looking = |purpose| DayReader { purpose, ..*reader };
    let back = looking(DayUse::Past);
    let ahead = looking(DayUse::Ahead);
    let counted = |base: Option<Result<Date, Why>>, count: i64, unit| {
        base.map(|base| base.and_then(|base| add(base, count, unit)))
    };
    match *tokens {
        [DayToken::Today] | [DayToken::Ago, DayToken::Today] => Some(Ok(today)),
        [DayToken::Yesterday] => Some(add(today, -1, TimeUnit::Day)),
        [DayToken::Tomorrow] => Some(add(today, 1, TimeUnit::Day)),
        [DayToken::From, ref base @ ..] => day(reader, base),
        [DayToken::Unit(unit), DayToken::Before, ref base @ ..] => {
            counted(day(&back, base), -1, unit)
        }
        [DayToken::Unit(unit), DayToken::After, ref base @ ..] => {
            counted(day(&ahead, base), 1, unit)
        }
        [DayToken::Unit(unit), DayToken::Ago] => Some(add(today, -1, unit)),
        [DayToken::In, DayToken::Number(count), DayToken::Unit(unit)] => {
            Some(add(today, i64::from(count), unit))
        }
        [DayToken::Number(count), DayToken::Unit(unit), ref rest @ ..] => {
            let count = i64::from(count);
            match *rest {
                [] => Some(Err(Why::Ambiguous(
                    [add(today, -count, unit), add(today, count, unit)]
                        .into_iter()
                        .flatten()
                        .collect(),
                ))),
                [DayToken::Ago] => Some(add(today, -count, unit)),
                [DayToken::Ago | DayToken::Before, ref base @ ..] => {
                    counted(day(&back, base), -count, unit)
                }
                [DayToken::From | DayToken::After, ref base @ ..] => {
                    counted(day(&ahead, base), count, unit)
                }
                [DayToken::Last | DayToken::Yesterday, ..] => {
                    counted(day(&back, rest), -count, unit)
                }
                ref base => counted(day(&ahead, base), count, unit),
            }
        }
        _ => None,
    }
}

/// Weekdays: friday, last friday, friday of next week, friday before last.
fn weekday(reader: &DayReader, tokens: &[DayToken]) -> Option<Result<Date, Why>> {
    use DayToken::{Before, Coming, Last, Next, This, Unit as Of};
    let today = reader.today;
    let last = |day| agreed(before(today, day), in_week(today, -1, day));
    let next = |day| agreed(after(today, day), in_week(today, 1, day));
    match *tokens {
        [DayToken::Weekday(day)] if day == today.weekday() => Some(Ok(today)),
        [DayToken::Weekday(day)] if reader.purpose.looks_back() => Some(before(today, day)),
        [DayToken::Weekday(day)] => Some(after(today, day)),
        [This, DayToken::Weekday(day)] => Some(if reader.purpose.looks_back() {
            in_week(today, 0, day)
        } else if day == today.weekday() {
            Ok(today)
        } else {
            after(today, day)
        }),
        [Last, DayToken::Weekday(day)] | [DayToken::Weekday(day), Last] => Some(last(day)),
        [Next, DayToken::Weekday(day)] | [DayToken::Weekday(day), Next] => Some(next(day)),
        [This, Last, DayToken::Weekday(day)] => Some(before(today, day)),
        [Coming, DayToken::Weekday(day)] | [This, Coming, DayToken::Weekday(day)] => {
            Some(after(today, day))
        }
        [DayToken::Weekday(day), Before, Last] => Some(match last(day) {
            Ok(day) => add(day, -1, TimeUnit::Week),
            Err(Why::Ambiguous(days)) => {
                let earlier = days.into_iter().map(|day| add(day, -1, TimeUnit::Week));
                Err(Why::Ambiguous(earlier.flatten().collect()))
            }
            Err(why) => Err(why),
        }),
        [DayToken::Weekday(day), Of(TimeUnit::Week)] => Some(if day == today.weekday() {
            add(today, 1, TimeUnit::Week)
        } else {
            after(today, day).and_then(|day| add(day, 1, TimeUnit::Week))
        }),
        [
            DayToken::Weekday(day),
            which @ (This | Last | Next),
            Of(TimeUnit::Week),
        ]
        | [
            which @ (This | Last | Next),
            Of(TimeUnit::Week),
            DayToken::Weekday(day),
        ] => Some(in_week(today, weeks(which), day)),
        _ => None,
    }
}

/// The days that vague words could mean; `None` where the words could be a single day.
fn vague(reader: &DayReader, tokens: &[DayToken]) -> Option<Vec<Date>> {
    use DayToken::{Coming, Last, Next, This, Unit as Of, Vague};
    let today = reader.today;
    let looks_back = reader.purpose.looks_back();
    let alone = |tokens: &[DayToken]| day(reader, tokens).and_then(Result::ok);
    if let Some(at) = tokens.iter().position(|token| *token == DayToken::Or) {
        let sides = [&tokens[..at], &tokens[at + 1..]];
        return Some(sides.into_iter().filter_map(alone).collect());
    }
    if tokens.contains(&DayToken::About) {
        let rest = tokens.iter().copied();
        let rest: Vec<_> = rest.filter(|token| *token != DayToken::About).collect();
        return Some(alone(&rest).into_iter().collect());
    }
    let days = |offsets: std::ops::RangeInclusive<i64>| {
        let days = offsets.map(|offset| add(today, offset, TimeUnit::Day));
        days.flatten().collect::<Vec<_>>()
    };
    if tokens.contains(&Vague) {
        return Some(if looks_back {
            days(-4..=-1)
        } else {
            days(1..=4)
        });
    }
    if tokens.contains(&DayToken::Weekend) {
        let week = match (looks_back, tokens) {
            (false, [Next, ..]) => 1,
            (false, _) => 0,
            (true, _) if today.weekday() == Weekday::Sunday => 0,
            (true, _) => -1,
        };
        let ends = [Weekday::Saturday, Weekday::Sunday];
        let ends = ends.map(|day| in_week(today, week, day));
        return Some(ends.into_iter().flatten().collect());
    }
    match *tokens {
        [which @ (This | Last | Next | Coming), Of(TimeUnit::Week)] => {
            let week = std::iter::successors(Some(Weekday::Monday), |day| Some(day.next()));
            let week = week.take(7).map(|day| in_week(today, weeks(which), day));
            Some(week.flatten().collect())
        }
        [
            This | Last | Next | Coming,
            Of(TimeUnit::Month | TimeUnit::Year | TimeUnit::Fortnight),
        ]
        | [DayToken::Month(_)]
        | [This | Last | Next, DayToken::Month(_)] => Some(Vec::new()),
        _ => None,
    }
}
