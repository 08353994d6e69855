//! `trayful visit`: the record of some weeks, to take along to the paediatrician.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use jiff::civil::Date;
use trayful::day::{DayReader, DayUse};
use trayful::household::{VisitFacts, usual_first_day, visit_facts, visit_span};
use trayful::next_step::NextStep;
use trayful::notebook::{Child, Settings};
use trayful::problem::Problem;
use trayful::report::{ALLERGENS, Page, VisitPage, VisitReport, WeekPage, WeekReport, WeekView};
use trayful::safety::CautionTable;
use trayful::words;

use super::again::child_option;
use super::card::{PROGRAM, PaperArg};
use super::failure::Failure;
use super::page_file::{unrendered, written};
use super::written::{NewEntries, written_down};
use super::{Answer, ChildArg, PeriodArgs, Session};

#[derive(Debug, Args)]
pub(super) struct VisitArgs {
    #[command(flatten)]
    child: ChildArg,
    #[command(flatten)]
    period: PeriodArgs,
    /// Record that the visit took place on the last day; the next one then begins there
    #[arg(long, conflicts_with = "file")]
    done: bool,
    /// A page to print, or its figures
    #[arg(long, value_name = "FORMAT", default_value = "html")]
    format: Format,
    /// The paper of the page
    #[arg(long, default_value = "letter")]
    paper: PaperArg,
    /// The file to write, such as visit.html; without one the most important is printed, or the
    /// figures; - is standard output
    file: Option<PathBuf>,
}

/// The format of the record.
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
    let child = args.child.one(session, &book)?;
    args.is_a_page()?;
    let today = session.today();
    let reader = DayReader::of_child(today, DayUse::Past, child.born);
    let (from, to) = args.period.bounds(session, &reader)?;
    let to = to.unwrap_or(today);
    let last_visit = book.store()?.last_visit(&child.name, to)?;
    let from = from.unwrap_or_else(|| usual_first_day(child, to, last_visit));
    let span = visit_span(child, from, to)?;
    if args.done {
        let mut store = book.store()?;
        let id = store.visited(&child.name, to, "")?;
        return written_down(
            &store,
            &book,
            NewEntries::of(&[id]),
            args.format == Format::Json,
            session,
        );
    }
    let pantry = session.pantry(None)?;
    let facts = visit_facts(&book, &pantry, child, span)?;
    match VisitReport::of_facts(&facts, (child, &book.settings.meals), PROGRAM)? {
        Some(_) if args.file.is_none() && args.format == Format::Html => {
            first_half(&facts, (child, &book.settings), span, session)
        }
        Some(report) => args.write(&report, session),
        None => {
            let days = words::days(span.0, span.1);
            let words = format!("Nothing is on record for {} from {days}.", child.name);
            Ok(session.paragraph(&words).found_if(false))
        }
    }
}

impl VisitArgs {
    /// Errors: the file is named as a PDF, while it would be a page of HTML.
    fn is_a_page(&self) -> Result<(), Failure> {
        let file = self.file.as_deref().filter(|_| self.format == Format::Html);
        let Some(file) = file.filter(|file| {
            file.extension()
                .is_some_and(|end| end.eq_ignore_ascii_case("pdf"))
        }) else {
            return Ok(());
        };
        let (written, page) = (file.to_string_lossy(), file.with_extension("html"));
        let what = format!("“{written}” would be a page for a browser (HTML), not a PDF");
        let hint =
            "write the page, open it in a browser, and print it there: on paper, or into a PDF";
        let problem = Problem::new(what).hint(hint);
        Err(problem.meant(&written, &page.to_string_lossy()).into())
    }

    fn write(&self, report: &VisitReport, session: &Session) -> Result<Answer, Failure> {
        let text = match self.format {
            Format::Html => {
                let paper = self.paper.paper();
                let page = VisitPage { report, paper };
                page.render().map_err(unrendered)?
            }
            Format::Csv => report.csv().map_err(unrendered)?,
            Format::Json => serde_json::to_string_pretty(report)? + "\n",
        };
        let file = self.file.as_deref().unwrap_or(Path::new("-"));
        let summary = format!(
            "Wrote the record of {} from {} into {}.{}\n",
            report.child.name,
            words::days(report.from, report.to),
            file.display(),
            if self.format == Format::Html {
                " Open it in a browser to print it."
            } else {
                ""
            }
        );
        written(file, text, &summary, session)
    }
}

/// The most questions that are named without the page.
const FEW_QUESTIONS: usize = 4;

/// What is most important of the record, in place of the page.
fn first_half(
    facts: &VisitFacts,
    (child, settings): (&Child, &Settings),
    (from, to): (Date, Date),
    session: &Session,
) -> Result<Answer, Failure> {
    let view = WeekView {
        child: &child.name,
        days: &facts.kept.days,
        week: &facts.kept.week,
        planned: false,
        tastes: Some(&facts.tastes),
        measurements: &facts.kept.measurements,
        doses: &facts.kept.doses,
        first_meal: facts.kept.first_meal,
        allergens: &ALLERGENS,
    };
    let cautions = CautionTable::builtin()?;
    let week = WeekPage {
        why: false,
        all: false,
        look: session.look,
        defer: cautions.defer(),
        defer_in_short: cautions.defer_in_short(),
        evidence: NextStep::SeeVisitPage,
    };
    let mut page = Page::new(session.look);
    let questions = facts
        .questions
        .iter()
        .map(|question| question.words.clone());
    let more = facts.questions.len().saturating_sub(FEW_QUESTIONS);
    let more = (more > 0).then(|| format!("and {more} more on the page"));
    page.listed("QUESTIONS", questions.take(FEW_QUESTIONS).chain(more));
    page.line("");
    page.line("The whole record as a page to print:");
    let option = child_option(settings, child);
    page.line(&format!(
        "trayful visit --from {from} --to {to}{option} visit.html"
    ));
    let text = week.render(&WeekReport::new(&view)?, &view) + "\n" + &page.finish();
    Ok(Answer::text(text))
}
