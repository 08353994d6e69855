//! `trayful labels`: labels for the freezer, on sheets of stickers.

use std::path::PathBuf;

use clap::Args;
use jiff::civil::Date;
use trayful::household::{BookJudge, find_cubes, known_recipes};
use trayful::notebook::{Book, FrozenBatch, Store};
use trayful::problem::{Place, Problem, SourceText, nearest};
use trayful::report::{Label, LabelPages, LabelSheet, Page, WrittenReport, objection_list};
use trayful::safety::{Objection, distinct};
use trayful::words::counted;

use super::failure::Failure;
use super::page_file::{unrendered, written};
use super::{Answer, DayArg, Session};

#[derive(Debug, Args)]
pub(super) struct LabelsArgs {
    /// Batches by number, such as 7 or "#7", or by recipe; every batch in the freezer, if left out
    #[arg(value_name = "#N|RECIPE")]
    batches: Vec<String>,
    /// The sheet of stickers: letter-3x10, letter-2x5, a4-3x7 or a4-2x7
    #[arg(long, value_name = "NAME", default_value = "letter-3x10")]
    sheet: String,
    /// The first free sticker of a part-used sheet, counted row by row
    #[arg(long, value_name = "N", default_value = "1", value_parser = clap::value_parser!(u32).range(1..=999))]
    start: u32,
    /// Labels for each batch
    #[arg(long, value_name = "N", default_value = "1", value_parser = clap::value_parser!(u16).range(1..=500))]
    copies: u16,
    /// First a page for plain paper with the outline and number of every sticker
    #[arg(long)]
    test_page: bool,
    /// The page to write, HTML; - is standard output
    #[arg(long, value_name = "FILE", default_value = "labels.html")]
    out: PathBuf,
    #[command(flatten)]
    day: DayArg,
    /// Print one JSON object about what was written
    #[arg(long)]
    json: bool,
}

/// Writes the labels.
pub(super) fn run(args: &LabelsArgs, session: &Session) -> Result<Answer, Failure> {
    let sheet = sheet(&args.sheet)?;
    if args.start > sheet.labels() {
        let what = format!("{} has {} stickers", sheet.name, sheet.labels());
        let source = SourceText::new("--start", args.start.to_string());
        return Err(Problem::at(Place::whole(&source), what)
            .hint(format!("--start is 1 to {}", sheet.labels()))
            .into());
    }
    let book = session.book()?;
    let store = book.store()?;
    let batches = batches(&args.batches, (&book, &store), session)?;
    if batches.is_empty() {
        return Ok(Answer::no(
            "The freezer is empty: there is nothing to label.\n",
        ));
    }
    let found = objections(&book, &store, &batches, args.day.ahead(session)?, session)?;
    let mut labels = Vec::new();
    for (batch, (_, objections)) in batches.into_iter().zip(&found) {
        let allergens = store.allergens_of(batch.id)?;
        let label = Label::new(batch, allergens, objections);
        labels.extend(std::iter::repeat_n(label, usize::from(args.copies)));
    }
    let pages = LabelPages {
        labels: &labels,
        sheet: &sheet,
        start: args.start,
        test_page: args.test_page,
    };
    let html = pages.render().map_err(unrendered)?;
    let grave = distinct(found.iter().flat_map(|(_, objections)| objections));
    let mut page = Page::new(session.look);
    for (title, objections) in found
        .iter()
        .filter(|(_, objections)| !objections.is_empty())
    {
        page.line(&format!("{title}:"));
        objection_list(&mut page, objections);
    }
    let text = page.finish() + &summary(args, &pages, session);
    let is_stopped = grave.iter().any(Objection::is_block);
    let answer = written(&args.out, html, &text, session)?;
    let answer = if args.json {
        session.json(&WrittenReport::new(&args.out, grave), &[])?
    } else {
        answer
    };
    Ok(Answer {
        found: answer.found && !is_stopped,
        ..answer
    })
}

/// The blocks and warnings of each batch, for the children of the book: its title and its objections.
fn objections(
    book: &Book,
    store: &Store,
    batches: &[FrozenBatch],
    day: Date,
    session: &Session,
) -> Result<Vec<(String, Vec<Objection>)>, Failure> {
    let pantry = session.pantry(None)?;
    let judge = BookJudge::new(&book.settings, Some(store), &pantry)?;
    let judged = judge.batches(store, batches, day)?;
    let found = batches.iter().zip(judged).map(|(batch, mut grave)| {
        grave.retain(Objection::bars_a_plan);
        (format!("#{} {}", batch.id, batch.title), grave)
    });
    Ok(found.collect())
}

/// The sheet of this name.
fn sheet(name: &str) -> Result<LabelSheet, Failure> {
    let sheets = LabelSheet::builtin()?;
    if let Some(sheet) = sheets.iter().find(|sheet| sheet.name == name) {
        return Ok(sheet.clone());
    }
    let known: Vec<_> = sheets
        .iter()
        .map(|sheet| format!("{} ({})", sheet.name, sheet.note))
        .collect();
    let near = nearest(name, sheets.iter().map(|sheet| sheet.name.as_str()));
    let near = near.map_or(String::new(), |near| format!("did you mean “{near}”? "));
    let source = SourceText::new("--sheet", name);
    Err(
        Problem::at(Place::whole(&source), "no such sheet of stickers")
            .hint(format!("{near}there are {}", known.join(", ")))
            .into(),
    )
}

/// The batches asked for, else all in the freezer.
fn batches(
    asked: &[String],
    (book, store): (&Book, &Store),
    session: &Session,
) -> Result<Vec<FrozenBatch>, Failure> {
    let stock = store.stock()?.into_iter();
    let frozen: Vec<_> = stock.map(|stock| stock.batch).collect();
    if asked.is_empty() {
        return Ok(frozen);
    }
    let known = known_recipes(book)?;
    let mut found = Vec::new();
    let mut problems = Vec::new();
    for text in asked {
        let number = text.trim().trim_start_matches('#').parse().ok();
        if let Some(batch) = number.map(|id| store.batch(id)).transpose()?.flatten() {
            found.push(batch);
            continue;
        }
        let named = number.is_none().then(|| find_cubes(text, &known));
        let named = named
            .transpose()
            .map(|found| found.map(|found| session.stated(found)));
        match named {
            Ok(name) => {
                let of_it = |batch: &&FrozenBatch| name.as_ref() == Some(&batch.name);
                let before = found.len();
                found.extend(frozen.iter().filter(of_it).cloned());
                if found.len() == before {
                    problems.push(unknown(text, &frozen));
                }
            }
            Err(problem) => problems.push(problem),
        }
    }
    if problems.is_empty() {
        Ok(found)
    } else {
        Err(problems.into())
    }
}

fn unknown(text: &str, frozen: &[FrozenBatch]) -> Problem {
    let frozen = frozen
        .iter()
        .map(|batch| format!("#{} {}", batch.id, batch.name));
    let hint = match frozen.collect::<Vec<_>>().as_slice() {
        [] => "the freezer is empty".to_string(),
        frozen => format!("the freezer holds {}", frozen.join(", ")),
    };
    let place = Place::whole(&SourceText::new("the batch", text));
    Problem::at(place, "there is no such batch in the freezer").hint(hint)
}

fn summary(args: &LabelsArgs, pages: &LabelPages<'_>, session: &Session) -> String {
    let mut page = Page::new(session.look);
    page.paragraph(&format!(
        "Wrote {} on {} of {} ({}) into {}.",
        counted(pages.labels.len(), "label"),
        counted(pages.sheets(), "sheet"),
        pages.sheet.name,
        pages.sheet.note,
        args.out.display()
    ));
    page.paragraph(
        "Print it at 100 % (actual size), without headers and footers: the bar at the foot must \
         measure 100 mm.",
    );
    page.finish()
}
