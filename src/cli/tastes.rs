//! `trayful tastes`: first tastes, allergens, refusals, and what a doctor cleared.

use clap::Args;
use jiff::civil::Date;
use trayful::day::Period;
use trayful::household::BookJudge;
use trayful::notebook::{Child, Clearance, Store};
use trayful::report::{CLEARANCE, Page, TasteReport, objection_list};

use trayful::safety::NotedReaction;
use trayful::words;

use super::again::{child_option, quoted};
use super::answer::take_back;
use super::failure::Failure;
use super::{Answer, ChildrenArg, DayArg, Session};

#[derive(Debug, Args)]
pub(super) struct TastesArgs {
    #[command(flatten)]
    children: ChildrenArg,
    /// Record that the doctor cleared a food after a reaction
    #[arg(long, value_name = "FOOD-ID")]
    cleared: Option<String>,
    /// What the doctor said of it
    #[arg(long, value_name = "WORDS", default_value = "", requires = "cleared")]
    words: String,
    /// Show every food and every allergen, each with its days
    #[arg(long, conflicts_with = "cleared")]
    all: bool,
    /// Only foods and allergens that were eaten or offered in the time up to the day, such as 7d, 2w or 1m
    #[arg(long, value_name = "TIME", conflicts_with = "cleared")]
    last: Option<Period>,
    #[command(flatten)]
    day: DayArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Runs the command.
pub(super) fn run(args: &TastesArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let children = args.children.all(session, &book)?;
    let on = match args.cleared {
        Some(_) => args.day.done(session, &children)?,
        None => args.day.past(session)?,
    };
    let since = args.last.map(|last| last.until(on).0);
    let mut store = book.store()?;
    let mut page = Page::new(session.look);
    if let Some(food) = &args.cleared {
        args.clear((food.trim(), on), &children, &mut store, &mut page)?;
    }
    let pantry = session.pantry(None)?;
    let mut reports = Vec::new();
    for child in &children {
        let judge = BookJudge::new(&book.settings, Some(&store), &pantry)?;
        let objections = judge.offered(child, on)?;
        let record = store.tastes(&child.name, on)?;
        let drunk = judge.milk_allergens(child, on)?;
        let asked = (on, objections);
        let mut report = TasteReport::new(&record, child, &book.settings, asked, drunk)?;
        if let Some(since) = since {
            report.keep_since(since);
        }
        reports.push(report);
    }
    if args.json {
        return session.json_of_each(&reports, &[]);
    }
    if args.cleared.is_none() {
        for (child, report) in children.iter().zip(&reports) {
            let option = child_option(&book.settings, child);
            tastes(&mut page, report, (&option, args.all || since.is_some()));
        }
    }
    Ok(Answer::text(page.finish()))
}

impl TastesArgs {
    /// Records a doctor's clearance of a food, for each child or for none.
    fn clear(
        &self,
        (food, day): (&str, Date),
        children: &[&Child],
        store: &mut Store,
        page: &mut Page,
    ) -> Result<(), Failure> {
        let of_each = children.iter().map(|child| Clearance {
            day,
            child: &child.name,
            food,
            words: self.words.trim(),
        });
        let cleared = store.clear_each(&of_each.collect::<Vec<_>>())?;
        let words = match self.words.trim() {
            "" => String::new(),
            words => format!(": {words}"),
        };
        for (child, cleared) in children.iter().zip(&cleared) {
            page.paragraph(&format!(
                "{}, {}: the doctor cleared {}{words} (entry\u{a0}{}).",
                child.name,
                words::day(day),
                cleared.name,
                cleared.entry
            ));
        }
        page.paragraph(CLEARANCE);
        let entries: Vec<i64> = cleared.iter().map(|cleared| cleared.entry).collect();
        page.line(&take_back(&entries));
        Ok(())
    }
}

fn tastes(page: &mut Page, report: &TasteReport, (option, all): (&str, bool)) {
    page.heading(&format!(
        "{}, {} old on {}",
        report.child,
        words::counted(report.age_months, "month"),
        words::day(report.day)
    ));
    objection_list(page, &report.not_noted());
    open_reactions(page, report, option);
    page.paragraph(&report.next);
    if !all {
        return in_short(page, report);
    }
    foods(page, report);
    let again = report.offer_again.iter().map(|again| again.text.clone());
    page.listed("OFFER AGAIN", again);
    allergens(page, report);
}

/// The known foods counted, with the newest; what to offer again; which allergens were eaten and which not.
fn in_short(page: &mut Page, report: &TasteReport) {
    let rows = [
        ("Known", report.known_in_short()),
        ("Offer again", report.again_in_short()),
        ("Allergens", report.allergens_eaten()),
        ("Not yet", report.allergens_not_yet()),
    ];
    let rows = rows.into_iter();
    let rows = rows.filter_map(|(label, words)| Some([label.to_string(), words?]));
    page.rows(rows, &[]);
    page.paragraph("Each food with its days, and the advice on allergens: --all.");
    page.paragraph(&report.defer);
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
        "These foods stay here, and what may hold the same is objected to, whatever is eaten or refused since, until you record that the doctor \
         cleared them, each by its id or name: `trayful tastes --cleared {}{option}`.",
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
        let rows = report.food_rows(known, words::day);
        if !rows.is_empty() {
            page.heading(heading);
        }
        let header = ["", first, "last", "meals", "accepted", "reaction"];
        page.table(header, rows, &[3, 4]);
    }
}

fn allergens(page: &mut Page, report: &TasteReport) {
    page.heading("THE NINE MAJOR ALLERGENS");
    let rows = report.allergen_rows(words::day).into_iter();
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
