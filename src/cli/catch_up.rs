//! `trayful catch-up`: days that were left out, in one step.

use clap::Args;
use jiff::civil::Date;
use trayful::day::{DayReader, DayUse};
use trayful::household::{self, CaughtUp, GapAnswer, GapAnswers, GapDay};
use trayful::notebook::{Book, Child, Store};
use trayful::report::{GapReport, Page, gap_meal_words};
use trayful::safety::Objection;
use trayful::words::{joined, long_day};

use super::again::child_option;
use super::failure::Failure;
use super::judged::{AnywayArg, stopped};
use super::written::{NewEntries, written_down};
use super::{Answer, ChildrenArg, Session};

#[derive(Debug, Args)]
pub(super) struct CatchUpArgs {
    /// Days on which the planned meals were eaten, with commas between them; `all` for every day that is left
    #[arg(long, value_name = "DAY", value_delimiter = ',')]
    as_planned: Vec<String>,
    /// Days with the same meals as the day before
    #[arg(long, value_name = "DAY", value_delimiter = ',')]
    as_before: Vec<String>,
    /// Days of which nobody knows
    #[arg(long, value_name = "DAY", value_delimiter = ',')]
    not_known: Vec<String>,
    #[command(flatten)]
    children: ChildrenArg,
    #[command(flatten)]
    anyway: AnywayArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// The word for every day that no other option names.
const ALL: &str = "all";

/// Lists the days without entries, or records what was eaten on them.
pub(super) fn run(args: &CatchUpArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let children = args.children.all(session, &book)?;
    let pantry = session.pantry(None)?;
    let mut store = book.store()?;
    let today = session.today();
    let mut gaps = Vec::new();
    for child in &children {
        let days = household::gap_days(&book, &store, &pantry, (child, today))?;
        let answers = args.answers(&days, child, session)?;
        gaps.push((days, GapAnswers { child, answers }));
    }
    let told: Vec<GapAnswers<'_>> = gaps
        .iter()
        .map(|(_, told)| told.clone())
        .filter(|told| !told.answers.is_empty())
        .collect();
    let anyway = |found: &[Objection]| args.anyway.is_meant(found, session, args.json);
    let judged = household::catch_up_each(&book, &mut store, &pantry, (&told, today), anyway)?;
    let was_stopped = judged.recorded.is_none();
    let mut recorded = judged.recorded.unwrap_or_default().into_iter();
    let mut answers = Vec::new();
    for (
        days,
        GapAnswers {
            child,
            answers: of_child,
        },
    ) in &gaps
    {
        if of_child.is_empty() {
            answers.push(listed(days, &book, child, args.json, session)?);
            continue;
        }
        let own = |one: &&Objection| one.child == child.name;
        let objections = judged.objections.iter().filter(own).cloned().collect();
        answers.push(args.caught_up((&book, &store), recorded.next(), objections, session)?);
    }
    if was_stopped && !args.json {
        let what = "Nothing was recorded. What was eaten can always be recorded: say it again with --anyway.";
        return Ok(stopped(&judged.objections, what, session));
    }
    match (answers.len(), args.json) {
        (1, _) => Ok(answers.remove(0)),
        (_, false) => Ok(Answer::of_each(answers)),
        (_, true) => {
            let found = answers.iter().all(|answer| answer.found);
            let each = answers
                .iter()
                .map(|answer| serde_json::from_str(&answer.text));
            let each: Vec<serde_json::Value> = each.collect::<Result<_, _>>()?;
            Ok(session.json_of_each(&each, &[])?.found_if(found))
        }
    }
}

impl CatchUpArgs {
    /// The answer about the days of one child; `None` where an objection stopped those of all.
    fn caught_up(
        &self,
        (book, store): (&Book, &Store),
        caught_up: Option<CaughtUp>,
        objections: Vec<Objection>,
        session: &Session,
    ) -> Result<Answer, Failure> {
        let Some(caught_up) = caught_up else {
            let nothing = NewEntries {
                objections,
                ..NewEntries::default()
            };
            return Ok(written_down(store, book, nothing, true, session)?.found_if(false));
        };
        let warnings = caught_up.warnings.iter();
        let written = NewEntries {
            entries: &caught_up.entries(),
            objections,
            more: warnings.map(|warning| format!("! {warning}.")).collect(),
        };
        written_down(store, book, written, self.json, session)
    }

    /// The answer for each day.
    fn answers(
        &self,
        gap: &[GapDay],
        child: &Child,
        session: &Session,
    ) -> Result<Vec<(Date, GapAnswer)>, Failure> {
        let reader = DayReader {
            today: session.today(),
            purpose: DayUse::Record,
            born: Some(child.born),
        };
        let each = [
            ("--as-planned", &self.as_planned, GapAnswer::AsPlanned),
            ("--as-before", &self.as_before, GapAnswer::AsDayBefore),
            ("--not-known", &self.not_known, GapAnswer::NotKnown),
        ];
        let (mut answers, mut rest) = (Vec::new(), None);
        for (option, days, answer) in each {
            for typed in days {
                if typed.trim() == ALL {
                    rest = Some(answer);
                } else {
                    answers.push((session.day(option, typed, &reader)?, answer));
                }
            }
        }
        if let Some(answer) = rest {
            let named: Vec<Date> = answers.iter().map(|(day, _)| *day).collect();
            let left = gap.iter().filter(|missing| !named.contains(&missing.day));
            answers.extend(left.map(|missing| (missing.day, answer)));
        }
        Ok(answers)
    }
}

/// The days without entries, and the commands that catch up with them.
fn listed(
    gap: &[GapDay],
    book: &Book,
    child: &Child,
    json: bool,
    session: &Session,
) -> Result<Answer, Failure> {
    if json {
        return session.json(&GapReport::new(&child.name, gap), &[]);
    }
    let name = &child.name;
    let Some(first) = gap.first() else {
        if book.store()?.first_meal(name)?.is_none() {
            let words = format!("No meal of {name} is on record yet, so that no day is left out.");
            return Ok(session.paragraph(&words));
        }
        return Ok(session.paragraph(&format!("Every day of {name} has entries.")));
    };
    let mut page = Page::new(session.look);
    page.paragraph(&format!("Days of {name} of which nothing is written down:"));
    for missing in gap {
        page.paragraph(&format!("{}.", long_day(missing.day)));
        let planned = joined(missing.planned.iter().map(gap_meal_words), "; ");
        let before = missing.before.as_ref().map(|(day, meals)| {
            let meals = joined(meals.iter().map(gap_meal_words), "; ");
            format!("as on {}: {meals}", long_day(*day))
        });
        let planned = (!planned.is_empty()).then(|| format!("planned: {planned}"));
        page.list(planned.into_iter().chain(before));
    }
    let child = child_option(&book.settings, child);
    let ways = [
        gap.iter()
            .all(|missing| !missing.planned.is_empty())
            .then_some("--as-planned"),
        first.before.is_some().then_some("--as-before"),
        Some("--not-known"),
    ];
    page.paragraph("All of them at once, or days such as 2026-11-24,2026-11-25 in place of all:");
    for way in ways.into_iter().flatten() {
        page.line(&format!("  trayful catch-up{child} {way} {ALL}"));
    }
    Ok(Answer::text(page.finish()))
}
