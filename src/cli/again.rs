//! The command as it was called with one word corrected, to be pasted into a shell.

use trayful::notebook::{Child, Settings};
use trayful::words::joined;

/// The command with `instead` in place of `written`; `None` where `written` does not occur in it exactly once. What speaks
/// against the other was not seen yet, so that nothing of it is overridden.
pub(super) fn corrected_command(written: &str, instead: &str) -> Option<String> {
    let mut words = command(&typed(), written, instead)?;
    words.retain(|word| word != "--anyway");
    Some(format!("trayful {}", pasted(&words)))
}

/// The words of the command as it was called.
pub(super) fn typed() -> Vec<String> {
    let words = std::env::args_os().skip(1);
    words
        .map(|word| word.to_string_lossy().into_owned())
        .collect()
}

/// The words as they are pasted into a shell, behind the name of the program.
pub(super) fn pasted(words: &[String]) -> String {
    let words: Vec<_> = words.iter().map(|word| quoted(word)).collect();
    words.join(" ")
}

/// The words with `instead` in place of `written`; `None` where it does not occur exactly once.
pub(super) fn command(words: &[String], written: &str, instead: &str) -> Option<Vec<String>> {
    let parts: Vec<&str> = written.split(' ').collect();
    let alone = words.windows(parts.len()).position(|some| some == parts);
    let words: Vec<String> = match alone {
        Some(at) => {
            let (before, after) = (&words[..at], &words[at + parts.len()..]);
            [before, &[instead.to_string()], after].concat()
        }
        None => {
            let all = words.iter().map(|word| word.matches(written).count());
            if written.is_empty() || all.sum::<usize>() != 1 {
                return None;
            }
            let words = words.iter();
            words.map(|word| word.replace(written, instead)).collect()
        }
    };
    Some(words)
}

/// The command with an option and its value added.
pub(super) fn command_with(option: &str, value: &str) -> String {
    let words = std::env::args_os().skip(1);
    let words = words.map(|word| quoted(&word.to_string_lossy()));
    let words: Vec<_> = words.collect();
    format!("trayful {} {option} {}", words.join(" "), quoted(value))
}

/// The option that names a child in a command, with a space before it; empty where the book has one child.
pub(super) fn child_option(settings: &Settings, child: &Child) -> String {
    match settings.only_child() {
        Some(_) => String::new(),
        None => format!(" --child {}", quoted(&child.name)),
    }
}

/// The command that takes entries back, in backticks: `trayful undo 12-14 17`.
pub(super) fn undo_command(entries: &[i64]) -> String {
    let mut numbers = entries.to_vec();
    numbers.sort_unstable();
    let runs = numbers.chunk_by(|number, next| number + 1 == *next);
    let runs = runs.filter_map(|run| match run {
        [number] => Some(number.to_string()),
        [first, .., last] => Some(format!("{first}-{last}")),
        [] => None,
    });
    format!("`trayful undo {}`", joined(runs, " "))
}

/// A word, quoted where a shell needs it.
pub(super) fn quoted(word: &str) -> String {
    if let Some((option, value)) = word
        .split_once('=')
        .filter(|(option, _)| option.starts_with("--"))
    {
        return format!("{option}={}", quoted(value));
    }
    let plain = |c: char| c.is_alphanumeric() || "-_./:=,+@%".contains(c);
    if !word.is_empty() && word.chars().all(plain) {
        word.to_string()
    } else if word.contains(['"', '$', '`', '\\', '!']) {
        format!("'{}'", word.replace('\'', r"'\''"))
    } else {
        format!("\"{word}\"")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn again(words: &[&str], written: &str) -> Option<String> {
        let words: Vec<_> = words.iter().map(ToString::to_string).collect();
        let words = command(&words, written, "squash")?;
        Some(format!("trayful {}", pasted(&words)))
    }

    #[test]
    fn entries_in_a_row_are_taken_back_as_one_run() {
        assert_eq!(undo_command(&[7]), "`trayful undo 7`");
        assert_eq!(undo_command(&[12, 10, 11, 17]), "`trayful undo 10-12 17`");
    }

    #[test]
    fn one_word_is_put_right_and_the_rest_can_be_pasted() {
        for (words, written, pasted) in [
            (&["batch", "sqash"][..], "sqash", "trayful batch squash"),
            (&["batch", "batc"], "batc", "trayful batch squash"),
            (
                &["serve", "2 sqash, 1 egg"],
                "sqash",
                "trayful serve \"2 squash, 1 egg\"",
            ),
            (
                &["serve", "2", "red", "sqash"],
                "red sqash",
                "trayful serve 2 squash",
            ),
            (
                &["discard", "1 sqash", "--why", "it's $5"],
                "sqash",
                "trayful discard \"1 squash\" --why 'it'\\''s $5'",
            ),
            (
                &["labels", "#7", "sqash"],
                "sqash",
                "trayful labels \"#7\" squash",
            ),
        ] {
            assert_eq!(again(words, written).as_deref(), Some(pasted));
        }
        assert_eq!(again(&["mix", "1 oat, 2 oat-x"], "oat"), None);
        assert_eq!(again(&["mix", "1 oat"], ""), None);
    }
}
