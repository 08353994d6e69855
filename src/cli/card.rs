//! `trayful card`: a batch as one page for the kitchen wall.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use trayful::household;
use trayful::notebook::Settings;
use trayful::nutrition::AgeMonths;
use trayful::report::{
    BatchReport, BatchTables, BatchView, KitchenCard, Page, Paper, WrittenReport, objection_list,
};
use trayful::safety::Objection;

use super::batch::BatchToday;
use super::batch_options::{ScaleArgs, TrayArgs};
use super::failure::Failure;
use super::page_file::{unrendered, written};
use super::recipe::ChosenRecipe;
use super::{Answer, DayArg, Session, age};

/// The name and version of the program, for the foot of printed pages.
pub(super) const PROGRAM: &str = concat!("trayful ", env!("CARGO_PKG_VERSION"));

#[derive(Debug, Args)]
pub(super) struct CardArgs {
    /// A recipe of the book by its name, or a recipe file
    #[arg(value_name = "RECIPE")]
    recipe: Option<String>,
    #[command(flatten)]
    tray: TrayArgs,
    #[command(flatten)]
    scale: ScaleArgs,
    /// The child's age in completed months; that of the book's youngest child who eats, else 6, if left out
    #[arg(long, value_name = "MONTHS", value_parser = age)]
    age: Option<AgeMonths>,
    #[command(flatten)]
    day: DayArg,
    /// The paper
    #[arg(long, default_value = "letter")]
    paper: PaperArg,
    /// The page to write, HTML; - is standard output
    #[arg(long, value_name = "FILE", default_value = "card.html")]
    out: PathBuf,
    /// Print one JSON object about what was written
    #[arg(long)]
    json: bool,
}

/// Paper on the command line.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum PaperArg {
    /// US Letter
    Letter,
    /// A4
    A4,
}

impl PaperArg {
    pub(super) fn paper(self) -> Paper {
        match self {
            Self::Letter => Paper::Letter,
            Self::A4 => Paper::A4,
        }
    }
}

/// Writes the card.
pub(super) fn run(args: &CardArgs, session: &Session) -> Result<Answer, Failure> {
    let ChosenRecipe {
        recipe,
        book,
        pantry,
        ..
    } = session.recipe(args.recipe.as_deref(), "card")?;
    let usual = Settings::default();
    let settings = book.as_ref().map_or(&usual, |book| &book.settings);
    let tray = args.tray.resolve(settings)?;
    let target = args.scale.target(session)?;
    let batch = household::calculated(&recipe, &target, &tray, &pantry)?;
    let day = args.day.ahead(session)?;
    let pot = BatchToday {
        batch: &batch,
        tray: &tray,
        day,
    };
    let objections = pot.objections((settings, book.as_ref()), &pantry, args.age)?;
    let age = args.age;
    let age = age.unwrap_or_else(|| household::shown_age(&settings.children, day));
    let view = BatchView {
        tray: &tray,
        age,
        energy: None,
        cost: None,
        objections: &objections,
        lacks: None,
        tables: &BatchTables::builtin()?,
    };
    let report = BatchReport::new(&batch, &view);
    let card = KitchenCard {
        target: &target,
        paper: args.paper.paper(),
        program: PROGRAM,
    };
    let html = card.render(&report, &batch, &view).map_err(unrendered)?;
    let summary = format!(
        "{}Wrote the kitchen card of {} into {}.\n",
        first_lines(&objections, session),
        report.recipe,
        args.out.display()
    );
    let warnings = pantry.warnings(batch.foods().map(|food| &food.id));
    let found = !objections.iter().any(Objection::is_block);
    let mut answer = written(&args.out, html, &summary, session)?;
    if args.json {
        answer = session.json(&WrittenReport::new(&args.out, objections), &[])?;
    }
    Ok(answer.warning_of(warnings).found_if(found))
}

/// The objections as the first lines of an answer.
fn first_lines(objections: &[Objection], session: &Session) -> String {
    let mut page = Page::new(session.look);
    objection_list(&mut page, objections);
    page.finish()
}
