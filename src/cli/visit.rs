//! `trayful visit`: the record of some weeks, to take along to the paediatrician.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use jiff::ToSpan as _;
use jiff::civil::Date;
use trayful::food::{FoodId, Pantry};
use trayful::household::{KeptWeek, eaten_week};
use trayful::notebook::{Child, Eaten, Store};
use trayful::nutrition::IntakeTable;
use trayful::problem::Problem;
use trayful::report::{VisitPage, VisitReport, VisitView};
use trayful::safety::{CautionTable, DEFER};

use super::card::{PROGRAM, PaperArg};
use super::failure::Failure;
use super::page_file::{unrendered, written};
use super::{Answer, Session};

/// Three months at most.
const MOST_DAYS: usize = 93;

/// Arguments of `trayful visit`.
#[derive(Debug, Args)]
pub(super) struct VisitArgs {
    /// The child; may be left out where the book has one
    #[arg(long, value_name = "NAME")]
    of: Option<String>,
    /// The first day
    #[arg(long, value_name = "YYYY-MM-DD")]
    from: Date,
    /// The last day; at most three months in all
    #[arg(long, value_name = "YYYY-MM-DD")]
    to: Date,
    /// A page to print, or its figures
    #[arg(long, value_name = "FORMAT", default_value = "html")]
    format: Format,
    /// The paper of the page
    #[arg(long, default_value = "letter")]
    paper: PaperArg,
    /// The file to write; visit.html if left out, figures are then printed; - is standard output
    file: Option<PathBuf>,
}

/// How it is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// A page to print
    Html,
    /// A long table: a row for each day, item and nutrient
    Csv,
    /// One object with everything the page shows
    Json,
}

/// Writes the record.
pub(super) fn run(args: &VisitArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let child = book.settings.child(args.of.as_deref())?;
    let span = args.span(child)?;
    let pantry = session.pantry(None)?;
    let kept = eaten_week(&book, &pantry, child, span)?;
    let store = book.store()?;
    let eaten = store.eaten(&child.name, span.0, span.1)?;
    let questions = store.questions(&child.name, span.0, span.1)?;
    let cautions = CautionTable::builtin()?;
    let defer = cautions.all().iter().find(|caution| caution.id == DEFER);
    let tastes = store.tastes(&child.name, span.1)?;
    let view = VisitView {
        child,
        days: &kept.days,
        week: &kept.week,
        eaten: &eaten,
        tastes: &tastes,
        questions: &questions,
        meal_names: &book.settings.meals,
        intakes: &IntakeTable::builtin()?,
        datasets: &datasets(&kept, &eaten, &store, &pantry)?,
        defer: defer.map_or("", |caution| caution.text.as_str()),
        program: PROGRAM,
    };
    match VisitReport::new(&view)? {
        Some(report) => args.write(&report),
        None => Ok(Answer::no(format!(
            "Nothing is on record for {} from {} to {}.\n",
            child.name, span.0, span.1
        ))),
    }
}

impl VisitArgs {
    /// The first and the last day.
    fn span(&self, child: &Child) -> Result<(Date, Date), Failure> {
        let (from, to) = (self.from, self.to);
        if to < from {
            let what = format!("the last day, {to}, is before the first, {from}");
            return Err(Problem::new(what).hint("turn --from and --to round").into());
        }
        if from < child.born {
            let what = format!("{} was born on {}, after {from}", child.name, child.born);
            let hint = format!("begin on that day or later: --from {}", child.born);
            return Err(Problem::new(what).hint(hint).into());
        }
        let days = from.series(1.day()).take_while(|day| *day <= to);
        if days.take(MOST_DAYS + 1).count() > MOST_DAYS {
            let what = format!("from {from} to {to} is more than {MOST_DAYS} days");
            let hint = "take a week to three months, such as the time since the last visit";
            return Err(Problem::new(what).hint(hint).into());
        }
        Ok((from, to))
    }

    fn write(&self, report: &VisitReport) -> Result<Answer, Failure> {
        let (usual, text) = match self.format {
            Format::Html => {
                let paper = self.paper.paper();
                let page = VisitPage { report, paper };
                ("visit.html", page.render().map_err(unrendered)?)
            }
            Format::Csv => ("-", report.csv().map_err(unrendered)?),
            Format::Json => ("-", serde_json::to_string_pretty(report)? + "\n"),
        };
        let file = self.file.as_deref().unwrap_or(Path::new(usual));
        let said = format!(
            "Wrote the record of {} from {} to {} into {}.\n",
            report.child.name,
            report.from,
            report.to,
            file.display()
        );
        written(file, text, said)
    }
}

/// Where the composition of what was eaten comes from: as each batch says, and the foods in use.
fn datasets(
    kept: &KeptWeek,
    eaten: &[Eaten],
    store: &Store,
    pantry: &Pantry,
) -> Result<Vec<String>, Failure> {
    let used: BTreeSet<i64> = eaten
        .iter()
        .flat_map(|meal| meal.cubes.iter().map(|(batch, _)| *batch))
        .collect();
    let batches = store.batches()?;
    let batches = batches.into_iter().filter(|batch| used.contains(&batch.id));
    let mut named: BTreeSet<String> = batches.map(|batch| batch.dataset).collect();
    let ids: Vec<FoodId> = kept.week.names.keys().cloned().collect();
    let foods = pantry.foods(&ids)?;
    named.extend(foods.into_iter().flatten().map(|food| food.source));
    Ok(named.into_iter().filter(|name| !name.is_empty()).collect())
}
