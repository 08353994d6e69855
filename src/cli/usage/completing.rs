//! Which command would run: the typed words with what is missing, or without an argument.

use clap::error::{ContextKind, ErrorKind};
use clap::{Arg, Parser as _};

use super::TypedCommand;
use super::clap_context::texts;
use crate::cli::examples::example;
use crate::cli::{Cli, shell};

/// The most rounds in which a command is completed: each adds what was missing in the one before (judgement).
const ROUNDS: usize = 3;

impl TypedCommand<'_> {
    /// The words as a sound command, with an example of each argument that is missing; `None` where
    /// it cannot be completed.
    pub(super) fn completed(&self, mut words: Vec<String>) -> Option<Vec<String>> {
        for _ in 0..ROUNDS {
            let program = std::iter::once("trayful".to_string());
            let Err(error) = Cli::try_parse_from(program.chain(words.clone())) else {
                return Some(words);
            };
            if error.kind() != ErrorKind::MissingRequiredArgument {
                return None;
            }
            let missing = texts(&error, ContextKind::InvalidArg);
            for arg in missing.iter().filter_map(|named| self.argument(named)) {
                words.extend(self.typed_as(arg));
            }
        }
        None
    }

    /// The words of an argument with an example as its value: `--tray standard`.
    pub(super) fn typed_as(&self, arg: &Arg) -> Vec<String> {
        let long = arg.get_long().map(|long| format!("--{long}"));
        let value = arg.get_action().takes_values() || long.is_none();
        let value = value.then(|| example(arg, &self.path, self.known));
        long.into_iter().chain(value).collect()
    }

    /// The argument that an error names, such as `--trays <N>` or `<RECIPE>`.
    ///
    /// Of several of which one is needed, such as `<AMOUNT|--all>`, it is the first.
    pub(super) fn argument(&self, named: &str) -> Option<&Arg> {
        let first = || named.trim_matches(['<', '>']).split('|').next();
        self.argument_called(named)
            .or_else(|| self.argument_called(first()?))
    }

    fn argument_called(&self, named: &str) -> Option<&Arg> {
        let long = named
            .strip_prefix("--")
            .map(|rest| rest.split([' ', '=', '[']).next().unwrap_or_default());
        let bare = named.trim_matches(['<', '>', '[', ']', '.']);
        self.command.get_arguments().find(|arg| match long {
            Some(long) => arg.get_long() == Some(long),
            None => arg.get_long().is_none() && shell::called(arg).as_deref() == Some(bare),
        })
    }

    /// The words without an option and its value.
    pub(super) fn without(&self, arg: &Arg) -> Vec<String> {
        let Some(long) = arg.get_long().map(|long| format!("--{long}")) else {
            // The words of the command itself stay, and those of the arguments before this one.
            let options = self
                .words
                .iter()
                .position(|word| word.starts_with("--"))
                .unwrap_or(self.words.len());
            let (before, options) = self.words.split_at(options);
            let earlier = arg.get_index().map_or(0, |place| place.saturating_sub(1));
            let earlier = before.iter().skip(self.path.len()).take(earlier).cloned();
            let kept = self.path.iter().cloned().chain(earlier);
            return kept.chain(options.iter().cloned()).collect();
        };
        let mut kept = Vec::new();
        let mut words = self.words.iter();
        while let Some(word) = words.next() {
            if *word == long {
                if arg.get_action().takes_values() {
                    words.next();
                }
            } else if !word.starts_with(&format!("{long}=")) {
                kept.push(word.clone());
            }
        }
        kept
    }

    /// An option with the last of its values.
    pub(super) fn once(&self, named: &str) -> Option<Vec<String>> {
        let long = format!("--{}", self.argument(named)?.get_long()?);
        let at = self.words.iter().rposition(|word| *word == long)?;
        Some(self.words[at..].iter().take(2).cloned().collect())
    }
}
