//! The calendar of a plan against RFC 5545, by a reader of its own.

use std::collections::BTreeSet;

use super::household::Household;
use super::plan::with_a_plan;

/// A content line: name, parameters, value as it is written.
type Line = (String, Vec<String>, String);

fn calendar(home: &Household, more: &[&str]) -> String {
    let plan = ["plan", "calendar", "-", "--on", "2026-10-05"];
    home.answer(&[&plan[..], more].concat())
}

/// Content lines (RFC 5545, 3.1): ended by CRLF, at most 75 octets, unfolded by dropping CRLF and
/// the white space after it.
fn lines(text: &str) -> Vec<Line> {
    assert!(text.ends_with("\r\n"));
    assert_eq!(text.matches('\n').count(), text.matches("\r\n").count());
    assert_eq!(text.matches('\r').count(), text.matches("\r\n").count());
    for line in text.split("\r\n") {
        assert!(line.len() <= 75, "{} octets: {line}", line.len());
    }
    let unfolded = text.replace("\r\n ", "");
    unfolded
        .trim_end_matches("\r\n")
        .split("\r\n")
        .map(line)
        .collect()
}

/// `name *(";" param) ":" value`, the name of letters, digits and hyphens.
fn line(text: &str) -> Line {
    let (head, value) = text.split_once(':').unwrap();
    let mut head = head.split(';');
    let name = head.next().unwrap().to_string();
    assert!(!name.is_empty() && name.chars().all(|c| c.is_ascii_alphanumeric() || c == '-'));
    assert!(
        !value.chars().any(|c| c.is_control() && c != '\t'),
        "{value:?}"
    );
    (name, head.map(String::from).collect(), value.to_string())
}

/// A TEXT value (3.3.11): a backslash escapes a backslash, a semicolon, a comma, or a line break,
/// and nothing else is bare.
fn text(value: &str) -> String {
    let mut said = String::new();
    let mut letters = value.chars();
    while let Some(letter) = letters.next() {
        assert!(![';', ','].contains(&letter), "a bare {letter} in {value}");
        said.push(match letter {
            '\\' => {
                let escaped = letters.next().unwrap();
                assert!("\\;,nN".contains(escaped), "a backslash before {escaped}");
                if "nN".contains(escaped) {
                    '\n'
                } else {
                    escaped
                }
            }
            other => other,
        });
    }
    said
}

/// The components (3.6): a calendar with PRODID and VERSION once, and at least one event, each with UID, DTSTAMP and
/// DTSTART once; its end, a DATE as its start, is later. Gives day, summary and description of each.
fn events(text_of_file: &str) -> Vec<(String, String, String)> {
    let lines = lines(text_of_file);
    let is = |line: &Line, name: &str, value: &str| line.0 == name && line.2 == value;
    assert!(is(&lines[0], "BEGIN", "VCALENDAR"));
    assert!(is(lines.last().unwrap(), "END", "VCALENDAR"));
    let body = &lines[1..lines.len() - 1];
    let first = body.iter().position(|one| one.0 == "BEGIN").unwrap();
    let head: Vec<&str> = body[..first].iter().map(|one| one.0.as_str()).collect();
    assert_eq!(head, ["VERSION", "PRODID", "CALSCALE"]);
    assert!(is(&body[0], "VERSION", "2.0"));
    let mut uids = BTreeSet::new();
    let mut found = Vec::new();
    for event in body[first..].split_inclusive(|one| one.0 == "END") {
        assert!(is(&event[0], "BEGIN", "VEVENT") && is(event.last().unwrap(), "END", "VEVENT"));
        let once = |name: &str| {
            let of_it: Vec<_> = event.iter().filter(|one| one.0 == name).collect();
            assert_eq!(of_it.len(), 1, "{name}");
            of_it[0]
        };
        assert!(uids.insert(text(&once("UID").2)), "a UID twice");
        assert_eq!(once("DTSTAMP").2, "20261005T000000Z");
        let (start, end) = (once("DTSTART"), once("DTEND"));
        for date in [start, end] {
            assert_eq!(date.1, ["VALUE=DATE"]);
            assert!(date.2.len() == 8 && date.2.chars().all(|c| c.is_ascii_digit()));
        }
        assert!(start.2 < end.2);
        let described = event.iter().find(|one| one.0 == "DESCRIPTION");
        let described = described.map_or(String::new(), |one| text(&one.2));
        found.push((start.2.clone(), text(&once("SUMMARY").2), described));
    }
    assert!(!found.is_empty());
    found
}

#[test]
fn a_calendar_says_on_the_evening_before_what_to_thaw() {
    let told = events(&calendar(&with_a_plan(), &[]));
    let shown: Vec<String> = told
        .iter()
        .map(|(day, summary, description)| format!("{day} {summary}\n{description}"))
        .collect();
    insta::assert_snapshot!(shown.join("\n\n"));
}

#[test]
fn names_in_any_script_are_escaped_and_folded_whole() {
    let home = with_a_plan();
    let title =
        "Kürbis, rot; \\süß\\ \u{1f383}\u{1f383}\u{1f383} – и ещё, 南瓜泥南瓜泥南瓜泥南瓜泥南瓜泥";
    let escaped = title.replace('\\', "\\\\");
    let recipe = super::household::SQUASH.replace("\"Squash\"", &format!("\"{escaped}\""));
    home.write("recipes/pumpkin.toml", &recipe);
    home.answer(&["freeze", "pumpkin", "--on", "2026-10-05"]);
    home.answer(&[
        "plan",
        "set",
        "2026-10-06",
        "supper",
        "2 pumpkin",
        "--on",
        "2026-10-05",
    ]);
    let told = events(&calendar(&home, &["--to", "2026-10-06"]));
    assert!(
        told.iter()
            .any(|(_, summary, _)| summary.to_lowercase().contains(&title.to_lowercase()))
    );
}

#[test]
fn the_same_plan_gives_the_same_file_and_the_same_uids_later() {
    let home = with_a_plan();
    let before = calendar(&home, &[]);
    assert_eq!(before, calendar(&home, &[]));
    let uids = |text: &str| -> BTreeSet<String> {
        let lines = lines(text).into_iter();
        lines
            .filter(|line| line.0 == "UID")
            .map(|line| line.2)
            .collect()
    };
    home.answer(&[
        "plan",
        "set",
        "2026-10-06",
        "lunch",
        "1 squash",
        "--on",
        "2026-10-05",
    ]);
    let after = calendar(&home, &[]);
    assert_ne!(before, after);
    assert_eq!(uids(&before), uids(&after));
}

#[test]
fn a_calendar_is_written_whole_or_not_at_all() {
    let home = with_a_plan();
    insta::assert_snapshot!(home.told(&[
        &["plan", "calendar", "week.ics", "--on", "2026-10-05"],
        &["plan", "calendar", "none.ics", "--on", "2026-12-05"],
        &["plan", "calendar", "nowhere/week.ics", "--on", "2026-10-05"],
    ]));
    let written = std::fs::read_to_string(home.path().join("week.ics")).unwrap();
    assert_eq!(written, calendar(&home, &[]));
    assert!(!home.path().join("none.ics").exists());
}
