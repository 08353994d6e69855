//! `trayful tastes`: first tastes, allergens, refusals, and what a doctor cleared.

use clap::Args;
use trayful::household::BookJudge;
use trayful::notebook::{Child, Clearance, Store};
use trayful::report::{CLEARANCE, Page, TasteReport, objection_list};

use trayful::safety::NotedReaction;
use trayful::words;

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
    let child = book.named_child(args.of.as_deref())?;
    let mut store = book.store()?;
    let mut page = Page::new(session.look);
    if let Some(food) = &args.cleared {
        args.clear(food.trim(), child, &mut store, &mut page)?;
    }
    let pantry = session.pantry(None)?;
    let objections =
        BookJudge::new(&book.settings, Some(&store), &pantry)?.offered(child, args.day.day())?;
    let (record, on) = (store.tastes(&child.name, args.day.day())?, args.day.day());
    let report = TasteReport::new(&record, child, &book.settings, (on, objections))?;
    if args.json {
        return Answer::json(&report);
    }
    if args.cleared.is_none() {
        tastes(&mut page, &report);
    }
    Ok(Answer::text(page.finish()))
}

impl TastesArgs {
    /// Records a doctor's clearance of a food.
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
        let words = if clearance.words.is_empty() {
            String::new()
        } else {
            format!(": {}", clearance.words)
        };
        page.paragraph(&format!(
            "{}, {}: the doctor cleared {}{words} (entry {}).",
            child.name,
            words::day(clearance.day),
            cleared.name,
            cleared.entry
        ));
        page.paragraph(CLEARANCE);
        page.line("Take it back with `trayful undo`.");
        Ok(())
    }
}

fn tastes(page: &mut Page, report: &TasteReport) {
    page.heading(&format!(
        "{}, {} MONTHS OLD ON {}",
        report.child,
        report.age_months,
        words::day(report.day)
    ));
    objection_list(page, &report.not_noted());
    open_reactions(page, report);
    page.paragraph(&report.next);
    foods(page, report);
    let again = report.offer_again.iter().map(|again| again.text.clone());
    page.listed("OFFER AGAIN", again);
    allergens(page, report);
}

fn open_reactions(page: &mut Page, report: &TasteReport) {
    if report.open_reactions.is_empty() {
        return;
    }
    page.heading("AFTER A REACTION: ASK THE DOCTOR FIRST");
    let line = |open: &NotedReaction| {
        format!(
            "{} ({}): {} ({})",
            open.name,
            open.food,
            open.words,
            words::day(open.day)
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
    for (heading, first, known) in [
        ("KNOWN FOODS", "first", true),
        ("OFFERED, NEVER EATEN: STILL NEW", "offered", false),
    ] {
        let rows = report.food_rows(known, |day| day.to_string());
        if !rows.is_empty() {
            page.heading(heading);
        }
        let header = ["", first, "last", "meals", "accepted", "reaction"];
        page.table(header, rows, &[3, 4]);
    }
}

fn allergens(page: &mut Page, report: &TasteReport) {
    page.heading("THE NINE MAJOR ALLERGENS");
    let rows = report.allergen_rows(|day| day.to_string()).into_iter();
    let rows = rows.map(|mut row| {
        row[3] += " in two weeks";
        row
    });
    let header = ["", "first", "last", "meals", "reaction"];
    page.table(header, rows, &[]);
    page.line("");
    for words in &report.advice {
        page.paragraph(words);
    }
}
