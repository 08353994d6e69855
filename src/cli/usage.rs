//! Usage errors: what is missing or unknown, the nearest that there is, and commands that run when they are pasted; of words that stand in the
//! wrong place [`misplaced`] finds the place.

mod misplaced;

use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Arg, Command, CommandFactory as _, Parser as _};
use trayful::problem::nearest;
use trayful::words::joined;

use super::again::{command as replaced, pasted};
use super::examples::{Known, example};
use super::failure::Failure;
use super::{Cli, shell};

/// So many commands are offered.
const MOST: usize = 3;

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
        let ways = near.iter().map(|name| {
            let mut command = Self {
                path: [&self.path[..], std::slice::from_ref(name)].concat(),
                ..self.again()
            };
            command.command = self
                .command
                .find_subcommand(name)
                .cloned()
                .unwrap_or_else(|| self.command.clone());
            let words =
                replaced(self.words, &word, name).and_then(|words| command.completed(words));
            (words, "perhaps".to_string())
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
        // A value that was written as an option: `--refused` is `--how refused`.
        if let Some((long, value)) = self.taking(word.trim_start_matches('-'))
            && word.starts_with("--")
        {
            let what = format!("there is no option {word} here; did you mean {long} {value}?");
            let words = self.words.iter().flat_map(|one| {
                let words = [long.clone(), value.clone()];
                if *one == word {
                    words.to_vec()
                } else {
                    vec![one.clone()]
                }
            });
            let way = self.completed(words.collect());
            return self.failure(&what, [(way, "perhaps".into())]);
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
            let left = self.words.iter().filter(|one| !these.contains(one));
            left.cloned().collect()
        };
        // The word behind an unknown option may be its value, which then is nothing by itself.
        let next = self.words.iter().skip_while(|one| **one != word).nth(1);
        let value = next.filter(|next| word.starts_with('-') && !next.starts_with('-'));
        let without = (value.is_none() || near.is_empty()).then(|| {
            let both = value.and_then(|value| self.completed(without(&[&word, value])));
            let way = both.or_else(|| self.completed(without(&[&word])));
            (way, "without it".to_string())
        });
        let valued = self.with_options(&word);
        let valued = valued.map(|words| (Some(words), "perhaps".to_string()));
        self.failure(&what, valued.into_iter().chain(options).chain(without))
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
        let missing = texts(error, ContextKind::InvalidArg);
        let names = missing
            .iter()
            .map(|named| self.argument(named).map_or_else(|| named.clone(), name_of));
        let names = joined(names, " and ");
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
        let one = text(error, ContextKind::InvalidArg);
        let others = texts(error, ContextKind::PriorArg);
        let name = |named: &str| {
            self.argument(named)
                .map_or_else(|| named.to_string(), name_of)
        };
        if others.is_empty() || others == [one.clone()] {
            let way = self.argument(&one).map(|arg| self.without(arg));
            let way = way.and_then(|words| Some([words, self.once(&one)?].concat()));
            let way = (
                way.and_then(|words| self.completed(words)),
                "with the last".into(),
            );
            return self.failure(&format!("{} was said more than once", name(&one)), [way]);
        }
        let all: Vec<String> = others.iter().map(|other| name(other)).collect();
        let what = format!(
            "{} cannot go together with {}",
            name(&one),
            joined(&all, " and ")
        );
        let ways = std::iter::once(&one).chain(&others).map(|dropped| {
            let words = self.argument(dropped).map(|arg| self.without(arg));
            (
                words.and_then(|words| self.completed(words)),
                format!("without {}", name(dropped)),
            )
        });
        self.failure(&what, ways)
    }

    fn without_action(&self) -> Failure {
        // Who types the name of the program alone knows none of its commands: all of them at once are no answer.
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

    /// An error with the commands that are sound, at most three; where there is none, with the help of the command.
    fn failure(
        &self,
        what: &str,
        ways: impl IntoIterator<Item = (Option<Vec<String>>, String)>,
    ) -> Failure {
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

    /// The words as a command that is sound, with what it still lacks; `None` where it cannot be completed.
    fn completed(&self, mut words: Vec<String>) -> Option<Vec<String>> {
        // Each round adds what was missing in the one before.
        for _ in 0..MOST {
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

    /// The words that give an argument an example.
    fn typed_as(&self, arg: &Arg) -> Vec<String> {
        let long = arg.get_long().map(|long| format!("--{long}"));
        let value = arg.get_action().takes_values() || long.is_none();
        let value = value.then(|| example(arg, &self.path, self.known));
        long.into_iter().chain(value).collect()
    }

    /// The argument that an error names, as `--trays <N>` or `<RECIPE>`; of several of which one is needed, as `<AMOUNT|--all>`, the first.
    fn argument(&self, named: &str) -> Option<&Arg> {
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
    fn without(&self, arg: &Arg) -> Vec<String> {
        let Some(long) = arg.get_long().map(|long| format!("--{long}")) else {
            // A word of the command itself stays; the others are what stands in the argument's place.
            let options = self
                .words
                .iter()
                .position(|word| word.starts_with("--"))
                .unwrap_or(self.words.len());
            let options = self.words[options..].to_vec();
            return [self.path.clone(), options].concat();
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

    /// The last of the values that an option was given.
    fn once(&self, named: &str) -> Option<Vec<String>> {
        let long = format!("--{}", self.argument(named)?.get_long()?);
        let at = self.words.iter().rposition(|word| *word == long)?;
        Some(self.words[at..].iter().take(2).cloned().collect())
    }

    fn again(&self) -> Self {
        Self {
            words: self.words,
            known: self.known,
            command: self.command.clone(),
            path: self.path.clone(),
        }
    }
}

fn option_of<'c>(command: &'c Command, word: &str) -> Option<&'c Arg> {
    let long = word.strip_prefix("--")?.split('=').next()?;
    command
        .get_arguments()
        .find(|arg| arg.get_long() == Some(long))
}

/// An argument as it is called in a sentence: its option, or the name of its value.
fn name_of(arg: &Arg) -> String {
    let long = arg.get_long().map(|long| format!("--{long}"));
    let called = long.or_else(|| shell::called(arg)).unwrap_or_default();
    called.replace("YYYY-MM-DD", "DAY")
}

fn texts(error: &clap::Error, kind: ContextKind) -> Vec<String> {
    match error.get(kind) {
        Some(ContextValue::String(one)) => vec![one.clone()],
        Some(ContextValue::Strings(all)) => all.clone(),
        Some(ContextValue::StyledStr(one)) => vec![one.to_string()],
        _ => Vec::new(),
    }
}

/// What is fewest slips away, then what only looks alike, each once.
fn nearest_first(nearest: Option<String>, alike: Vec<String>) -> Vec<String> {
    let mut near: Vec<String> = nearest.into_iter().collect();
    for one in alike {
        if !near.contains(&one) {
            near.push(one);
        }
    }
    near
}

fn text(error: &clap::Error, kind: ContextKind) -> String {
    texts(error, kind).into_iter().next().unwrap_or_default()
}

#[cfg(test)]
#[path = "usage_tests.rs"]
mod tests;
