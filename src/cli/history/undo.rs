//! `trayful undo` and `trayful redo`: an entry or a correction is taken back, and put back.

use clap::Args;
use trayful::household::name_planned_foods;
use trayful::notebook::{LogEntry, Reversal, Store, Undone};
use trayful::problem::Problem;
use trayful::report::{Page, UndoReport, entry_words, heading, undone_words};

use crate::cli::failure::Failure;
use crate::cli::freezer::{cubes_left, freezer_line};
use crate::cli::judged::typed_at;
use crate::cli::{Answer, Session};

#[derive(Debug, Args)]
pub(in crate::cli) struct UndoArgs {
    /// The number of the entry or the correction, as `trayful log` shows it, or several, such as 12
    /// 15-17; the last one, if left out
    #[arg(value_name = "NUMBER", value_parser = run)]
    numbers: Vec<Run>,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Entries in a row, by their first and last number.
#[derive(Debug, Clone, Copy)]
struct Run(i64, i64);

/// The most entries that are taken back at once (judgement).
const MOST_AT_ONCE: i64 = 200;

/// The number of an entry, or a run of them: `12`, `12-17`.
fn run(text: &str) -> Result<Run, String> {
    let (first, last) = text.split_once('-').unwrap_or((text, text));
    let (first, last) = (number(first)?, number(last)?);
    match last - first {
        0..MOST_AT_ONCE => Ok(Run(first, last)),
        _ => Err(format!(
            "write at most {MOST_AT_ONCE} numbers in a row, such as 12-17"
        )),
    }
}

#[derive(Debug, Args)]
pub(in crate::cli) struct RedoArgs {
    /// The number of what was taken back; the last one, if left out
    #[arg(value_name = "NUMBER", value_parser = number)]
    number: Option<i64>,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// The number of an entry on the command line: `12`, `#12`.
pub(in crate::cli) fn number(text: &str) -> Result<i64, String> {
    let number = text.trim().trim_start_matches('#').parse::<i64>();
    match number {
        Ok(number) if number > 0 => Ok(number),
        _ => Err("write the number of an entry, such as 12; `trayful log` lists them".into()),
    }
}

/// Takes an entry or a correction back.
pub(in crate::cli) fn undo(args: &UndoArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let mut store = book.store()?;
    let currency = &book.settings.currency;
    let mut numbers: Vec<i64> = args.numbers.iter().flat_map(|run| run.0..=run.1).collect();
    numbers.sort_unstable_by_key(|number| std::cmp::Reverse(*number));
    numbers.dedup();
    if numbers.is_empty() {
        match store.to_undo()? {
            Some(mut last) => {
                name_planned_foods([&mut last], session)?;
                after_no_failure(&store, &last, currency)?;
                if !args.json && !is_meant(&last, currency) {
                    return Ok(Answer::no("Nothing was taken back.\n"));
                }
                numbers.push(last.number);
            }
            None => return nothing("There is nothing to undo.\n", args.json, (&store, currency)),
        }
    }
    let mut undone = store.undo_each(&numbers, session.today())?;
    name_planned_foods(undone.iter_mut().flat_map(Undone::entries), session)?;
    let answers = undone.iter();
    let answers = answers.map(|change| answer(change, args.json, (&store, currency), session));
    let mut answers: Vec<Answer> = answers.collect::<Result<_, _>>()?;
    if args.json && answers.len() > 1 {
        let left = cubes_left(&store)?;
        let reports = undone
            .iter()
            .map(|change| UndoReport::new(Some(change), currency, left));
        let reports: Vec<UndoReport> = reports.collect();
        return Answer::json(&TakenBack {
            schema: 1,
            undone: &reports,
        });
    }
    match answers.len() {
        1 => Ok(answers.remove(0)),
        _ => Ok(Answer::of_each(answers)),
    }
}

/// Several entries that were taken back, the last first, each the object that one alone has.
#[derive(serde::Serialize)]
struct TakenBack<'a> {
    schema: u32,
    undone: &'a [UndoReport],
}

/// Puts back what was taken back.
pub(in crate::cli) fn redo(args: &RedoArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let mut store = book.store()?;
    let currency = &book.settings.currency;
    let number = match args.number {
        Some(number) => number,
        None => match store.to_redo()? {
            Some(last) => last.number,
            None => {
                return nothing(
                    "There is nothing to put back.\n",
                    args.json,
                    (&store, currency),
                );
            }
        },
    };
    let mut undone = store.redo(number, session.today())?;
    name_planned_foods(undone.entries(), session)?;
    answer(&undone, args.json, (&store, currency), session)
}

/// After a command that recorded nothing, its caller may believe that it is what an undo takes back.
fn after_no_failure(store: &Store, last: &LogEntry, currency: &str) -> Result<(), Failure> {
    let Some(command) = store.failed_command()? else {
        return Ok(());
    };
    let what = format!("the last command recorded nothing: trayful {command}");
    let entry = format!("{}, {}", heading(last), entry_words(last, currency));
    let number = last.number;
    Err(Problem::new(what)
        .hint(format!(
            "the last entry is {number}: {entry}; to take that back: trayful undo {number}"
        ))
        .into())
}

/// On a terminal the entry is named first.
fn is_meant(last: &LogEntry, currency: &str) -> bool {
    let (number, heading, words) = (last.number, heading(last), entry_words(last, currency));
    let question =
        format!("Take back entry {number}: {heading}, {words}? Enter for yes, n for no: ");
    let yes = |line: String| matches!(line.to_lowercase().as_str(), "" | "y" | "yes");
    typed_at(&question).is_none_or(|line| line.is_ok_and(yes))
}

fn nothing(words: &str, json: bool, (store, currency): (&Store, &str)) -> Result<Answer, Failure> {
    if !json {
        return Ok(Answer::no(words));
    }
    Ok(Answer::json(&UndoReport::new(None, currency, cubes_left(store)?))?.found_if(false))
}

fn answer(
    undone: &Undone,
    json: bool,
    (store, currency): (&Store, &str),
    session: &Session,
) -> Result<Answer, Failure> {
    if json {
        return Answer::json(&UndoReport::new(Some(undone), currency, cubes_left(store)?));
    }
    let mut page = Page::new(session.look);
    page.paragraph(&undone_words(undone, currency));
    if ["batch", "meal", "discard"].contains(&undone.entry.kind) {
        page.paragraph(&freezer_line(store)?);
    }
    let again = match undone.what {
        Reversal::Redo => "undo",
        _ => "redo",
    };
    page.line(&format!(
        "If that was wrong: `trayful {again} {}`.",
        undone.change
    ));
    Ok(Answer::text(page.finish()))
}
