//! `trayful plan show`.

use clap::Args;
use jiff::ToSpan as _;
use trayful::household::plan_facts;
use trayful::notebook::Plan;
use trayful::planning::agenda::Agenda;
use trayful::planning::findings::findings;
use trayful::report::{Page, PlanPage, PlanReport, thawing};

use super::SpanArgs;
use crate::cli::failure::Failure;
use crate::cli::{Answer, Session};
use trayful::words;

/// Arguments of `trayful plan show`.
#[derive(Debug, Args)]
pub(super) struct ShowArgs {
    #[command(flatten)]
    span: SpanArgs,
    /// One child only
    #[arg(long, value_name = "NAME")]
    of: Option<String>,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Runs the command.
pub(super) fn run(args: &ShowArgs, session: &Session) -> Result<Answer, Failure> {
    let span = args.span.span()?;
    let book = session.book()?;
    let child = match &args.of {
        Some(name) => Some(book.named_child(Some(name))?.name.clone()),
        None => None,
    };
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
    findings.retain(|one| child.as_ref().is_none_or(|child| one.child == *child));
    let page = PlanPage {
        facts: &facts,
        agenda: &agenda,
        tomorrow: &asked(all.between(tomorrow, tomorrow)),
        from: span.from,
        to: span.to,
        findings: &findings,
        thawing: thawing()?,
    };
    let mut answer = if args.json {
        Answer::json(&PlanReport::new(&page))?
    } else if agenda.meals.is_empty() && agenda.cooking.is_empty() {
        let mut page = Page::new(session.look);
        page.paragraph(&format!(
            "Nothing is planned from {}. Plan a meal with: trayful plan set DAY MEAL \"2 RECIPE\"",
            words::days(span.from, span.to)
        ));
        Answer::text(page.finish())
    } else {
        Answer::text(page.render(session.look))
    };
    answer.found = !agenda.meals.is_empty() || !agenda.cooking.is_empty();
    Ok(answer)
}
