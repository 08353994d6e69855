//! `trayful plan show`.

use clap::Args;
use jiff::ToSpan as _;
use jiff::civil::Date;
use trayful::household::{BookJudge, plan_facts, plan_objections};
use trayful::notebook::{Book, Plan};
use trayful::planning::agenda::Agenda;
use trayful::planning::findings::findings;
use trayful::report::{Page, PlanPage, PlanReport, thawing};
use trayful::words;

use super::SpanArgs;
use crate::cli::again::{child_option, quoted};
use crate::cli::failure::Failure;
use crate::cli::{Answer, ChildArg, Session};

#[derive(Debug, Args)]
pub(super) struct ShowArgs {
    #[command(flatten)]
    span: SpanArgs,
    #[command(flatten)]
    child: ChildArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// The sentence with the command that plans a meal: of the first child, the first meal and the
/// first recipe of the book.
fn how_to_plan(book: &Book, day: Date) -> Result<String, Failure> {
    let settings = &book.settings;
    let recipes = book.named_recipes()?;
    let (Some(child), Some(meal), Some(recipe)) = (
        settings.children.first(),
        settings.meals.first(),
        recipes.first(),
    ) else {
        return Ok("How a meal is planned: `trayful plan set --help`.".into());
    };
    Ok(format!(
        "Plan a meal with `trayful plan set {day} {} \"2 {}\"{}`.",
        quoted(meal),
        recipe.name,
        child_option(settings, child)
    ))
}

/// Runs the command.
pub(super) fn run(args: &ShowArgs, session: &Session) -> Result<Answer, Failure> {
    let span = args.span.span(session)?;
    let book = session.book()?;
    let child = args.child.only(session, &book)?;
    let child = child.map(|child| child.name.clone());
    let store = book.store()?;
    let facts = plan_facts(&book, &store, session.pantry(None)?, span, Plan::default())?;
    let asked = |mut agenda: Agenda| {
        let of_child = |name: &String| child.as_ref().is_none_or(|child| child == name);
        agenda.meals.retain(|meal| of_child(&meal.slot.child));
        agenda
    };
    let all = Agenda::of(&facts);
    let tomorrow = span.today.saturating_add(1.day());
    let agenda = asked(all.clone().between(span.from, span.to));
    let mut findings = findings(&facts, span.from, span.to);
    findings.retain(|finding| child.as_ref().is_none_or(|child| finding.child == *child));
    let pantry = session.pantry(None)?;
    let judge = BookJudge::new(&book.settings, Some(&store), &pantry)?;
    let is_shown = |day: Date| (span.from..=span.to).contains(&day) || day == tomorrow;
    let is_asked = |name: &str| child.as_ref().is_none_or(|child| child == name);
    let mut objections = plan_objections(
        &judge,
        &facts,
        |slot| is_shown(slot.day) && is_asked(&slot.child),
        is_shown,
    )?;
    objections.retain(|objection| {
        objection.bars_a_plan() && (objection.child.is_empty() || is_asked(&objection.child))
    });
    let page = PlanPage {
        facts: &facts,
        agenda: &agenda,
        tomorrow: &asked(all.between(tomorrow, tomorrow)),
        from: span.from,
        to: span.to,
        objections: &objections,
        findings: &findings,
        thawing: thawing()?,
    };
    let answer = if args.json {
        session.json(&PlanReport::new(&page), &[])?
    } else if agenda.meals.is_empty() && agenda.cooking.is_empty() {
        let mut page = Page::new(session.look);
        page.paragraph(&format!(
            "Nothing is planned from {}. {}",
            words::days(span.from, span.to),
            how_to_plan(&book, span.from.max(span.today))?
        ));
        Answer::text(page.finish())
    } else {
        Answer::text(page.render(session.look))
    };
    Ok(answer.found_if(!agenda.meals.is_empty() || !agenda.cooking.is_empty()))
}
