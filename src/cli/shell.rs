//! `trayful completions` and `trayful man`: the grammar of the commands for a shell and as a manual.

use std::ffi::{OsStr, OsString};
use std::path::{Path, PathBuf};

use clap::{Arg, Args, Command, CommandFactory as _, ValueEnum};
use clap_complete::env::{EnvCompleter, Shells};
use clap_complete::{ArgValueCompleter, CompleteEnv, CompletionCandidate, PathCompleter};
use clap_mangen::Man;
use trayful::names::Named;
use trayful::notebook::Book;
use trayful::problem::Problem;

use super::Session;
use super::failure::Failure;
use super::page_file::{unrendered, written};
use super::{Answer, Cli};

/// The environment variable that a shell's script sets when it asks for completions.
const ASKED: &str = "TRAYFUL_COMPLETE";

#[derive(Debug, Args)]
#[command(after_help = "\
Where it goes, so that it is as new as the program:
  bash   source <(trayful completions bash)        in ~/.bashrc
  zsh    source <(trayful completions zsh)         in ~/.zshrc, after compinit
  fish   trayful completions fish | source         in ~/.config/fish/config.fish")]
pub(super) struct CompletionsArgs {
    /// The shell
    shell: ShellArg,
}

/// A shell on the command line.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum ShellArg {
    /// Bash
    Bash,
    /// Zsh
    Zsh,
    /// Fish
    Fish,
}

/// Prints the script of a shell.
pub(super) fn completions(args: &CompletionsArgs) -> Result<Answer, Failure> {
    let shell: &dyn EnvCompleter = match args.shell {
        ShellArg::Bash => &clap_complete::env::Bash,
        ShellArg::Zsh => &clap_complete::env::Zsh,
        ShellArg::Fish => &clap_complete::env::Fish,
    };
    let program = std::env::current_exe().map_err(unrendered)?;
    let mut script = Vec::new();
    shell
        .write_registration(
            ASKED,
            "trayful",
            "trayful",
            &program.to_string_lossy(),
            &mut script,
        )
        .map_err(unrendered)?;
    Ok(Answer::text(String::from_utf8(script).map_err(unrendered)?))
}

/// Answers a shell that asks for completions; returns whether one did.
pub(super) fn answered() -> clap::error::Result<bool> {
    let here = std::env::current_dir().ok();
    let command = || {
        let mut command = Cli::command();
        // A command has its options only after it was built.
        command.build();
        knowing(command)
    };
    CompleteEnv::with_factory(command)
        .var(ASKED)
        .shells(Shells::builtins())
        .try_complete(std::env::args_os(), here.as_deref())
}

/// The commands with what the book knows as their values.
fn knowing(command: Command) -> Command {
    command.mut_args(known).mut_subcommands(knowing)
}

/// Adds the names known to the book as completions of an argument; the name of its value says which names.
fn known(arg: Arg) -> Arg {
    let called = called(&arg);
    let names: fn(&Book) -> Vec<Named> = match called.as_deref() {
        Some("RECIPE" | "N RECIPE" | "TRAYS RECIPE" | "#N|RECIPE") => recipes,
        Some("MEAL") => |book| {
            book.settings
                .meals
                .iter()
                .map(|meal| meal.as_str().into())
                .collect()
        },
        Some("NAME|WELLSxVOLUME") => |book| {
            let trays = book.settings.trays.iter();
            trays.map(|tray| tray.name.as_str().into()).collect()
        },
        Some("CHILD") => |book| {
            let children = book.settings.children.iter();
            children.map(|child| child.name.as_str().into()).collect()
        },
        _ => return arg,
    };
    let files = called.is_some_and(|name| name == "RECIPE");
    arg.add(ArgValueCompleter::new(move |begun: &OsStr| {
        let mut candidates = of_the_book(names, begun);
        if files {
            let recipe = |path: &Path| {
                path.is_dir() || path.extension().is_some_and(|ending| ending == "toml")
            };
            let paths = PathCompleter::any().filter(recipe);
            candidates.extend(clap_complete::engine::ValueCompleter::complete(
                &paths, begun,
            ));
        }
        candidates
    }))
}

/// The name of an argument's value; of a positional argument without one, its own.
pub(super) fn called(arg: &Arg) -> Option<String> {
    let named = arg.get_value_names().and_then(|names| names.first());
    let named = named.map(ToString::to_string);
    named.or_else(|| Some(arg.get_id().as_str().to_uppercase()))
}

fn recipes(book: &Book) -> Vec<Named> {
    // A folder that cannot be read gives no completions; a command reports the error.
    book.named_recipes().unwrap_or_default()
}

/// The names of the book in use that begin so, each with its title.
fn of_the_book(names: fn(&Book) -> Vec<Named>, begun: &OsStr) -> Vec<CompletionCandidate> {
    let named = std::env::var_os("TRAYFUL_BOOK").map(PathBuf::from);
    let folder = named.or_else(|| Book::folder_above(&std::env::current_dir().ok()?));
    let Some(book) = folder.and_then(|folder| Book::open(&folder).ok()) else {
        return Vec::new();
    };
    let begun = begun.to_string_lossy().to_lowercase();
    let fitting = names(&book).into_iter();
    let fitting = fitting.filter(|named| named.name.to_lowercase().starts_with(&begun));
    fitting
        .map(|named| {
            let title = Some(named.title).filter(|title| !title.is_empty());
            CompletionCandidate::new(OsString::from(named.name)).help(title.map(Into::into))
        })
        .collect()
}

#[derive(Debug, Args)]
pub(super) struct ManArgs {
    /// Write a page for each command into this folder
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

/// Prints the manual page, or writes one for each command.
pub(super) fn man(args: &ManArgs, session: &Session) -> Result<Answer, Failure> {
    let mut command = Cli::command().disable_help_subcommand(true);
    command.build();
    let Some(folder) = &args.out else {
        return Ok(Answer::text(rendered(&command)?));
    };
    std::fs::create_dir_all(folder).map_err(|error| {
        Problem::new(format!("cannot make “{}”: {error}", folder.display()))
            .hint("name a folder in one that is there and yours")
    })?;
    let mut pages = Vec::new();
    gather(&command, &mut pages)?;
    for (name, page) in &pages {
        written(&folder.join(name), page.clone(), "", session)?;
    }
    Ok(session.paragraph(&format!(
        "Wrote {} pages of the manual into {}. Read one: man -l {}",
        pages.len(),
        folder.display(),
        folder.join("trayful.1").display()
    )))
}

/// The page of a command and of those below it, each with the name of its file.
fn gather(command: &Command, pages: &mut Vec<(String, String)>) -> Result<(), Failure> {
    pages.push((Man::new(command.clone()).get_filename(), rendered(command)?));
    for below in command.get_subcommands() {
        gather(below, pages)?;
    }
    Ok(())
}

fn rendered(command: &Command) -> Result<String, Failure> {
    let mut page = Vec::new();
    let man = Man::new(command.clone());
    man.render(&mut page).map_err(unrendered)?;
    String::from_utf8(page).map_err(unrendered)
}
