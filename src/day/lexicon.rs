//! The words of which days are made, and the correction of their misspellings.

use std::cmp::Reverse;

use jiff::civil::Weekday;

use crate::problem::edit_distance;

/// The most words near to a misspelt one that are tried (judgement).
const MOST_NEAR: usize = 4;

/// A word with a meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum DayToken {
    Number(u32),
    /// A day of the month: `17th`, `the 17`, `seventeenth`.
    Ordinal(u32),
    Weekday(Weekday),
    Month(i8),
    Unit(TimeUnit),
    /// A part of a day, such as the morning.
    Part,
    Today,
    Yesterday,
    Tomorrow,
    This,
    Last,
    Next,
    Coming,
    Before,
    After,
    Ago,
    In,
    From,
    Or,
    Weekend,
    /// About, as in "about a week ago".
    About,
    /// An uncertain time or number: a few, soon, recently.
    Vague,
}

/// A measure of time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum TimeUnit {
    Day,
    Week,
    Fortnight,
    Month,
    Year,
}

/// The words of each token, with blanks between; the first of each row is the word in full, to
/// which a misspelling is corrected.
const WORDS: &[(DayToken, &str)] = &[
    (DayToken::Today, "today now tonight tonite 2day"),
    (DayToken::Yesterday, "yesterday yest yday"),
    (DayToken::Tomorrow, "tomorrow tmrw tmr tmw"),
    (DayToken::Weekday(Weekday::Monday), "monday mon"),
    (DayToken::Weekday(Weekday::Tuesday), "tuesday tue tues"),
    (DayToken::Weekday(Weekday::Wednesday), "wednesday wed weds"),
    (
        DayToken::Weekday(Weekday::Thursday),
        "thursday thu thur thurs",
    ),
    (DayToken::Weekday(Weekday::Friday), "friday fri"),
    (DayToken::Weekday(Weekday::Saturday), "saturday sat"),
    (DayToken::Weekday(Weekday::Sunday), "sunday sun"),
    (DayToken::Month(1), "january jan"),
    (DayToken::Month(2), "february feb"),
    (DayToken::Month(3), "march mar"),
    (DayToken::Month(4), "april apr"),
    (DayToken::Month(5), "may"),
    (DayToken::Month(6), "june jun"),
    (DayToken::Month(7), "july jul"),
    (DayToken::Month(8), "august aug"),
    (DayToken::Month(9), "september sep sept"),
    (DayToken::Month(10), "october oct"),
    (DayToken::Month(11), "november nov"),
    (DayToken::Month(12), "december dec"),
    (DayToken::Unit(TimeUnit::Day), "days day d nights"),
    (DayToken::Unit(TimeUnit::Week), "weeks week w wk wks"),
    (DayToken::Unit(TimeUnit::Fortnight), "fortnight fortnights"),
    (DayToken::Unit(TimeUnit::Month), "months month m mth mths"),
    (DayToken::Unit(TimeUnit::Year), "years year y yr yrs"),
    (
        DayToken::Part,
        "morning afternoon evening night noon lunchtime teatime bedtime midday breakfast \
         lunch dinner supper am pm",
    ),
    (DayToken::This, "this"),
    (DayToken::Last, "last past previous"),
    (DayToken::Next, "next"),
    (DayToken::Coming, "coming upcoming"),
    (DayToken::Before, "before"),
    (DayToken::After, "after"),
    (DayToken::Ago, "ago back earlier"),
    (DayToken::In, "in within"),
    (DayToken::From, "from"),
    (DayToken::Or, "or and"),
    (DayToken::Weekend, "weekend weekends"),
    (
        DayToken::About,
        "about around roughly approximately maybe perhaps probably nearly almost ish",
    ),
    (
        DayToken::Vague,
        "recently lately soon few couple several some other while ages someday whenever mid \
         middle end start beginning between",
    ),
];

/// Words without a meaning of their own.
const FILLERS: [&str; 17] = [
    "on", "the", "of", "at", "time", "exactly", "just", "sometime", "since", "late", "early",
    "later", "over", "during", "for", "it", "gone",
];

/// The numbers in words, from one on.
const NUMBERS: &str = "\
    one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen \
    sixteen seventeen eighteen nineteen twenty";

/// The days of a month in words, from the first on; from the twentieth on in two words.
const ORDINALS: &str = "\
    first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth \
    thirteenth fourteenth fifteenth sixteenth seventeenth eighteenth nineteenth twentieth";

/// Days with a name, each with month and day. Days that countries keep on different dates are left
/// out.
const NAMED_DAYS: [(&str, i8, u32); 9] = [
    ("christmas", 12, 25),
    ("christmas day", 12, 25),
    ("christmas eve", 12, 24),
    ("boxing day", 12, 26),
    ("new years eve", 12, 31),
    ("new years day", 1, 1),
    ("new year", 1, 1),
    ("halloween", 10, 31),
    ("valentines day", 2, 14),
];

/// The month and the day of a text that is the name of a day.
pub(super) fn named_day(words: &[String]) -> Option<(i8, u32)> {
    let name = words.iter().filter(|word| !is_filler(word));
    let name = crate::words::joined(name, " ");
    let named = NAMED_DAYS.iter().find(|(known, ..)| *known == name);
    named.map(|(_, month, day)| (*month, *day))
}

/// The meaning of a word.
pub(super) fn token(word: &str) -> Option<DayToken> {
    if let Ok(number) = word.parse() {
        return Some(DayToken::Number(number));
    }
    let place = |list: &str| {
        let at = list.split(' ').position(|known| known == word)?;
        u32::try_from(at + 1).ok()
    };
    let row = WORDS.iter().find(|(_, words)| place(words).is_some());
    row.map(|(token, _)| *token)
        .or_else(|| place(NUMBERS).map(DayToken::Number))
        .or_else(|| place(ORDINALS).map(DayToken::Ordinal))
        .or_else(|| (word == "thirty").then_some(DayToken::Number(30)))
        .or_else(|| (word == "thirtieth").then_some(DayToken::Ordinal(30)))
}

/// Whether a word has no meaning of its own.
pub(super) fn is_filler(word: &str) -> bool {
    FILLERS.contains(&word)
}

/// The known words that are near to an unknown one, the nearest first, and of these the longest.
pub(super) fn corrected(word: &str) -> Vec<&'static str> {
    let lists = WORDS.iter().map(|(_, words)| *words);
    let lists = lists.chain([NUMBERS, ORDINALS]);
    let known = lists.flat_map(|words| words.split(' '));
    let known = known.filter(|known| known.len() > 2);
    let mut found: Vec<_> = known
        .map(|known| (edit_distance(word, known), Reverse(known.len()), known))
        .filter(|(slips, _, known)| *slips <= (word.len().max(known.len()) / 3).max(1))
        .collect();
    found.sort_unstable();
    found
        .into_iter()
        .map(|(.., known)| known)
        .take(MOST_NEAR)
        .collect()
}

/// The words and numbers of a text; `17oct`, `3d` and `17th` are split.
pub(super) fn words(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    let mut last = ' ';
    for letter in text.chars().filter(|c| !matches!(c, '\'' | '’')) {
        if letter.is_alphanumeric() {
            let turns = last.is_ascii_digit() != letter.is_ascii_digit();
            match words.last_mut() {
                Some(word) if last.is_alphanumeric() && !turns => word.push(letter),
                _ => words.push(letter.to_string()),
            }
        }
        last = letter;
    }
    words
}
