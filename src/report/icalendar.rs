//! iCalendar files (RFC 5545), as far as all-day events need it.

use std::fmt::Write as _;

use jiff::civil::Date;

/// Octets of a content line before it is folded, its line break not counted (RFC 5545, 3.1).
const LONGEST_LINE: usize = 75;

/// An event that takes a whole day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DayEvent {
    /// The identifier: constant for an event however often it is written, and unique to it (RFC 5545, 3.8.4.7).
    pub uid: String,
    /// The day.
    pub day: Date,
    /// The event in one line.
    pub summary: String,
    /// The event at length; may be empty.
    pub description: String,
}

/// Events as a file. It needs at least one (RFC 5545, 3.6); `stamp` is the day on which the file is written.
pub fn calendar(events: &[DayEvent], stamp: Date) -> String {
    let mut text = String::new();
    let mut line = |name: &str, value: &str| text.push_str(&folded(&format!("{name}:{value}")));
    line("BEGIN", "VCALENDAR");
    line("VERSION", "2.0");
    line("PRODID", "-//Trayful//Plan//EN");
    line("CALSCALE", "GREGORIAN");
    for event in events {
        let end = event.day.tomorrow().unwrap_or(event.day);
        line("BEGIN", "VEVENT");
        line("UID", &escaped(&event.uid));
        line("DTSTAMP", &format!("{}T000000Z", basic(stamp)));
        line("DTSTART;VALUE=DATE", &basic(event.day));
        line("DTEND;VALUE=DATE", &basic(end));
        line("SUMMARY", &escaped(&event.summary));
        if !event.description.is_empty() {
            line("DESCRIPTION", &escaped(&event.description));
        }
        line("TRANSP", "TRANSPARENT");
        line("END", "VEVENT");
    }
    line("END", "VCALENDAR");
    text
}

/// A day as RFC 5545 writes it: `20261125`.
fn basic(day: Date) -> String {
    format!("{:04}{:02}{:02}", day.year(), day.month(), day.day())
}

/// A TEXT value (RFC 5545, 3.3.11). Of the control characters only the tab and the line break may stand in it.
fn escaped(text: &str) -> String {
    let mut value = String::with_capacity(text.len());
    for character in text.replace("\r\n", "\n").chars() {
        match character {
            '\\' | ';' | ',' => {
                let _ = write!(value, "\\{character}");
            }
            '\n' => value.push_str("\\n"),
            control if control.is_control() && control != '\t' => {}
            other => value.push(other),
        }
    }
    value
}

/// A content line, folded without ever parting the octets of a character (RFC 5545, 3.1).
fn folded(line: &str) -> String {
    let mut text = String::with_capacity(line.len() + 2);
    let mut octets = 0;
    for character in line.chars() {
        if octets + character.len_utf8() > LONGEST_LINE {
            text.push_str("\r\n ");
            octets = 1;
        }
        text.push(character);
        octets += character.len_utf8();
    }
    text.push_str("\r\n");
    text
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn text_is_escaped_as_the_standard_says() {
        // RFC 5545, 3.3.11: the example of a multi-line TEXT value.
        let plain = "Project XYZ Final Review\nConference Room - 3B\nCome Prepared.";
        let value = "Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared.";
        assert_eq!(escaped(plain), value);
        assert_eq!(escaped("a;b,c\\d\u{7}\te"), "a\\;b\\,c\\\\d\te");
    }

    /// Joins folded lines, the first step of every reader of the format.
    fn unfolded(text: &str) -> String {
        text.replace("\r\n ", "").replace("\r\n\t", "")
    }

    proptest! {
        #[test]
        fn folding_can_be_taken_back(line in "[^\r\n]{0,300}") {
            let text = folded(&line);
            prop_assert!(text.ends_with("\r\n"));
            for part in text.trim_end_matches("\r\n").split("\r\n") {
                prop_assert!(part.len() <= LONGEST_LINE, "{}", part.len());
            }
            prop_assert_eq!(unfolded(&text), format!("{line}\r\n"));
        }
    }
}
