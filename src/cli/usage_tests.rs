//! Every usage error of every command names what is wrong and gives a command that is sound.

use clap::Parser as _;
use jiff::civil::date;

use super::*;

fn known() -> Known {
    Known::of(None, date(2026, 11, 16))
}

/// Every command, by its names.
fn paths() -> Vec<Vec<String>> {
    fn below(command: &Command, path: &[String], all: &mut Vec<Vec<String>>) {
        for subcommand in command
            .get_subcommands()
            .filter(|subcommand| subcommand.get_name() != "help")
        {
            let path = [path, &[subcommand.get_name().to_string()]].concat();
            below(subcommand, &path, all);
            all.push(path);
        }
    }
    let mut command = Cli::command();
    command.build();
    let mut all = Vec::new();
    below(&command, &[], &mut all);
    all
}

/// The error that these words are refused with; `None` where they are a command.
fn refused(words: &[String]) -> Option<String> {
    let program = std::iter::once("trayful".to_string());
    let error = Cli::try_parse_from(program.chain(words.iter().cloned())).err()?;
    let failure = explained(&error, words, &known());
    Some(failure.map_or_else(|| error.to_string(), |failure| failure.render(80)))
}

/// The commands that a refusal offers, split into words as a shell does.
fn offered(refusal: &str) -> Vec<Vec<String>> {
    let lines = refusal
        .lines()
        .filter_map(|line| line.split_once(": trayful "));
    lines.map(|(_, command)| split(command)).collect()
}

fn split(command: &str) -> Vec<String> {
    let (mut words, mut word, mut quote) = (Vec::new(), String::new(), None);
    for letter in command.chars() {
        match quote {
            Some(mark) if letter == mark => quote = None,
            None if letter == '"' || letter == '\'' => quote = Some(letter),
            None if letter == ' ' => words.push(std::mem::take(&mut word)),
            _ => word.push(letter),
        }
    }
    words.push(word);
    words
}

/// Whether the words are a sound command, or ask for help.
fn is_sound(words: &[String]) -> bool {
    let program = std::iter::once("trayful".to_string());
    match Cli::try_parse_from(program.chain(words.iter().cloned())) {
        Ok(_) => true,
        Err(error) => error.kind() == ErrorKind::DisplayHelp,
    }
}

/// Asserts what is asked of each refusal.
fn check(words: &[String], names: &str) {
    let Some(refusal) = refused(words) else {
        panic!("{words:?} was taken");
    };
    assert!(
        refusal.contains(names),
        "{words:?}: {names} is not in {refusal}"
    );
    for theirs in ["Usage:", "For more information", "tip:", "possible values"] {
        assert!(!refusal.contains(theirs), "{words:?}: {refusal}");
    }
    let offered = offered(&refusal);
    assert!(!offered.is_empty(), "{words:?}: {refusal}");
    for command in offered {
        assert!(is_sound(&command), "{words:?} offers {command:?}");
    }
}

fn typed(path: &[String], more: &[&str]) -> Vec<String> {
    let more = more.iter().map(ToString::to_string);
    path.iter().cloned().chain(more).collect()
}

fn command_of(path: &[String]) -> Command {
    let mut command = Cli::command();
    command.build();
    for name in path {
        command = command.find_subcommand(name).unwrap().clone();
    }
    command
}

#[test]
fn an_unknown_option_and_a_misspelt_one() {
    for path in paths() {
        check(&typed(&path, &["--xyzzy"]), "--xyzzy");
        check(&typed(&path, &["--plian"]), "--plain");
    }
}

#[test]
fn a_misspelt_command() {
    for path in paths() {
        let (last, before) = path.split_last().unwrap();
        let slip = format!("{last}z");
        check(&typed(before, &[&slip]), last);
    }
}

#[test]
fn a_command_alone_names_what_is_missing() {
    for path in paths().into_iter().filter(|path| !is_sound(path)) {
        let refusal = refused(&path).unwrap();
        let says = refusal.contains("missing") || refusal.contains("say what to do");
        assert!(says, "{path:?}: {refusal}");
        check(&path, "");
    }
}

#[test]
fn an_option_without_a_value_and_with_a_wrong_one() {
    for path in paths() {
        let command = command_of(&path);
        let options = command
            .get_arguments()
            .filter(|arg| arg.get_action().takes_values());
        for arg in options.filter(|arg| arg.get_long().is_some()) {
            let long = format!("--{}", arg.get_long().unwrap());
            check(&typed(&path, &[&long]), &long);
            let wrong = typed(&path, &[&long, "@@"]);
            let error = Cli::try_parse_from([&["trayful".to_string()][..], &wrong].concat()).err();
            let kinds = [ErrorKind::InvalidValue, ErrorKind::ValueValidation];
            if error.is_some_and(|error| kinds.contains(&error.kind())) {
                check(&wrong, &long);
            }
        }
    }
}

#[test]
fn a_word_too_many() {
    let path = typed(&[], &["undo"]);
    check(&typed(&path, &["it"]), "it");
}

#[test]
fn two_options_that_exclude_each_other() {
    for path in paths() {
        let command = command_of(&path);
        for arg in command
            .get_arguments()
            .filter(|arg| arg.get_long().is_some())
        {
            for other in command
                .get_arg_conflicts_with(arg)
                .into_iter()
                .filter(|other| other.get_long().is_some())
            {
                let both = |arg: &Arg| {
                    let long = format!("--{}", arg.get_long().unwrap());
                    let value = arg
                        .get_action()
                        .takes_values()
                        .then(|| example(arg, &path, &known()));
                    std::iter::once(long).chain(value).collect::<Vec<_>>()
                };
                let words = [path.clone(), both(arg), both(other)].concat();
                if refused(&words).is_some() {
                    check(&words, "");
                }
            }
        }
    }
}

#[test]
fn an_option_said_twice() {
    check(
        &typed(
            &[],
            &["batch", "--add", "2 eggs", "--trays", "2", "--trays", "3"],
        ),
        "--trays",
    );
}

#[test]
fn no_command_at_all_is_answered_with_the_first_few() {
    for words in [&[][..], &["--plain".to_string()]] {
        check(words, "say what to do\n");
        let names = offered(&refused(words).unwrap()).into_iter();
        let names: Vec<_> = names
            .filter_map(|command| command.into_iter().next())
            .collect();
        assert_eq!(names, ["demo", "start", "help"]);
    }
}

#[test]
fn a_command_of_commands_alone_is_answered_with_all_of_them() {
    let words = typed(&[], &["plan"]);
    check(&words, "say what to do: plan has several commands");
    assert!(offered(&refused(&words).unwrap()).len() > MOST);
}
