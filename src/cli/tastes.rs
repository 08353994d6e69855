//! `trayful tastes`: first tastes, allergens, refusals, and what a doctor cleared.

use clap::Args;
use jiff::civil::Date;
use trayful::household::BookJudge;
use trayful::notebook::{Book, Child, Clearance, Store};
use trayful::report::{
    CLEARANCE, OpenLine, Page, ReactionLine, Sheet, TasteLine, TasteReport, objection_list,
};

use trayful::safety::Objection;

use super::failure::Failure;
use super::{Answer, DayArg, Session};

/// Arguments of `trayful tastes`.
#[derive(Debug, Args)]
pub(super) struct TastesArgs {
    /// The child; may be left out where the book has one
    #[arg(long, visible_alias = "to", value_name = "NAME")]
    of: Option<String>,
    /// Record that the doctor cleared a food after a reaction
    #[arg(long, value_name = "FOOD-ID")]
    cleared: Option<String>,
    /// What the doctor said of it
    #[arg(long, value_name = "WORDS", default_value = "", requires = "cleared")]
    words: String,
    #[command(flatten)]
    day: DayArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Runs the command.
pub(super) fn run(args: &TastesArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let child = book.settings.child(args.of.as_deref())?;
    let mut store = book.store()?;
    let mut page = Page::new(session.look);
    if let Some(food) = &args.cleared {
        args.clear(food.trim(), child, &mut store, &mut page)?;
    }
    let pantry = session.pantry(None)?;
    let objections =
        BookJudge::new(&book.settings, Some(&store), &pantry)?.offered(child, args.day.day())?;
    let report = report(&book, &store, child, (args.day.day(), objections))?;
    if args.json {
        return Answer::json(&report);
    }
    if args.cleared.is_none() {
        tastes(&mut page, &report);
    }
    Ok(Answer::text(page.finish()))
}

fn report(
    book: &Book,
    store: &Store,
    child: &Child,
    (day, objections): (Date, Vec<Objection>),
) -> Result<TasteReport, Failure> {
    let record = store.tastes(&child.name, day)?;
    Ok(TasteReport::new(
        &record,
        child,
        &book.settings,
        (day, objections),
    )?)
}

impl TastesArgs {
    /// Records what the doctor said of a food.
    fn clear(
        &self,
        food: &str,
        child: &Child,
        store: &mut Store,
        page: &mut Page,
    ) -> Result<(), Failure> {
        let clearance = Clearance {
            day: self.day.day(),
            child: &child.name,
            food,
            words: self.words.trim(),
        };
        let cleared = store.clear(&clearance)?;
        let said = if clearance.words.is_empty() {
            String::new()
        } else {
            format!(": {}", clearance.words)
        };
        page.paragraph(&format!(
            "{}, {}: the doctor cleared {}{said} (entry {}).",
            child.name, clearance.day, cleared.name, cleared.entry
        ));
        page.paragraph(CLEARANCE);
        page.line("Take it back with `trayful undo`.");
        Ok(())
    }
}

fn tastes(page: &mut Page, report: &TasteReport) {
    page.heading(&format!(
        "{}, {} MONTHS OLD ON {}",
        report.child, report.age_months, report.day
    ));
    // What is objected to after a reaction has a section of its own.
    let others = report
        .objections
        .iter()
        .filter(|one| one.hazard != "reaction-before");
    let others: Vec<Objection> = others.cloned().collect();
    objection_list(page, &others);
    open_reactions(page, report);
    page.paragraph(&report.next);
    foods(page, report);
    if !report.offer_again.is_empty() {
        page.heading("OFFER AGAIN");
        page.list(report.offer_again.iter().map(|again| again.text.clone()));
    }
    allergens(page, report);
}

fn open_reactions(page: &mut Page, report: &TasteReport) {
    if report.open_reactions.is_empty() {
        return;
    }
    page.heading("AFTER A REACTION: ASK THE DOCTOR FIRST");
    let line = |open: &OpenLine| {
        format!(
            "{} ({}): {} ({})",
            open.name, open.food, open.words, open.day
        )
    };
    page.list(report.open_reactions.iter().map(line));
    page.paragraph(
        "These foods stay here, whatever is eaten or refused since, until you record that the doctor \
         cleared them: `trayful tastes --cleared ID`.",
    );
    page.line("");
}

/// The known foods, and below them those that were offered and never eaten.
fn foods(page: &mut Page, report: &TasteReport) {
    let (known, new): (Vec<_>, Vec<_>) = report
        .foods
        .iter()
        .partition(|taste| taste.first_eaten.is_some());
    let tables = [
        ("KNOWN FOODS", "first", known),
        ("OFFERED, NEVER EATEN: STILL NEW", "offered", new),
    ];
    for (heading, first, tastes) in tables {
        if tastes.is_empty() {
            continue;
        }
        page.heading(heading);
        let header = ["", first, "last", "meals", "accepted", "reaction"];
        page.sheet(Sheet {
            header: header.map(String::from).to_vec(),
            rows: tastes.into_iter().map(row).collect(),
            right: vec![3, 4],
        });
    }
}

fn row(taste: &TasteLine) -> Vec<String> {
    vec![
        taste.name.clone(),
        taste.first_eaten.unwrap_or(taste.first_offered).to_string(),
        taste.last_offered.to_string(),
        taste.offers.to_string(),
        taste.eaten.to_string(),
        last_seen(&taste.reactions),
    ]
}

/// The last reaction, with its day.
fn last_seen(reactions: &[ReactionLine]) -> String {
    let last = reactions.last();
    last.map_or_else(String::new, |seen| format!("{} ({})", seen.words, seen.day))
}

fn allergens(page: &mut Page, report: &TasteReport) {
    page.heading("THE NINE MAJOR ALLERGENS");
    let rows = report.allergens.iter().map(|taste| {
        let date = |day: Option<Date>| day.map_or_else(|| "not yet".into(), |day| day.to_string());
        vec![
            taste.allergen.clone(),
            date(taste.first_eaten),
            date(taste.last_eaten),
            format!("{} in two weeks", taste.meals_in_two_weeks),
            last_seen(&taste.reactions),
        ]
    });
    let header = ["", "first", "last", "meals", "reaction"];
    page.sheet(Sheet {
        header: header.map(String::from).to_vec(),
        rows: rows.collect(),
        right: vec![],
    });
    page.line("");
    for words in &report.advice {
        page.paragraph(words);
    }
}
