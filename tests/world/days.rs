//! Days that parents type, against what is meant by them: `tests/data/days.tsv` names its sources.

use jiff::civil::{Date, date};
use trayful::day::{DayReader, DayStyle, DayUse, Refusal};

const CASES: &str = include_str!("../data/days.tsv");
/// The Friday on which the cases are typed.
const TODAY: Date = date(2026, 11, 27);
/// The birth of the child whom they are about.
const BORN: Date = date(2026, 3, 2);

fn reader(purpose: &str) -> DayReader {
    let purpose = match purpose {
        "record" => DayUse::Record,
        "plan" => DayUse::Plan,
        "birth" => return DayReader::new(TODAY, DayUse::Birth),
        "from" => DayUse::Past,
        _ => DayUse::Ahead,
    };
    DayReader::of_child(TODAY, purpose, BORN)
}

/// Whether a refusal holds one of the words of each group of a hint.
fn holds(refusal: &Refusal, hint: &str) -> bool {
    let problem = refusal.problem(DayStyle::Iso);
    let words = format!("{problem}").to_lowercase();
    let groups = hint.split(';').filter(|group| !group.is_empty());
    let mut groups = groups.map(str::to_lowercase);
    groups.all(|group| group.split(',').any(|word| words.contains(word)))
}

fn is_right(answer: &Result<Date, Refusal>, (expected, hint, tag): (&str, &str, &str)) -> bool {
    let mut expected = expected.split('|');
    match answer {
        Ok(day) => expected.any(|one| one == day.to_string()),
        Err(refusal) => {
            let day = expected.clone().find_map(|one| one.parse::<Date>().ok());
            let offered = tag != "misspelling" || refusal.candidates().contains(&day.unwrap());
            expected.any(|one| one == "REFUSE") && holds(refusal, hint) && offered
        }
    }
}

#[test]
fn days_are_read_as_they_are_meant_and_refused_where_they_are_not_one_day() {
    let rows = CASES.lines().filter(|line| !line.starts_with('#')).skip(1);
    let mut wrong = Vec::new();
    let mut count = 0;
    for row in rows {
        let cells: Vec<_> = row.split('\t').collect();
        let [purpose, typed, expected, hint, tag, _] = cells.as_slice() else {
            panic!("{row} has not six cells");
        };
        count += 1;
        let answer = reader(purpose).read(typed);
        if !is_right(&answer, (expected, hint, tag)) {
            let said = answer.map_err(|refusal| refusal.problem(DayStyle::Iso).to_string());
            wrong.push(format!(
                "{purpose} {typed}: {expected} {hint}, but {said:?}"
            ));
        }
    }
    println!("days: {} of {count} right", count - wrong.len());
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Whatever the day of today, an ISO day is itself, and every day that is read back from words is read the same.
#[test]
fn the_same_words_mean_the_same_day_all_year_round() {
    for today in date(2023, 12, 25)
        .series(jiff::Span::new().days(1))
        .take(800)
    {
        let reader = DayReader::new(today, DayUse::Past);
        let read = |text: &str| reader.read(text).unwrap();
        let ago = |days: i64| today.saturating_sub(jiff::Span::new().days(days));
        for days in [0, 1, 6, 29, 31, 364] {
            let day = ago(days);
            let dotted = day.strftime("%-d.%-m.%Y").to_string();
            let written = day.strftime("%A, %B %-d, %Y").to_string();
            for text in [day.to_string(), dotted, written, format!("{days} days ago")] {
                assert_eq!(read(&text), day, "{text}, said on {today}");
            }
        }
        for days in 1..=6 {
            let weekday = ago(days).strftime("%a").to_string();
            assert_eq!(read(&weekday), ago(days), "{weekday}, said on {today}");
            let ahead = DayReader::new(today, DayUse::Plan);
            assert_eq!(ahead.read(&weekday).unwrap(), ago(days - 7), "{weekday}");
        }
        assert_eq!(read(&today.strftime("%-d %b").to_string()), today);
        assert_eq!(read(&today.strftime("the %-d").to_string()), today);
    }
}

#[test]
fn nothing_that_is_typed_upsets_the_reader() {
    let long = "a".repeat(10_000);
    for text in [
        "",
        " ",
        "-",
        "--",
        "0",
        "99999999999",
        "the",
        "the the",
        "0/0/0",
        "1-2-3-4",
        "٣",
        "💙",
        "1e9 days ago",
        "999999 years ago",
        "in 4000000000 days",
        "last last last",
        "before before",
        "or",
        "friday or",
        "'",
        "-9999-01-01",
        "0000-00-00",
        "2026-11-27T",
        "27.11.2026 25:99:99",
        &long,
    ] {
        for purpose in ["record", "plan", "birth", "from", "ahead"] {
            if let Err(refusal) = reader(purpose).read(text) {
                assert!(refusal.problem(DayStyle::Iso).hint.is_some(), "{text}");
            }
        }
    }
}
