//! The command as it was called with one word corrected, to be pasted into a shell.

use trayful::notebook::{Child, Settings};

/// The command with `instead` in place of `written`; `None` where `written` does not occur in it exactly once.
pub(super) fn corrected_command(written: &str, instead: &str) -> Option<String> {
    let words = std::env::args_os().skip(1);
    let words: Vec<_> = words
        .map(|word| word.to_string_lossy().into_owned())
        .collect();
    command(&words, written, instead)
}

fn command(words: &[String], written: &str, instead: &str) -> Option<String> {
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
    let words: Vec<_> = words.iter().map(|word| quoted(word)).collect();
    Some(format!("trayful {}", words.join(" ")))
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
        command(&words, written, "squash")
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
