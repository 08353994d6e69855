//! What an error of clap is about: its texts, and the argument that it names.

use clap::error::{ContextKind, ContextValue};
use clap::{Arg, Command};

use crate::cli::shell;

/// The argument of an option as it was typed, `--trays` or `--trays=2`.
pub(super) fn option_of<'c>(command: &'c Command, word: &str) -> Option<&'c Arg> {
    let long = word.strip_prefix("--")?.split('=').next()?;
    command
        .get_arguments()
        .find(|arg| arg.get_long() == Some(long))
}

/// An argument as it is called in a sentence: its option, or the name of its value.
pub(super) fn name_of(arg: &Arg) -> String {
    let long = arg.get_long().map(|long| format!("--{long}"));
    let called = long.or_else(|| shell::called(arg)).unwrap_or_default();
    called.replace("YYYY-MM-DD", "DAY")
}

/// What an error of clap says under a kind: several texts, one, or none.
pub(super) fn texts(error: &clap::Error, kind: ContextKind) -> Vec<String> {
    match error.get(kind) {
        Some(ContextValue::String(text)) => vec![text.clone()],
        Some(ContextValue::Strings(all)) => all.clone(),
        Some(ContextValue::StyledStr(text)) => vec![text.to_string()],
        _ => Vec::new(),
    }
}

/// The name with the fewest misspellings, then those that only look alike, each once.
pub(super) fn nearest_first(nearest: Option<String>, alike: Vec<String>) -> Vec<String> {
    let mut near: Vec<String> = nearest.into_iter().collect();
    for name in alike {
        if !near.contains(&name) {
            near.push(name);
        }
    }
    near
}

/// The first text that an error of clap has under a kind, or an empty one.
pub(super) fn text(error: &clap::Error, kind: ContextKind) -> String {
    texts(error, kind).into_iter().next().unwrap_or_default()
}
