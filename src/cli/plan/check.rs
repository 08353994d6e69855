//! `trayful plan check`.

use clap::Args;
use serde::Serialize;
use trayful::household::plan_facts;
use trayful::notebook::Plan;
use trayful::planning::review::{Finding, review};
use trayful::report::{FindingReport, Page, spoken_day};

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
}

/// Runs the command.
pub(super) fn run(args: &CheckArgs, session: &Session) -> Result<Answer, Failure> {
    let span = args.span.span()?;
    let book = session.book()?;
    let facts = plan_facts(
        &book,
        &book.store()?,
        session.pantry(None)?,
        span,
        Plan::default(),
    )?;
    let findings = review(&facts, span.from, span.to);
    let mut answer = if args.json {
        Answer::json(&CheckReport {
            schema: 1,
            from: span.from.to_string(),
            to: span.to.to_string(),
            findings: findings.iter().map(FindingReport::new).collect(),
        })?
    } else {
        let mut page = Page::new(session.look);
        if findings.is_empty() {
            page.paragraph(&format!(
                "Nothing is wrong with the plan from {} to {}.",
                span.from, span.to
            ));
        } else {
            page.list(findings.iter().map(told));
        }
        Answer::text(page.finish())
    };
    answer.found = findings.is_empty();
    Ok(answer)
}

/// A finding in a line, with its day, child and meal.
pub(super) fn told(finding: &Finding) -> String {
    let day = spoken_day(finding.day);
    let place = [day.as_str(), &finding.child, &finding.meal];
    let place: Vec<&str> = place.into_iter().filter(|part| !part.is_empty()).collect();
    format!("{}: {}.", place.join(", "), finding.words)
}
