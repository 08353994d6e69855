//! Usage errors: what is missing or unknown, the nearest that exists, and commands that run when they are pasted.
//! [`misplaced`] finds the place of words that stand in the wrong one.

mod clap_context;
mod completing;
mod misplaced;

use clap::error::{ContextKind, ErrorKind};
use clap::{Arg, Command, CommandFactory as _};
use trayful::problem::nearest;
use trayful::words::{joined, together};

use self::clap_context::{name_of, nearest_first, option_of, text, texts};
use super::Cli;
use super::again::{command as replaced, pasted};
use super::examples::{Known, example};
use super::failure::Failure;

/// The most commands that are offered.
const MOST: usize = 3;

/// The words of a sound command, where there is one, and what it does.
type Way = (Option<Vec<String>>, String);

/// What to say of a usage error; `None` for help and version, which are printed as they are.
pub(super) fn explained(error: &clap::Error, typed: &[String], known: &Known) -> Option<Failure> {
    let typed = TypedCommand::new(typed, known);
    Some(match error.kind() {
        ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => return None,
        ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand | ErrorKind::MissingSubcommand => {
            typed.without_action()
        }
        ErrorKind::InvalidSubcommand => typed.unknown_command(error),
        ErrorKind::UnknownArgument => typed.unknown_argument(error),
        ErrorKind::InvalidValue | ErrorKind::ValueValidation => typed.wrong_value(error),
        ErrorKind::MissingRequiredArgument => typed.missing(error),
        ErrorKind::ArgumentConflict => typed.conflict(error),
        _ => typed.other(error),
    })
}

/// What was typed, and the command that it is about.
#[derive(Clone)]
struct TypedCommand<'a> {
    words: &'a [String],
    known: &'a Known,
    command: Command,
    /// The names of the command, such as `plan`, `set`.
    path: Vec<String>,
}

impl<'a> TypedCommand<'a> {
    fn new(words: &'a [String], known: &'a Known) -> Self {
        let mut command = Cli::command();
        command.build();
        let mut path = Vec::new();
        let mut rest = words.iter();
        while let Some(word) = rest.next() {
            if word.starts_with('-') {
                let option = option_of(&command, word);
                if option.is_some_and(|arg| arg.get_action().takes_values()) && !word.contains('=')
                {
                    rest.next();
                }
            } else if let Some(below) = command.find_subcommand(word) {
                path.push(below.get_name().to_string());
                command = below.clone();
            } else {
                break;
            }
        }
        Self {
            words,
            known,
            command,
            path,
        }
    }

    fn unknown_command(&self, error: &clap::Error) -> Failure {
        let word = text(error, ContextKind::InvalidSubcommand);
        let names = self.command.get_subcommands().map(Command::get_name);
        let alike = texts(error, ContextKind::SuggestedSubcommand);
        let near = nearest_first(nearest(&word, names).map(String::from), alike);
        let ways = near.iter().enumerate().map(|(at, name)| {
            let mut command = Self {
                path: [&self.path[..], std::slice::from_ref(name)].concat(),
                ..self.clone()
            };
            command.command = self
                .command
                .find_subcommand(name)
                .cloned()
                .unwrap_or_else(|| self.command.clone());
            let words = replaced(self.words, &word, name);
            // A command that only looks alike is offered for what was typed, and for nothing that is made up.
            let words = words.filter(|words| {
                at == 0 || command.completed(words.clone()).as_ref() == Some(words)
            });
            (
                words.and_then(|words| command.completed(words)),
                "perhaps".to_string(),
            )
        });
        let what = match near.first() {
            Some(near) => format!("there is no command “{word}”; did you mean “{near}”?"),
            None => format!("there is no command “{word}”"),
        };
        self.failure(&what, ways)
    }

    fn unknown_argument(&self, error: &clap::Error) -> Failure {
        let word = text(error, ContextKind::InvalidArg);
        let longs = self.command.get_arguments().filter_map(Arg::get_long);
        let long = nearest(word.trim_start_matches('-'), longs).map(|long| format!("--{long}"));
        let mut near = nearest_first(long, texts(error, ContextKind::SuggestedArg));
        let has_child = || {
            self.command
                .get_arguments()
                .any(|arg| arg.get_long() == Some("child"))
        };
        if ["--to", "--for"].contains(&word.as_str()) && has_child() {
            near = vec!["--child".into()];
        }
        if let Some(failure) = self.value_as_option(&word) {
            return failure;
        }
        let what = match (word.starts_with('-'), near.first()) {
            (true, Some(near)) => format!("there is no option {word} here; did you mean {near}?"),
            (true, None) => format!("there is no option {word} here"),
            (false, _) => format!("“{word}” is more than this command takes"),
        };
        let options = near.iter().map(|name| {
            let words = replaced(self.words, &word, name);
            let words = words.and_then(|words| self.completed(words));
            (words, "perhaps".to_string())
        });
        let without = |these: &[&String]| -> Vec<String> {
            let left = self.words.iter().filter(|typed| !these.contains(typed));
            left.cloned().collect()
        };
        // The word behind an unknown option may be its value, which then is nothing by itself.
        let next = self.words.iter().skip_while(|typed| **typed != word).nth(1);
        let value = next.filter(|next| word.starts_with('-') && !next.starts_with('-'));
        let without = (value.is_none() || near.is_empty()).then(|| {
            let both = value.and_then(|value| self.completed(without(&[&word, value])));
            let way = both.or_else(|| self.completed(without(&[&word])));
            (way, "without it".to_string())
        });
        let valued = self
            .as_one_recipe(&word)
            .or_else(|| self.with_options(&word));
        let valued = valued.map(|words| (Some(words), "perhaps".to_string()));
        self.failure(&what, valued.into_iter().chain(options).chain(without))
    }

    /// The error of a value that was written as an option: `--refused` for `--how refused`.
    fn value_as_option(&self, word: &str) -> Option<Failure> {
        let (long, value) = self.taking(word.trim_start_matches('-'))?;
        if !word.starts_with("--") {
            return None;
        }
        let what = format!("there is no option {word} here; did you mean {long} {value}?");
        let words = self.words.iter().flat_map(|typed| {
            if typed == word {
                vec![long.clone(), value.clone()]
            } else {
                vec![typed.clone()]
            }
        });
        let way = self.completed(words.collect());
        Some(self.failure(&what, [(way, "perhaps".into())]))
    }

    fn wrong_value(&self, error: &clap::Error) -> Failure {
        let (named, value) = (
            text(error, ContextKind::InvalidArg),
            text(error, ContextKind::InvalidValue),
        );
        let arg = self.argument(&named);
        let name = arg.map_or_else(|| named.clone(), name_of);
        let such = arg.map_or_else(|| "...".into(), |arg| example(arg, &self.path, self.known));
        if value.is_empty() {
            let words = [self.words, std::slice::from_ref(&such)].concat();
            return self.failure(
                &format!("{name} has no value"),
                [(self.completed(words), "such as".into())],
            );
        }
        let valid = texts(error, ContextKind::ValidValue);
        let nearest = nearest(&value, valid.iter().map(String::as_str)).map(String::from);
        let near = nearest_first(nearest, texts(error, ContextKind::SuggestedValue));
        let source = std::error::Error::source(error).map(ToString::to_string);
        let source = source.filter(|words| words.starts_with("write "));
        let hint = match (valid.is_empty(), source) {
            (true, Some(words)) => words,
            (true, None) => format!("write it like {such}"),
            (false, _) => format!("it is one of {}", joined(&valid, ", ")),
        };
        let what = format!("“{value}” cannot be the value of {name}: {hint}");
        if near.is_empty()
            && let Some(ways) = arg.and_then(|arg| self.unguessed(arg, &value))
        {
            return self.failure(&what, ways);
        }
        let instead = if near.is_empty() { vec![such] } else { near };
        let ways = instead.iter().map(|instead| {
            let words = replaced(self.words, &value, instead);
            (
                words.and_then(|words| self.completed(words)),
                format!("with {instead}"),
            )
        });
        self.failure(&what, ways)
    }

    fn missing(&self, error: &clap::Error) -> Failure {
        if let Some(words) = self.with_the_meal() {
            let way = (self.completed(words), "such as".into());
            return self.failure("MEAL is missing", [way]);
        }
        let missing = texts(error, ContextKind::InvalidArg);
        let names = missing
            .iter()
            .map(|named| self.argument(named).map_or_else(|| named.clone(), name_of));
        let names = together(names);
        let verb = if missing.len() > 1 { "are" } else { "is" };
        let mut words = self.words.to_vec();
        for arg in missing.iter().filter_map(|named| self.argument(named)) {
            words.extend(self.typed_as(arg));
        }
        self.failure(
            &format!("{names} {verb} missing"),
            [(self.completed(words), "such as".into())],
        )
    }

    fn conflict(&self, error: &clap::Error) -> Failure {
        let named = text(error, ContextKind::InvalidArg);
        let others = texts(error, ContextKind::PriorArg);
        let name = |named: &str| {
            self.argument(named)
                .map_or_else(|| named.to_string(), name_of)
        };
        if others.is_empty() || others == [named.clone()] {
            let way = self.argument(&named).map(|arg| self.without(arg));
            let way = way.and_then(|words| Some([words, self.once(&named)?].concat()));
            let way = (
                way.and_then(|words| self.completed(words)),
                "with the last".into(),
            );
            return self.failure(&format!("{} was given more than once", name(&named)), [way]);
        }
        let all: Vec<String> = others.iter().map(|other| name(other)).collect();
        let what = format!(
            "{} cannot go together with {}",
            name(&named),
            together(&all)
        );
        let ways = std::iter::once(&named).chain(&others).map(|dropped| {
            let words = self.argument(dropped).map(|arg| self.without(arg));
            (
                words.and_then(|words| self.completed(words)),
                format!("without {}", name(dropped)),
            )
        });
        self.failure(&what, ways)
    }

    fn without_action(&self) -> Failure {
        // The name of the program alone comes from someone who knows none of its commands: a list
        // of all would be no help.
        const FIRST: [&str; 2] = ["demo", "start"];
        let root = self.path.is_empty();
        let offered = |name: &str| {
            if root {
                FIRST.contains(&name)
            } else {
                name != "help"
            }
        };
        let below = self.command.get_subcommands();
        let below = below.filter(|below| offered(below.get_name()));
        let ways = below.map(|below| {
            let path = [&self.path[..], &[below.get_name().to_string()]].concat();
            let about = below
                .get_about()
                .map(ToString::to_string)
                .unwrap_or_default();
            let typed = Self {
                words: &[],
                known: self.known,
                command: below.clone(),
                path: path.clone(),
            };
            let about = about
                .split([':', ';', ','])
                .next()
                .unwrap_or_default()
                .to_string();
            (typed.completed(path), about)
        });
        if root {
            return self.failure("say what to do", ways);
        }
        let ways: Vec<_> = ways
            .filter_map(|(words, about)| Some((words?, about)))
            .collect();
        let ways: Vec<(String, &str)> = ways
            .iter()
            .map(|(words, about)| (pasted(words), about.as_str()))
            .collect();
        Failure::usage(
            &format!(
                "say what to do: {} has several commands",
                self.path.join(" ")
            ),
            &ways,
        )
    }

    fn other(&self, error: &clap::Error) -> Failure {
        let first = error.to_string();
        let first = first
            .lines()
            .next()
            .unwrap_or_default()
            .trim_start_matches("error: ")
            .to_string();
        self.failure(&first, [])
    }

    /// An error with the commands that are sound, at most [`MOST`], and the help of the command.
    fn failure(&self, what: &str, ways: impl IntoIterator<Item = Way>) -> Failure {
        let ways = ways
            .into_iter()
            .filter_map(|(words, does)| Some((pasted(&words?), does)));
        let mut ways: Vec<(String, String)> = ways.take(MOST).collect();
        ways.dedup_by(|a, b| a.0 == b.0);
        let help = std::iter::once("help".to_string())
            .chain(self.path.clone())
            .collect::<Vec<_>>();
        ways.push((pasted(&help), "all that it takes".into()));
        let ways: Vec<(String, &str)> = ways
            .iter()
            .map(|(words, does)| (words.clone(), does.as_str()))
            .collect();
        Failure::usage(what, &ways)
    }
}

#[cfg(test)]
#[path = "usage_tests.rs"]
mod tests;
