//! Days in words: which day a phrase means, seen from today.

use jiff::civil::{Date, Weekday};
use jiff::{Span, ToSpan as _};

use super::lexicon::{self, Token, Unit};
use super::refusal::Why;
use super::{DayReader, DayUse};

/// Nothing is counted further than this, in any unit.
const FURTHEST: u32 = 1000;
/// Of a misspelt text so many corrections are tried.
const MOST_CORRECTIONS: usize = 64;

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

/// The words that count; `None` where one is not known.
fn tokens(words: &[String]) -> Option<Vec<Token>> {
    let mut tokens = Vec::new();
    let mut article = false;
    for (at, word) in words.iter().enumerate() {
        let follows = words.get(at + 1).and_then(|next| lexicon::token(next));
        match (word.as_str(), lexicon::token(word)) {
            ("a" | "an", _) => {
                if matches!(follows, Some(Token::Unit(_))) {
                    tokens.push(Token::Number(1));
                }
            }
            ("st" | "nd" | "rd" | "th", _) => match tokens.pop() {
                Some(Token::Number(number) | Token::Ordinal(number)) => {
                    tokens.push(Token::Ordinal(number));
                }
                _ => return None,
            },
            (_, Some(Token::Ordinal(last))) if tens(tokens.last()) => {
                let Some(Token::Number(tens) | Token::Ordinal(tens)) = tokens.pop() else {
                    return None;
                };
                tokens.push(Token::Ordinal(tens + last));
            }
            (_, Some(Token::Number(number)))
                if article && !matches!(follows, Some(Token::Unit(_))) =>
            {
                tokens.push(Token::Ordinal(number));
            }
            (_, Some(token)) => tokens.push(token),
            (word, None) if lexicon::is_filler(word) => {}
            (_, None) => return None,
        }
        article = word == "the";
    }
    Some(tokens)
}

/// Whether `twenty` or `thirty` stands before `first`.
fn tens(before: Option<&Token>) -> bool {
    matches!(
        before,
        Some(Token::Number(20 | 30) | Token::Ordinal(20 | 30))
    )
}

/// A text with words that are not known, corrected if that makes it a day.
fn misspelt(reader: &DayReader, words: &[String]) -> Result<Date, Why> {
    let mut other = Why::Unknown;
    for meant in corrections(words) {
        match reader.read(&meant).map_err(|refusal| refusal.why) {
            Ok(day) => return Err(Why::Misspelt { meant, day }),
            Err(Why::Unknown | Why::Misspelt { .. }) => {}
            Err(why) if other == Why::Unknown => other = why,
            Err(_) => {}
        }
    }
    Err(other)
}

/// The texts that could be meant by one with words that are not known, the likeliest first.
fn corrections(words: &[String]) -> Vec<String> {
    let ending = |word: &str| matches!(word, "st" | "nd" | "rd" | "th");
    let known = |word: &str| {
        lexicon::token(word).is_some()
            || lexicon::is_filler(word)
            || ending(word)
            || matches!(word, "a" | "an")
    };
    let mut texts = vec![String::new()];
    for word in words {
        let instead = if known(word) {
            vec![word.as_str()]
        } else {
            lexicon::corrected(word)
        };
        let added = texts.iter().flat_map(|text| {
            instead.iter().map(move |word| match text.as_str() {
                "" => (*word).to_string(),
                text if ending(word) => format!("{text}{word}"),
                text => format!("{text} {word}"),
            })
        });
        texts = added.take(MOST_CORRECTIONS).collect();
    }
    texts
}

/// The day of some words; `None` where they make no phrase.
fn day(reader: &DayReader, tokens: &[Token]) -> Option<Result<Date, Why>> {
    if let Some(vague) = vague(reader, tokens) {
        return Some(Err(Why::Vague(vague)));
    }
    // A part of the day leaves the day as it is: friday evening, on the evening of 17 Oct.
    let without_part: Vec<Token> = match tokens {
        [Token::This, Token::Part] => return Some(Ok(reader.today)),
        [Token::Last, Token::Part] => return Some(add(reader.today, -1, Unit::Day)),
        [
            Token::Part | Token::Unit(Unit::Day),
            Token::Before,
            Token::Last,
        ] => {
            return Some(add(reader.today, -2, Unit::Day));
        }
        [Token::Part, Token::Before, rest @ ..] => [Token::Unit(Unit::Day), Token::Before]
            .iter()
            .chain(rest)
            .copied()
            .collect(),
        [Token::Part, Token::After, rest @ ..] => [Token::Unit(Unit::Day), Token::After]
            .iter()
            .chain(rest)
            .copied()
            .collect(),
        tokens => tokens
            .iter()
            .copied()
            .filter(|token| *token != Token::Part)
            .collect(),
    };
    let tokens = without_part.as_slice();
    relative(reader, tokens)
        .or_else(|| weekday(reader, tokens))
        .or_else(|| written(reader, tokens))
}

/// Days counted from another: 3 days ago, in 2 weeks, the day before yesterday, a week on monday.
fn relative(reader: &DayReader, tokens: &[Token]) -> Option<Result<Date, Why>> {
    let today = reader.today;
    let looking = |purpose| DayReader { purpose, ..*reader };
    let back = looking(DayUse::Past);
    let ahead = looking(DayUse::Ahead);
    let counted = |base: Option<Result<Date, Why>>, count: i64, unit| {
        base.map(|base| base.and_then(|base| add(base, count, unit)))
    };
    match *tokens {
        [Token::Today] | [Token::Ago, Token::Today] => Some(Ok(today)),
        [Token::Yesterday] => Some(add(today, -1, Unit::Day)),
        [Token::Tomorrow] => Some(add(today, 1, Unit::Day)),
        [Token::From, ref base @ ..] => day(reader, base),
        [Token::Unit(unit), Token::Before, ref base @ ..] => counted(day(&back, base), -1, unit),
        [Token::Unit(unit), Token::After, ref base @ ..] => counted(day(&ahead, base), 1, unit),
        [Token::Unit(unit), Token::Ago] => Some(add(today, -1, unit)),
        [Token::In, Token::Number(count), Token::Unit(unit)] => {
            Some(add(today, i64::from(count), unit))
        }
        [Token::Number(count), Token::Unit(unit), ref rest @ ..] => {
            let count = i64::from(count);
            match *rest {
                [] => Some(Err(Why::Ambiguous(
                    [add(today, -count, unit), add(today, count, unit)]
                        .into_iter()
                        .flatten()
                        .collect(),
                ))),
                [Token::Ago] => Some(add(today, -count, unit)),
                [Token::Ago | Token::Before, ref base @ ..] => {
                    counted(day(&back, base), -count, unit)
                }
                [Token::From | Token::After, ref base @ ..] => {
                    counted(day(&ahead, base), count, unit)
                }
                [Token::Last | Token::Yesterday, ..] => counted(day(&back, rest), -count, unit),
                ref base => counted(day(&ahead, base), count, unit),
            }
        }
        _ => None,
    }
}

/// Weekdays: friday, last friday, friday of next week, friday before last.
fn weekday(reader: &DayReader, tokens: &[Token]) -> Option<Result<Date, Why>> {
    use Token::{Before, Coming, Last, Next, This, Unit as Of};
    let today = reader.today;
    let last = |day| agreed(before(today, day), in_week(today, -1, day));
    let next = |day| agreed(after(today, day), in_week(today, 1, day));
    match *tokens {
        [Token::Weekday(day)] if day == today.weekday() => Some(Ok(today)),
        [Token::Weekday(day)] if reader.purpose.looks_back() => Some(before(today, day)),
        [Token::Weekday(day)] => Some(after(today, day)),
        [This, Token::Weekday(day)] => Some(if reader.purpose.looks_back() {
            in_week(today, 0, day)
        } else if day == today.weekday() {
            Ok(today)
        } else {
            after(today, day)
        }),
        [Last, Token::Weekday(day)] | [Token::Weekday(day), Last] => Some(last(day)),
        [Next, Token::Weekday(day)] | [Token::Weekday(day), Next] => Some(next(day)),
        [This, Last, Token::Weekday(day)] => Some(before(today, day)),
        [Coming, Token::Weekday(day)] | [This, Coming, Token::Weekday(day)] => {
            Some(after(today, day))
        }
        [Token::Weekday(day), Before, Last] => Some(match last(day) {
            Ok(day) => add(day, -1, Unit::Week),
            Err(Why::Ambiguous(days)) => {
                let earlier = days.into_iter().map(|day| add(day, -1, Unit::Week));
                Err(Why::Ambiguous(earlier.flatten().collect()))
            }
            Err(why) => Err(why),
        }),
        [Token::Weekday(day), Of(Unit::Week)] => Some(if day == today.weekday() {
            add(today, 1, Unit::Week)
        } else {
            after(today, day).and_then(|day| add(day, 1, Unit::Week))
        }),
        [
            Token::Weekday(day),
            which @ (This | Last | Next),
            Of(Unit::Week),
        ]
        | [
            which @ (This | Last | Next),
            Of(Unit::Week),
            Token::Weekday(day),
        ] => Some(in_week(today, weeks(which), day)),
        _ => None,
    }
}

/// Dates: 17 Oct, October 17th 2026, the 17th, saturday the 21st, the 17th of last month.
fn written(reader: &DayReader, tokens: &[Token]) -> Option<Result<Date, Why>> {
    use Token::{Last, Next, Number, Ordinal, This, Unit as Of};
    if let [
        Ordinal(day) | Number(day),
        which @ (This | Last | Next),
        Of(Unit::Month),
    ] = *tokens
    {
        let month = add(reader.today.first_of_month(), weeks(which), Unit::Month);
        return Some(month.and_then(|month| of_month(month, day)));
    }
    let mut weekday = None;
    let mut rest = Vec::new();
    for token in tokens {
        match token {
            Token::Weekday(day) if weekday.is_none() => weekday = Some(*day),
            token => rest.push(*token),
        }
    }
    let found = match *rest.as_slice() {
        [Ordinal(day)] => day_of_month(reader, day),
        [Number(day)] if weekday.is_some() => day_of_month(reader, day),
        [Token::Month(_), Number(1000..)] => Err(Why::Vague(Vec::new())),
        [Ordinal(day) | Number(day), Token::Month(month)]
        | [Token::Month(month), Ordinal(day) | Number(day)] => yearless(reader, month, day),
        [
            Ordinal(day) | Number(day),
            Token::Month(month),
            Number(year),
        ]
        | [
            Token::Month(month),
            Ordinal(day) | Number(day),
            Number(year),
        ] if year < 100 || year >= 1000 => dated(year, month, day),
        [
            Number(year @ 1000..),
            Token::Month(month),
            Ordinal(day) | Number(day),
        ] => dated(year, month, day),
        _ => return None,
    };
    Some(found.and_then(|day| match weekday {
        Some(weekday) if weekday != day.weekday() => Err(other_weekday(day)),
        _ => Ok(day),
    }))
}

/// Days from which one would have to be chosen; `None` where the words could be one day.
fn vague(reader: &DayReader, tokens: &[Token]) -> Option<Vec<Date>> {
    use Token::{Coming, Last, Next, This, Unit as Of, Vague};
    let today = reader.today;
    let looks_back = reader.purpose.looks_back();
    let alone = |tokens: &[Token]| day(reader, tokens).and_then(Result::ok);
    if let Some(at) = tokens.iter().position(|token| *token == Token::Or) {
        let sides = [&tokens[..at], &tokens[at + 1..]];
        return Some(sides.into_iter().filter_map(alone).collect());
    }
    if tokens.contains(&Token::About) {
        let rest = tokens.iter().copied();
        let rest: Vec<_> = rest.filter(|token| *token != Token::About).collect();
        return Some(alone(&rest).into_iter().collect());
    }
    let days = |offsets: std::ops::RangeInclusive<i64>| {
        let days = offsets.map(|offset| add(today, offset, Unit::Day));
        days.flatten().collect::<Vec<_>>()
    };
    if tokens.contains(&Vague) {
        return Some(if looks_back {
            days(-4..=-1)
        } else {
            days(1..=4)
        });
    }
    if tokens.contains(&Token::Weekend) {
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
        [which @ (This | Last | Next | Coming), Of(Unit::Week)] => {
            let week = std::iter::successors(Some(Weekday::Monday), |day| Some(day.next()));
            let week = week.take(7).map(|day| in_week(today, weeks(which), day));
            Some(week.flatten().collect())
        }
        [
            This | Last | Next | Coming,
            Of(Unit::Month | Unit::Year | Unit::Fortnight),
        ]
        | [Token::Month(_)]
        | [This | Last | Next, Token::Month(_)] => Some(Vec::new()),
        _ => None,
    }
}

/// A date without its year: that of this year, or of the year in which this use would have it, if that is the nearer one.
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
        // 29 February of a year without it.
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

/// A day of the month alone: of this month, else of the nearest that has it on the side to which this use looks.
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
    let others = (1..=2).map(|months| add(today.first_of_month(), steps * months, Unit::Month));
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

/// That a day is not of the weekday that was said.
pub(super) fn other_weekday(day: Date) -> Why {
    Why::Impossible(format!(
        "{} {} is a {}",
        day.strftime("%-d %B %Y"),
        format_args!("({day})"),
        day.strftime("%A")
    ))
}

/// One day where two readings agree on it.
fn agreed(one: Result<Date, Why>, other: Result<Date, Why>) -> Result<Date, Why> {
    let (one, other) = (one?, other?);
    if one == other {
        return Ok(one);
    }
    Err(Why::Ambiguous(vec![one, other]))
}

/// The last such weekday before today.
fn before(today: Date, day: Weekday) -> Result<Date, Why> {
    let days = today.weekday().since(day);
    add(
        today,
        -i64::from(if days == 0 { 7 } else { days }),
        Unit::Day,
    )
}

/// The first such weekday after today.
fn after(today: Date, day: Weekday) -> Result<Date, Why> {
    let days = today.weekday().until(day);
    add(
        today,
        i64::from(if days == 0 { 7 } else { days }),
        Unit::Day,
    )
}

/// The weekday in a week from Monday to Sunday, so many weeks after that of today.
fn in_week(today: Date, weeks: i64, day: Weekday) -> Result<Date, Why> {
    let from_monday = i64::from(day.to_monday_zero_offset());
    let today_from_monday = i64::from(today.weekday().to_monday_zero_offset());
    add(
        today,
        7 * weeks + from_monday - today_from_monday,
        Unit::Day,
    )
}

/// How many weeks or months from now: last, this, next.
fn weeks(which: Token) -> i64 {
    match which {
        Token::Last => -1,
        Token::Next | Token::Coming => 1,
        _ => 0,
    }
}

/// A day so many units later.
fn add(day: Date, count: i64, unit: Unit) -> Result<Date, Why> {
    if count.unsigned_abs() > u64::from(FURTHEST) {
        return Err(Why::Unknown);
    }
    let span: Span = match unit {
        Unit::Day => count.days(),
        Unit::Week => count.weeks(),
        Unit::Fortnight => (2 * count).weeks(),
        Unit::Month => count.months(),
        Unit::Year => count.years(),
    };
    day.checked_add(span).map_err(|_| Why::Unknown)
}

/// The span of a length of time, such as `7d`, `two weeks` or `a month`, counted back or ahead.
pub(super) fn length(text: &str) -> Option<(u32, Unit)> {
    let tokens = tokens(&lexicon::words(text))?;
    match *tokens.as_slice() {
        [Token::Number(count @ 1..=FURTHEST), Token::Unit(unit)] => Some((count, unit)),
        [Token::Unit(unit)] => Some((1, unit)),
        _ => None,
    }
}

/// The day so many units before another.
pub(super) fn earlier(day: Date, count: u32, unit: Unit) -> Option<Date> {
    add(day, -i64::from(count), unit).ok()
}
