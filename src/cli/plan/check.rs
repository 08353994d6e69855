//! `trayful plan check`.

use clap::Args;
use serde::Serialize;
use trayful::household::{BookJudge, plan_facts, plan_objections};
use trayful::notebook::Plan;
use trayful::planning::Rule;
use trayful::planning::findings::{About, advice, findings};
use trayful::report::{FindingReport, Page, finding_line, objection_list};
use trayful::safety::Objection;
use trayful::words;

use super::SpanArgs;
use crate::cli::failure::Failure;
use crate::cli::{Answer, Session};

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
    objections: Vec<Objection>,
    findings: Vec<FindingReport>,
    /// Recommendations that the plan does not follow.
    advice: Vec<String>,
}

/// Runs the command.
pub(super) fn run(args: &CheckArgs, session: &Session) -> Result<Answer, Failure> {
    let span = args.span.span(session)?;
    let book = session.book()?;
    let store = book.store()?;
    let facts = plan_facts(&book, &store, session.pantry(None)?, span, Plan::default())?;
    let within = span.from..=span.to;
    let pantry = session.pantry(None)?;
    let judge = BookJudge::new(&book.settings, Some(&store), &pantry)?;
    let objections = plan_objections(
        &judge,
        &facts,
        |slot| within.contains(&slot.day),
        |day| within.contains(&day),
    )?;
    let findings = findings(&facts, span.from, span.to);
    let advice: Vec<String> = advice(&facts, span.from, span.to)
        .iter()
        .map(finding_line)
        .collect();
    let grave = objections.iter().any(Objection::bars_a_plan);
    let sound = findings.is_empty() && !grave;
    let answer = if args.json {
        let report = CheckReport {
            schema: 1,
            from: span.from.to_string(),
            to: span.to.to_string(),
            objections,
            findings: findings.iter().map(FindingReport::new).collect(),
            advice,
        };
        session.json(&report, &[])?
    } else {
        let mut page = Page::new(session.look);
        // The rule names the day and the meal, which the objection does not.
        let of_rule = findings
            .iter()
            .any(|finding| finding.about == About::Broken(Rule::NewFoods));
        let shown = objections
            .iter()
            .filter(|objection| !(of_rule && objection.is_about_waiting()));
        objection_list(&mut page, &shown.cloned().collect::<Vec<_>>());
        page.list(findings.iter().map(finding_line));
        if sound {
            page.paragraph(&format!(
                "Nothing{} is wrong with the plan from {}.",
                if objections.is_empty() { "" } else { " else" },
                words::days(span.from, span.to)
            ));
        }
        if !advice.is_empty() {
            page.heading("WHAT COULD BE BETTER");
            page.list(advice);
        }
        Answer::text(page.finish())
    };
    Ok(answer.found_if(sound))
}
