//! A severe reaction in a command that failed: whatever is wrong with the command, the call for help comes first.

use trayful::safety::emergency;

/// The commands whose own words may tell of a reaction.
const IN_WORDS: [&str; 4] = ["reaction", "note", "question", "answer"];

/// The call for help, where a command tells of a severe reaction.
pub(super) fn emergency_in(typed: &[String]) -> Option<String> {
    let tells = |word: &String| IN_WORDS.contains(&word.as_str());
    if let Some(at) = typed.iter().position(tells) {
        let typed = typed.get(at + 1..)?;
        let is_option = |word: &&String| word.starts_with("--");
        let before: Vec<&str> = typed
            .iter()
            .take_while(|word| !is_option(word))
            .map(String::as_str)
            .collect();
        // Where options come first, their values count as words: a word too many is better than a
        // missing call for help.
        let words = || {
            typed
                .iter()
                .filter(|word| !is_option(word))
                .map(String::as_str)
                .collect::<Vec<_>>()
        };
        let call = emergency(&before.join(" ")).or_else(|| emergency(&words().join(" ")));
        if call.is_some() {
            return call;
        }
    }
    let behind = |option: &str, at: usize, word: &String| {
        let joined = word
            .strip_prefix(option)
            .and_then(|rest| rest.strip_prefix('='));
        let next = || typed.get(at + 1).filter(|_| word == option);
        joined
            .or_else(|| next().map(String::as_str))
            .and_then(emergency)
    };
    let mut words = typed.iter().enumerate();
    words.find_map(|(at, word)| {
        ["--reaction", "--words"]
            .into_iter()
            .find_map(|option| behind(option, at, word))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn is_called(typed: &[&str]) -> bool {
        let typed: Vec<String> = typed.iter().map(ToString::to_string).collect();
        emergency_in(&typed).is_some()
    }

    #[test]
    fn a_severe_reaction_is_found_wherever_it_was_typed() {
        assert!(is_called(&[
            "reaction", "could", "not", "breathe,", "lips", "swollen"
        ]));
        assert!(is_called(&[
            "serve",
            "50 g pear",
            "--reaction",
            "lips swollen"
        ]));
        assert!(is_called(&["known", "pear", "--reaction=lips swollen"]));
        assert!(is_called(&["change", "4", "--words", "lips swollen"]));
        assert!(is_called(&[
            "reaction",
            "--on",
            "yesterday",
            "lips swollen"
        ]));
        assert!(is_called(&["note", "lips swollen", "--topik", "other"]));
        assert!(is_called(&["answer", "99", "lips swollen"]));
        assert!(!is_called(&["reaction", "a red cheek"]));
        assert!(!is_called(&["serve", "20 g blue cheese", "--on", "5"]));
        assert!(!is_called(&["serve", "50 g pear", "--reaction"]));
    }
}
