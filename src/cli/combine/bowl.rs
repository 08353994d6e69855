//! `trayful combine --bowl`: what raises a bowl most. Nothing is recorded.

use serde::Serialize;
use trayful::household::{Mixing, Raised};
use trayful::report::{Page, decimals, objection_list};
use trayful::safety::Objection;
use trayful::words::{counted, joined};

use super::CombineArgs;
use crate::cli::failure::Failure;
use crate::cli::{Answer, Session};
use data_import::NutrientId;

#[derive(Serialize)]
struct RaisedBowlReport<'a> {
    schema: u32,
    iron_mg: Option<f64>,
    answers: Vec<RaisedReport<'a>>,
}

#[derive(Serialize)]
struct RaisedReport<'a> {
    rank: usize,
    parts: &'a [String],
    added_iron_mg: f64,
    new: &'a [String],
    objections: &'a [Objection],
}

/// Runs the command.
pub(super) fn run(args: &CombineArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let child = book.settings.child(args.of.as_deref())?;
    let day = args.day.ahead(session)?;
    let pantry = session.pantry(None)?;
    let mut mixing = Mixing::new(&book, &pantry, day)?;
    let typed = session.servings(&book, &args.bowl)?;
    let parts = mixing.parts(&typed, &|| session.pantry(None))?;
    let record = mixing.tastes(child)?;
    let most_new = args.new.unwrap_or(usize::from(!args.known));
    let raised = mixing.raising(&parts, child, &record, most_new)?;
    let iron = mixing.bowl(&parts)?.total(NutrientId::IRON).known;
    let ranked = || raised.iter().enumerate().map(|(at, one)| (at + 1, one));
    let answer = if args.json {
        let answers = ranked().map(|(rank, one)| RaisedReport {
            rank,
            parts: &one.parts,
            added_iron_mg: one.added_iron,
            new: &one.new,
            objections: &one.objections,
        });
        Answer::json(&RaisedBowlReport {
            schema: 1,
            iron_mg: iron,
            answers: answers.collect(),
        })?
    } else {
        let mut page = Page::new(session.look);
        let of_bowl = iron.map_or_else(
            || "an unknown amount of".into(),
            |iron| format!("{} mg", decimals(iron, 2)),
        );
        page.heading(&format!("The bowl brings {of_bowl} iron"));
        if raised.is_empty() {
            page.paragraph(
                "Nothing in the freezer or the cupboard raises it that speaks nothing against.",
            );
        }
        for (rank, one) in ranked() {
            told(&mut page, rank, one);
        }
        page.line("");
        page.paragraph("From tables, not advice: your child's paediatrician and your local guidance come first.");
        Answer::text(page.finish())
    };
    Ok(Answer {
        found: !raised.is_empty(),
        ..answer
    })
}

fn told(page: &mut Page, rank: usize, one: &Raised) {
    let new = match one.new.as_slice() {
        [] => String::new(),
        new => format!(
            ", {}: {}",
            counted(new.len(), "new food"),
            joined(new, "; ")
        ),
    };
    page.heading(&format!(
        "{rank}. {}: {} mg more{new}",
        joined(&one.parts, ", "),
        decimals(one.added_iron, 2)
    ));
    objection_list(page, &one.objections);
}
