//! Words in the wrong place: a value of one option behind another, a price without its option; and values that no
//! example may replace.

use clap::Arg;
use trayful::cost::Money;
use trayful::quantity::read_mass;

use super::{TypedCommand, Way};
use crate::cli::shell;

impl TypedCommand<'_> {
    /// The commands to offer where an example would name another entry, or more or less than was eaten.
    ///
    /// `None` where an example does no harm.
    pub(super) fn unguessed(&self, arg: &Arg, value: &str) -> Option<Vec<Way>> {
        if let (Some((long, value)), Some(_)) = (self.taking(value), arg.get_long()) {
            let words = [self.without(arg), vec![long.clone(), value.clone()]].concat();
            return Some(vec![(
                self.completed(words),
                format!("with {long} {value}"),
            )]);
        }
        let called = shell::called(arg).unwrap_or_default();
        match (called.as_str(), arg.get_id().as_str()) {
            ("QUESTION", _) => {
                let open = self.known.questions.iter();
                let ways = open.map(|number| {
                    let number = number.to_string();
                    // "answer yes" lacks the number alone; in "answer the-first yes" it stands in the place of a word.
                    let numbered = format!("{number} {value}");
                    let before = self.with_words(value, &numbered);
                    let words = self.completed(before);
                    let words = words.or_else(|| self.completed(self.with_words(value, &number)));
                    (words, format!("question {number}"))
                });
                Some(ways.collect())
            }
            ("NUMBER", _) if arg.is_required_set() => Some(Vec::new()),
            ("NUMBER", _) if arg.get_long().is_some() => {
                let words = self.completed(self.without(arg));
                Some(vec![(words, "without it".into())])
            }
            ("NUMBER", _) => {
                let words = self.completed(self.with_words(value, ""));
                Some(vec![(words, "the last one".into())])
            }
            ("SHARE", "eaten") => Some(Vec::new()),
            _ => None,
        }
    }

    /// The typed words with one of them replaced by `instead`, which may be two words or empty.
    fn with_words(&self, word: &str, instead: &str) -> Vec<String> {
        let at = self.words.iter().position(|typed| typed == word);
        let Some(at) = at else {
            return self.words.to_vec();
        };
        let (before, after) = (&self.words[..at], &self.words[at + 1..]);
        let instead: Vec<String> = match instead.split_once(' ') {
            _ if instead.is_empty() => Vec::new(),
            Some((first, rest)) => vec![first.into(), rest.into()],
            None => vec![instead.into()],
        };
        [before, instead.as_slice(), after].concat()
    }

    /// The option of the command that takes this as one of its few values, and the value.
    pub(super) fn taking(&self, value: &str) -> Option<(String, String)> {
        let value = value.to_lowercase();
        let has = |arg: &&Arg| {
            let values = arg.get_possible_values();
            arg.get_long().is_some() && values.iter().any(|known| known.get_name() == value)
        };
        let arg = self.command.get_arguments().find(has)?;
        Some((format!("--{}", arg.get_long()?), value))
    }

    /// The command with this word and the one before it as the name of a recipe that is called so: `carrot potato`.
    pub(super) fn as_one_recipe(&self, word: &str) -> Option<Vec<String>> {
        let at = self.words.iter().position(|typed| typed == word)?;
        let before = self.words.get(at.checked_sub(1)?)?;
        let name = format!("{before}-{word}").to_lowercase();
        let is_known = self.known.recipes.contains(&name);
        let (kept, rest) = (&self.words[..at - 1], &self.words[at + 1..]);
        is_known.then(|| [kept, &[name], rest].concat())
    }

    /// The words of a plan with a meal before what it is to be of, where they have a day and a number of cubes alone.
    pub(super) fn with_the_meal(&self) -> Option<Vec<String>> {
        if self.path != ["plan", "set"] {
            return None;
        }
        let at = self.path.len();
        let (kept, what) = self.words.split_at_checked(at + 1)?;
        let begins_amount = what.first()?.starts_with(|c: char| c.is_ascii_digit());
        let meal = std::slice::from_ref(&self.known.meal);
        begins_amount.then(|| [kept, meal, what].concat())
    }

    /// The command with the words from `word` on, which are too many, as values of the options that
    /// take them: a price, a mass.
    pub(super) fn with_options(&self, word: &str) -> Option<Vec<String>> {
        let at = self.words.iter().position(|typed| typed == word)?;
        let (kept, more) = self.words.split_at(at);
        let mut words = kept.to_vec();
        for value in more {
            let called = if value.parse::<Money>().is_ok() {
                "PRICE"
            } else if read_mass(value).is_ok() {
                "MASS"
            } else {
                return None;
            };
            let takes = |arg: &&Arg| shell::called(arg).as_deref() == Some(called);
            let mut options = self.command.get_arguments().filter(takes);
            let long = options.find_map(Arg::get_long)?;
            words.extend([format!("--{long}"), value.clone()]);
        }
        self.completed(words)
    }
}
