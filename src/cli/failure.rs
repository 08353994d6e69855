//! The errors of commands, and their messages.

use std::fmt::Write as _;
use std::path::PathBuf;

use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use trayful::food::FoodDataError;
use trayful::food::search::IndexError;
use trayful::notebook::BookError;
use trayful::problem::Problem;
use trayful::report::wrapped;
use trayful::spoken::Unclear;

use super::again::corrected_command;
use super::next_command::with_command;

/// The most problems that are shown; the others are counted (judgement).
const MOST_SHOWN: usize = 20;

/// The reason why a command failed.
#[derive(Debug)]
pub(super) enum Failure {
    /// Invalid input.
    Problems(Vec<Problem>),
    /// A food or an amount that is ambiguous.
    Unclear(Vec<Unclear>),
    /// A missing argument.
    Usage(String),
    /// The food data is wrong.
    Data(data_import::Error),
    /// The search index, at this place, is wrong.
    Index(PathBuf, IndexError),
    /// The book is wrong.
    Book(BookError),
    /// The answer could not be written as JSON.
    Json(serde_json::Error),
    /// The answer could not be printed.
    Print(std::io::Error),
}

impl From<Vec<Problem>> for Failure {
    fn from(problems: Vec<Problem>) -> Self {
        Self::Problems(problems)
    }
}

impl From<Problem> for Failure {
    fn from(problem: Problem) -> Self {
        Self::Problems(vec![problem])
    }
}

impl From<Unclear> for Failure {
    fn from(unclear: Unclear) -> Self {
        Self::Unclear(vec![unclear])
    }
}

impl From<data_import::Error> for Failure {
    fn from(error: data_import::Error) -> Self {
        Self::Data(error)
    }
}

impl From<FoodDataError> for Failure {
    fn from(error: FoodDataError) -> Self {
        match error {
            FoodDataError::Tables(error) => Self::Data(error),
            FoodDataError::Index(place, error) => Self::Index(place, error),
        }
    }
}

impl From<BookError> for Failure {
    fn from(error: BookError) -> Self {
        match error {
            BookError::Problems(problems) => Self::Problems(problems),
            error => Self::Book(error),
        }
    }
}

impl From<serde_json::Error> for Failure {
    fn from(error: serde_json::Error) -> Self {
        Self::Json(error)
    }
}

impl Failure {
    /// An error for a missing argument, with a line for each way to write it: the command and what it does.
    pub(super) fn usage(what: &str, ways: &[(String, &str)]) -> Self {
        let mut text = format!("{what}\n");
        for (command, does) in ways {
            let _ = writeln!(text, "  {does}: trayful {command}");
        }
        Self::Usage(text)
    }

    /// The message for standard error, with colour codes.
    pub(super) fn render(&self, width: u16) -> String {
        match self {
            Self::Problems(problems) => rendered(&Level::ERROR, problems, width),
            Self::Unclear(all) => {
                let all = all.iter().map(|ambiguity| unclear(ambiguity, width));
                all.collect::<Vec<_>>().join("\n")
            }
            Self::Usage(text) => {
                let style = anstyle::AnsiColor::BrightRed.on_default().bold();
                let text = fitted(&format!("error: {text}"), width);
                let text = text.strip_prefix("error").unwrap_or(&text);
                format!("{style}error{style:#}{text}\n")
            }
            Self::Data(error) => message(&error.to_string(), error.hint(), width),
            Self::Index(path, error) => message(
                &format!("{}: {error}", path.display()),
                Some("write it anew with `trayful data import`"),
                width,
            ),
            Self::Book(error) => {
                let hint = error.hint().as_ref().map(with_command);
                message(&error.to_string(), hint.as_deref(), width)
            }
            Self::Json(error) => message(
                &format!("cannot write the answer as JSON: {error}"),
                None,
                width,
            ),
            Self::Print(error) => message(
                &format!("cannot write to standard output: {error}"),
                Some(
                    "is the disk full? what was recorded before printing stays: look before you enter it again",
                ),
                width,
            ),
        }
    }
}

/// Warnings for standard error, with colour codes.
pub(super) fn warnings_of(problems: &[Problem], width: u16) -> String {
    rendered(&Level::WARNING, problems, width)
}

/// The ambiguity, and for each food that could be meant the command that selects it.
fn unclear(ambiguity: &Unclear, width: u16) -> String {
    let mut hint = ambiguity.hint();
    for choice in &ambiguity.choices {
        let command = || {
            let command = corrected_command(&ambiguity.typed, &choice.retyped);
            command.unwrap_or_else(|| choice.retyped.clone())
        };
        let next = choice.how_much().unwrap_or_else(command);
        let _ = write!(hint, "\n{}  {}\n       {next}", choice.id, choice.name);
    }
    if let Some(suggestion) = &ambiguity.suggestion {
        let command = corrected_command(&ambiguity.typed, suggestion);
        hint.extend(command.map(|command| format!("\n{command}")));
    }
    message(&ambiguity.what(), Some(&hint), width)
}

fn rendered(level: &Level<'static>, problems: &[Problem], width: u16) -> String {
    let mut text: String = problems
        .iter()
        .take(MOST_SHOWN)
        .map(|shown| problem(level, shown, width))
        .collect::<Vec<_>>()
        .join("\n");
    if problems.len() > MOST_SHOWN {
        let _ = writeln!(text, "and {} more problems", problems.len() - MOST_SHOWN);
    }
    text
}

/// The message of a problem, with the line of the file that causes it.
fn problem(level: &Level<'static>, problem: &Problem, width: u16) -> String {
    let hint = problem.hint.as_ref().map(with_command);
    let what = fitted(&problem.what, width.saturating_sub(BEFORE_TITLE));
    let title = level.clone().primary_title(what);
    let group = match &problem.place {
        None => Group::with_title(title),
        // A file that cannot be read has no line to show.
        Some(place) if place.source.text.is_empty() => {
            title.element(Origin::path(place.source.name.as_str()))
        }
        Some(place) => title.element(
            Snippet::source(place.source.text.as_str())
                .path(place.source.name.as_str())
                .annotation(AnnotationKind::Primary.span(place.span.clone())),
        ),
    };
    let again = problem.meant.iter().flat_map(|meant| {
        let instead = meant.instead.iter();
        instead.filter_map(|instead| corrected_command(&meant.written, instead))
    });
    rendered_group(group, hint.into_iter().chain(again), width)
}

fn message(what: &str, hint: Option<&str>, width: u16) -> String {
    let what = fitted(what, width.saturating_sub(BEFORE_TITLE));
    let group = Group::with_title(Level::ERROR.primary_title(what));
    rendered_group(group, hint.map(String::from), width)
}

/// The columns before a title: `warning: `.
const BEFORE_TITLE: u16 = 9;
/// The columns before a help: `    = help: `, with the numbers of lines.
const BEFORE_HELP: u16 = 12;

/// Text in lines of `width` columns; commands stay whole.
fn fitted(text: &str, width: u16) -> String {
    let lines = text.lines().flat_map(|line| wrapped(line, width));
    lines.collect::<Vec<_>>().join("\n")
}

fn rendered_group(group: Group<'_>, help: impl IntoIterator<Item = String>, width: u16) -> String {
    let group = help.into_iter().fold(group, |group, help| {
        group.element(Level::HELP.message(fitted(&help, width.saturating_sub(BEFORE_HELP))))
    });
    format!("{}\n", renderer().render(&[group]))
}

fn renderer() -> Renderer {
    Renderer::styled().decor_style(DecorStyle::Ascii)
}
