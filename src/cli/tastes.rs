//! `trayful tastes`: first tastes, allergens, refusals, and what a doctor cleared.

use clap::Args;
use jiff::civil::Date;
use trayful::household::BookJudge;
use trayful::notebook::{Child, Clearance, Store};
use trayful::report::{CLEARANCE, Page, TasteReport, objection_list};

use trayful::safety::NotedReaction;
use trayful::words;

use super::again::{child_option, quoted};
use super::failure::Failure;
use super::{Answer, ChildArg, DayArg, Session};

/// Arguments of `trayful tastes`.
#[derive(Debug, Args)]
pub(super) struct TastesArgs {
    #[command(flatten)]
    child: ChildArg,
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
    let child = args.child.one(session, &book)?;
    let on = match args.cleared {
        Some(_) => args.day.done(session, &[child])?,
        None => args.day.past(session)?,
    };
    let mut store = book.store()?;
    let mut page = Page::new(session.look);
    if let Some(food) = &args.cleared {
        args.clear((food.trim(), on), child, &mut store, &mut page)?;
    }
    let pantry = session.pantry(None)?;
    let objections = BookJudge::new(&book.settings, Some(&store), &pantry)?.offered(child, on)?;
    let record = store.tastes(&child.name, on)?;
    let report = TasteReport::new(&record, child, &book.settings, (on, objections))?;
    if args.json {
        return session.json(&report, &[]);
    }
    if args.cleared.is_none() {
        let option = child_option(&book.settings, child);
        tastes(&mut page, &report, &option);
    }
    Ok(Answer::text(page.finish()))
}

impl TastesArgs {
    /// Records a doctor's clearance of a food.
    fn clear(
        &self,
        (food, day): (&str, Date),
        child: &Child,
        store: &mut Store,
        page: &mut Page,
    ) -> Result<(), Failure> {
        let clearance = Clearance {
            day,
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

fn tastes(page: &mut Page, report: &TasteReport, option: &str) {
    page.heading(&format!(
        "{}, {} MONTHS OLD ON {}",
        report.child,
        report.age_months,
        words::day(report.day)
    ));
    objection_list(page, &report.not_noted());
    open_reactions(page, report, option);
    page.paragraph(&report.next);
    foods(page, report);
    let again = report.offer_again.iter().map(|again| again.text.clone());
    page.listed("OFFER AGAIN", again);
    allergens(page, report);
}

/// The foods after which a reaction is open; `option` names the child where a command must.
fn open_reactions(page: &mut Page, report: &TasteReport, option: &str) {
    let Some(first) = report.open_reactions.first() else {
        return;
    };
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
    page.paragraph(&format!(
        "These foods stay here, whatever is eaten or refused since, until you record that the doctor \
         cleared them, each by its id: `trayful tastes --cleared {}{option}`.",
        quoted(&first.food)
    ));
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
