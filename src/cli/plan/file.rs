//! `trayful plan export` and `trayful plan import`.

use std::io::Read as _;
use std::path::{Path, PathBuf};

use clap::Args;
use trayful::household::PlanValidation;
use trayful::notebook::Plan;
use trayful::planning::facts::{Facts, Span};
use trayful::planning::file;
use trayful::problem::{Problem, SourceText};
use trayful::report::Page;
use trayful::words::{self, counted, joined};

use super::judged::NewPlan;
use super::{SpanArgs, planning_day};
use crate::cli::failure::Failure;
use crate::cli::judged::AnywayArg;
use crate::cli::page_file::{unrendered, written};
use crate::cli::{Answer, Session};

/// The most bytes of a plan that is read (judgement).
const LONGEST: u64 = 4 << 20;

#[derive(Debug, Args)]
pub(super) struct ExportArgs {
    /// The file to write; - is standard output
    #[arg(value_name = "FILE.csv")]
    file: PathBuf,
    #[command(flatten)]
    span: SpanArgs,
}

/// Writes the plan.
pub(super) fn export(args: &ExportArgs, session: &Session) -> Result<Answer, Failure> {
    let span = args.span.span(session)?;
    let plan = session.book()?.store()?.planned(span.from, span.to)?;
    let text = file::write(&plan).map_err(unrendered)?;
    let mut page = Page::new(session.look);
    page.paragraph(&format!(
        "Wrote {} from {} into {}.",
        of_plan(&plan),
        words::days(span.from, span.to),
        args.file.display()
    ));
    written(&args.file, text, &page.finish(), session)
}

#[derive(Debug, Args)]
pub(super) struct PlanImportArgs {
    /// The file to read; - is standard input
    #[arg(value_name = "FILE.csv")]
    file: PathBuf,
    /// The day on which it is read in; today if left out
    #[arg(long, value_name = "DAY")]
    on: Option<String>,
    #[command(flatten)]
    anyway: AnywayArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Reads a plan and records it as one entry.
pub(super) fn import(args: &PlanImportArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let source = SourceText::new(args.file.display().to_string(), text(&args.file)?);
    let (rows, unread) = file::read(&source);
    let asked = file::foods(&rows);
    let found = session.pantry(None)?.foods(&asked)?.into_iter().flatten();
    let known: Vec<_> = found.map(|food| food.id).collect();
    let mut store = book.store()?;
    let rules = PlanValidation::of(&book, &store)?;
    let plan = file::plan((&rows, unread), &rules.validation(&book), &known)?;
    let days = plan.days();
    let (Some(first), Some(last)) = (days.first(), days.last()) else {
        return Ok(Answer::no("The file plans nothing: nothing was changed.\n"));
    };
    let span = Span {
        today: planning_day(session, args.on.as_deref())?,
        from: *first,
        to: *last,
    };
    let changes = |_: &Facts<'_>, plan: &Plan, before: &Plan| {
        let meals = plan.meals.keys().filter(|slot| {
            let before = before.meals.get(*slot);
            before.is_some_and(|parts| !parts.is_empty())
        });
        let cooking = plan.cooking.keys().filter(|day| {
            let before = before.cooking.get(*day);
            before.is_some_and(|parts| !parts.is_empty())
        });
        let replaced = match in_words(meals.count(), cooking.count(), "cooking day") {
            nothing if nothing.is_empty() => nothing,
            words => format!(", in place of what was planned for {words}"),
        };
        let days = words::days(span.from, span.to);
        let planned = format!("Planned {} from {days}{replaced}.", of_plan(plan));
        let rest = "What the file does not name stays as it was.".to_string();
        vec![planned, rest]
    };
    let how = (&args.anyway, args.json);
    NewPlan::of(plan, span).record((&book, &mut store), changes, how, session)
}

/// `6 meals and 1 cooking`; empty for nothing.
fn in_words(meals: usize, cooking: usize, cooking_word: &str) -> String {
    let parts = [(meals, "meal"), (cooking, cooking_word)].into_iter();
    let parts = parts.filter(|(count, _)| *count > 0);
    joined(parts.map(|(count, word)| counted(count, word)), " and ")
}

fn of_plan(plan: &Plan) -> String {
    let cooking: usize = plan.cooking.values().map(|day| day.len().max(1)).sum();
    match in_words(plan.meals.len(), cooking, "cooking") {
        nothing if nothing.is_empty() => "no meal".into(),
        words => words,
    }
}

fn text(path: &Path) -> Result<String, Failure> {
    let unread = |error: std::io::Error| {
        Problem::new(format!("cannot read “{}”: {error}", path.display()))
            .hint("name a CSV file in UTF-8, such as one by `trayful plan export`")
    };
    let mut bytes = Vec::new();
    if path == Path::new("-") {
        let stdin = std::io::stdin().lock();
        stdin
            .take(LONGEST + 1)
            .read_to_end(&mut bytes)
            .map_err(unread)?;
    } else {
        let file = std::fs::File::open(path).map_err(unread)?;
        file.take(LONGEST + 1)
            .read_to_end(&mut bytes)
            .map_err(unread)?;
    }
    if bytes.len() as u64 > LONGEST {
        let what = format!("“{}” is too long for a plan", path.display());
        return Err(Problem::new(what).hint("is it the right file?").into());
    }
    Ok(String::from_utf8(bytes).map_err(|error| unread(std::io::Error::other(error)))?)
}
