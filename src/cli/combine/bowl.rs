//! `trayful combine --bowl`: what adds the most iron to a bowl. Nothing is recorded.

use data_import::NutrientId;
use serde::Serialize;
use trayful::household::{Mixing, Raised};
use trayful::report::{Page, decimals, objection_list};
use trayful::safety::Objection;
use trayful::words::{counted, joined};

use super::CombineArgs;
use crate::cli::failure::Failure;
use crate::cli::{Answer, Session};

#[derive(Serialize)]
struct RaisedBowlReport<'a> {
    schema: u32,
    iron_mg: Option<f64>,
    objections: Vec<Objection>,
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
    let objections = mixing.before_serving(&parts, child, &record)?.objections;
    let is_stopped = objections.iter().any(Objection::is_block);
    let ranked = || {
        raised
            .iter()
            .enumerate()
            .map(|(at, suggestion)| (at + 1, suggestion))
    };
    let answer = if args.json {
        let answers = ranked().map(|(rank, suggestion)| RaisedReport {
            rank,
            parts: &suggestion.parts,
            added_iron_mg: suggestion.added_iron,
            new: &suggestion.new,
            objections: &suggestion.objections,
        });
        Answer::json(&RaisedBowlReport {
            schema: 1,
            iron_mg: iron,
            objections,
            answers: answers.collect(),
        })?
    } else {
        let mut page = Page::new(session.look);
        objection_list(&mut page, &objections);
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
        for (rank, suggestion) in ranked() {
            add_suggestion(&mut page, rank, suggestion);
        }
        page.line("");
        page.paragraph("From tables, not advice: your child's paediatrician and your local guidance come first.");
        Answer::text(page.finish())
    };
    Ok(answer.found_if(!raised.is_empty() && !is_stopped))
}

/// Adds a suggestion: what it adds to the bowl, the iron of that, and the objections to it.
fn add_suggestion(page: &mut Page, rank: usize, suggestion: &Raised) {
    let new = match suggestion.new.as_slice() {
        [] => String::new(),
        new => format!(
            ", {}: {}",
            counted(new.len(), "new food"),
            joined(new, "; ")
        ),
    };
    page.heading(&format!(
        "{rank}. {}: {} mg more{new}",
        joined(&suggestion.parts, ", "),
        decimals(suggestion.added_iron, 2)
    ));
    objection_list(page, &suggestion.objections);
}
