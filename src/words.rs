//! The parts of sentences: counts, lists, days, quotations, and how a word or a name begins. A
//! sentence is worded once and is the same in the terminal and on a page.

use std::fmt::Display;
use std::path::Path;

use jiff::civil::Date;

/// A day that cannot be misread: `19 Nov 2026`.
pub fn day(day: Date) -> String {
    day.strftime("%-d %b %Y").to_string()
}

/// A day with its weekday, as it is read back: `Thursday 26 November 2026`.
pub fn long_day(day: Date) -> String {
    day.strftime("%A %-d %B %Y").to_string()
}

/// From a day to another: `19 Nov 2026 to 25 Nov 2026`; one day alone is that day.
pub fn days(from: Date, to: Date) -> String {
    if from == to {
        return day(from);
    }
    format!("{} to {}", day(from), day(to))
}

/// A day that is stored as text; any other text stays as it is.
pub fn stored_day(text: &str) -> String {
    text.parse().map_or_else(|_| text.to_string(), day)
}

/// A quotation: what somebody wrote, or what is to be written word for word.
pub fn quoted(text: impl Display) -> String {
    format!("\u{201c}{text}\u{201d}")
}

/// The name of a file without its folder, which is private to this device.
pub fn file(path: &Path) -> String {
    quoted(path.file_name().unwrap_or(path.as_os_str()).display())
}

/// `1 cube`, `2 cubes`, `3 batches`, `4 entries`.
pub fn counted<N: Copy + Display + PartialEq + From<u8>>(count: N, word: &str) -> String {
    let is_one = count == N::from(1);
    match word.strip_suffix('y') {
        _ if is_one => format!("{count} {word}"),
        Some(stem) if !stem.ends_with(['a', 'e', 'o', 'u']) => format!("{count} {stem}ies"),
        _ if word.ends_with("ch") || word.ends_with("sh") => format!("{count} {word}es"),
        _ => format!("{count} {word}s"),
    }
}

/// The number of estimated figures: `nothing is estimated`, `2 estimates`.
pub fn estimates(count: usize) -> String {
    match count {
        0 => "nothing is estimated".into(),
        some => counted(some, "estimate"),
    }
}

/// A count with a comma between thousands.
pub fn thousands(count: u64) -> String {
    let digits = count.to_string();
    let groups: Vec<&[u8]> = digits.as_bytes().rchunks(3).rev().collect();
    let groups = groups.iter().map(|group| String::from_utf8_lossy(group));
    joined(groups, ",")
}

/// Items joined with a text between each two.
pub fn joined(items: impl IntoIterator<Item: AsRef<str>>, between: &str) -> String {
    let mut row = String::new();
    for item in items {
        if !row.is_empty() {
            row += between;
        }
        row += item.as_ref();
    }
    row
}

/// Everything as a sentence names it: `a`, `a and b`, `a, b and c`.
pub fn together(items: impl IntoIterator<Item: AsRef<str>>) -> String {
    let items: Vec<String> = items
        .into_iter()
        .map(|item| item.as_ref().to_owned())
        .collect();
    match items.split_last() {
        Some((last, before)) if !before.is_empty() => {
            format!("{} and {last}", joined(before, ", "))
        }
        _ => items.concat(),
    }
}

/// Values under their keys, each key once, in the order in which they come.
pub fn grouped<K: PartialEq, V>(items: impl IntoIterator<Item = (K, V)>) -> Vec<(K, Vec<V>)> {
    let mut groups: Vec<(K, Vec<V>)> = Vec::new();
    for (key, value) in items {
        match groups.iter_mut().find(|(known, _)| *known == key) {
            Some((_, values)) => values.push(value),
            None => groups.push((key, vec![value])),
        }
    }
    groups
}

/// The words with a full stop, unless they end a sentence already.
pub fn sentence(words: &str) -> String {
    let ends = words.ends_with(['.', '?', '!', '…']);
    format!("{words}{}", if ends { "" } else { "." })
}

/// The words with a capital, as a sentence begins.
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(letters).collect()
}

/// A title as it is inside a sentence; one that begins with two capitals is not a plain word and
/// stays.
pub fn lower(title: &str) -> String {
    let mut letters = title.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(first), second) if second.is_none_or(|second| !second.is_uppercase()) => {
            first.to_lowercase().chain(letters).collect()
        }
        _ => title.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_is_no_plural() {
        let counts = [
            counted(1_u32, "cube"),
            counted(0_usize, "cube"),
            counted(2_u64, "batch"),
            counted(1_usize, "dish"),
            counted(3_usize, "entry"),
            counted(3_usize, "day"),
        ];
        let expected = [
            "1 cube",
            "0 cubes",
            "2 batches",
            "1 dish",
            "3 entries",
            "3 days",
        ];
        assert_eq!(counts, expected);
    }

    #[test]
    fn days_cannot_be_misread() {
        assert_eq!(day(jiff::civil::date(2026, 4, 12)), "12 Apr 2026");
        assert_eq!(day(jiff::civil::date(2026, 12, 4)), "4 Dec 2026");
        let stored = ["2026-11-02", "2026-13-01", "from 2026-11-02"].map(stored_day);
        assert_eq!(stored, ["2 Nov 2026", "2026-13-01", "from 2026-11-02"]);
    }

    #[test]
    fn quotations_keep_what_was_typed_and_files_have_their_name_alone() {
        assert_eq!(quoted("1/2 `cup` of --a"), "“1/2 `cup` of --a”");
        assert_eq!(file(Path::new("/home/wren/a b/torn.toml")), "“torn.toml”");
        assert_eq!(file(Path::new("torn.toml")), "“torn.toml”");
        assert_eq!(file(Path::new("/")), "“/”");
    }

    #[test]
    fn names_begin_as_their_place_wants() {
        assert_eq!(
            (capital("éclair"), capital("")),
            ("Éclair".into(), String::new())
        );
        assert_eq!(
            (lower("Butternut"), lower("BBQ"), lower("É")),
            ("butternut".into(), "BBQ".into(), "é".into())
        );
        assert_eq!(joined(["a", "b"], "; "), "a; b");
        assert_eq!(
            grouped([("x", 1), ("y", 2), ("x", 3)]),
            [("x", vec![1, 3]), ("y", vec![2])]
        );
    }
}
