//! Sentences that are shared with the command line, as a parent reads them.
//!
//! At a terminal days are typed as they are shown, `2026-11-19`, and what to do next may be another command. On a page a
//! day is `19 Nov 2026`, the commands are left out, since its rooms are in sight, and a file has its name and no path.

use std::borrow::Cow;
use std::path::Path;

use jiff::civil::Date;

use super::rooms::day;

/// Letters of a day as it is typed.
const TYPED: usize = 10;

/// Shared words for the page: days as one says them, and no clause that names a command or an option of one. Words that are nothing
/// else are kept: a parent may have typed them.
pub(super) fn plain(words: &str) -> String {
    match hint(words) {
        nothing if nothing.is_empty() => worded(words),
        kept => kept,
    }
}

/// What to do next, in the same words; nothing where that is done at a terminal.
pub(super) fn hint(words: &str) -> String {
    let clauses = words.split("; ").filter(|one| !is_for_the_terminal(one));
    let mut kept = clauses.collect::<Vec<_>>().join("; ");
    if words.ends_with('.') && !kept.is_empty() && !kept.ends_with('.') {
        kept.push('.');
    }
    worded(&kept)
}

/// All the words, as they are written on a page.
pub(super) fn worded(words: &str) -> String {
    days(&named(words)).into_owned()
}

/// What stands in backticks, in quotation marks; a path of this computer as the name of its file.
fn named(words: &str) -> String {
    if words.matches('`').count() % 2 == 1 {
        return words.into();
    }
    let parts = words.split('`').enumerate();
    let parts = parts.map(|(at, part)| match Path::new(part).file_name() {
        _ if at % 2 == 0 => part.into(),
        Some(name) if Path::new(part).is_absolute() => {
            format!("\u{201c}{}\u{201d}", name.to_string_lossy())
        }
        _ => format!("\u{201c}{part}\u{201d}"),
    });
    parts.collect()
}

/// Whether a clause names a command, or an option of one.
fn is_for_the_terminal(clause: &str) -> bool {
    let option = |rest: &str| rest.starts_with(|letter: char| letter.is_ascii_lowercase());
    clause.contains("trayful ") || clause.split("--").skip(1).any(option)
}

/// Every day in the words, as one says it.
fn days(words: &str) -> Cow<'_, str> {
    let typed = |at: usize| -> Option<Date> {
        let part = words.get(at..at + TYPED)?;
        let alone = |letter: Option<&u8>| !letter.is_some_and(u8::is_ascii_alphanumeric);
        let bytes = words.as_bytes();
        let alone =
            alone(at.checked_sub(1).and_then(|at| bytes.get(at))) && alone(bytes.get(at + TYPED));
        part.parse().ok().filter(|_| alone)
    };
    let Some((at, on)) = (0..words.len()).find_map(|at| Some((at, typed(at)?))) else {
        return words.into();
    };
    let rest = days(&words[at + TYPED..]);
    format!("{}{}{rest}", &words[..at], day(on)).into()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_said_as_one_says_them() {
        assert_eq!(
            plain("from 2026-11-02 to 2026-12-01, not 2026-13-01 or x2026-11-02"),
            "from 2 Nov 2026 to 1 Dec 2026, not 2026-13-01 or x2026-11-02"
        );
        assert_eq!(plain("né le 2026-11-02"), "né le 2 Nov 2026");
    }

    #[test]
    #[cfg(unix)]
    fn a_file_has_its_name_alone() {
        assert_eq!(
            plain("`/home/wren/a b/torn.toml` is not text"),
            "\u{201c}torn.toml\u{201d} is not text"
        );
        assert_eq!(
            plain("`1/2 cup` is no `/`"),
            "\u{201c}1/2 cup\u{201d} is no \u{201c}/\u{201d}"
        );
        assert_eq!(plain("a ` alone"), "a ` alone");
    }

    #[test]
    fn what_is_done_at_a_terminal_is_left_out() {
        assert_eq!(
            plain("write a number; see `trayful freezer`"),
            "write a number"
        );
        assert_eq!(
            plain("Cost: not known; say it with `trayful buy`."),
            "Cost: not known."
        );
        assert_eq!(hint("name it with --own"), "");
        assert_eq!(plain("0.5 -- 1; 2 - 3"), "0.5 -- 1; 2 - 3");
    }

    #[test]
    fn what_is_nothing_else_is_kept() {
        let typed = "`--a` is no number";
        assert_eq!(plain(typed), "\u{201c}--a\u{201d} is no number");
    }
}
