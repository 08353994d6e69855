//! `trayful plan check`.

use std::collections::BTreeSet;

use clap::Args;
use jiff::ToSpan as _;
use serde::Serialize;
use trayful::household::{Wish, plan_facts, planning_request};
use trayful::notebook::Plan;
use trayful::planning::review::review;
use trayful::planning::{self, MOST_DAYS, check};
use trayful::problem::Problem;
use trayful::report::{FindingReport, Page, finding_line, spoken_day};

use super::SpanArgs;
use crate::cli::failure::Failure;
use crate::cli::{Answer, Session};

/// Arguments of `trayful plan check`.
#[derive(Debug, Args)]
pub(super) struct CheckArgs {
    #[command(flatten)]
    span: SpanArgs,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// The findings for other programs.
#[derive(Debug, Serialize)]
struct CheckReport {
    schema: u32,
    from: String,
    to: String,
    findings: Vec<FindingReport>,
    /// What could be better.
    advice: Vec<String>,
}

/// Runs the command.
pub(super) fn run(args: &CheckArgs, session: &Session) -> Result<Answer, Failure> {
    let span = args.span.span()?;
    let book = session.book()?;
    let store = book.store()?;
    let facts = plan_facts(&book, &store, session.pantry(None)?, span, Plan::default())?;
    let findings = review(&facts, span.from, span.to);
    let wish = Wish {
        days: (span.from, span.to),
        children: book.settings.children.iter().collect(),
        cook_days: BTreeSet::new(),
        trays_a_day: None,
    };
    // Of a plan that cannot be carried out there is nothing to improve yet.
    let days = span.from.series(1.day()).take_while(|day| *day <= span.to);
    let advice = if findings.is_empty() && days.count() <= MOST_DAYS {
        let pantry = session.pantry(None)?;
        advice(&planning_request(&book, &store, &pantry, &wish)?)?
    } else {
        Vec::new()
    };
    let mut answer = if args.json {
        Answer::json(&CheckReport {
            schema: 1,
            from: span.from.to_string(),
            to: span.to.to_string(),
            findings: findings.iter().map(FindingReport::new).collect(),
            advice,
        })?
    } else {
        let mut page = Page::new(session.look);
        if findings.is_empty() {
            page.paragraph(&format!(
                "Nothing is wrong with the plan from {} to {}.",
                span.from, span.to
            ));
        } else {
            page.list(findings.iter().map(finding_line));
        }
        if !advice.is_empty() {
            page.heading("WHAT COULD BE BETTER");
            page.list(advice);
        }
        Answer::text(page.finish())
    };
    answer.found = findings.is_empty();
    Ok(answer)
}

/// What could be better about the days that have a plan.
fn advice(request: &planning::Request) -> Result<Vec<String>, Failure> {
    let findings = check::check(&planning::Plan::default(), request)
        .map_err(|error| Problem::new(error.to_string()))?;
    let planned = |day| request.fixed.iter().any(|meal| Some(meal.day) == day);
    let advice = findings
        .into_iter()
        .filter(|one| !one.is_broken() && (one.day.is_none() || planned(one.day)));
    let named = |one: check::Finding| {
        let child = one.child.and_then(|child| request.children.get(child));
        let day = one.day.map(spoken_day);
        let place: Vec<&str> = day
            .as_deref()
            .into_iter()
            .chain(child.map(|child| child.name.as_str()))
            .collect();
        match place.as_slice() {
            [] => one.words,
            place => format!("{}: {}", place.join(", "), one.words),
        }
    };
    Ok(advice.map(named).collect())
}
