//! The feeding indicators, and tastes.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::super::day::DayReport;
use super::spans;
use crate::nutrition::IndicatorResult;
use crate::nutrition::indicators::{INDICATORS_SOURCE, LEAST_GROUPS};
use crate::report::text::Page;
use crate::report::week::WeekReport;
use crate::report::week::tastes::ReactionReport;
use crate::words::{self, counted};

pub(super) fn indicators(page: &mut Page, report: &WeekReport) {
    page.heading("FEEDING INDICATORS, DAY BY DAY");
    let counted = report.days.iter().filter(|day| day.recorded);
    let rows = counted.clone().map(|day| {
        let indicators = &day.indicators;
        let doubtful = match indicators.doubtful.len() {
            0 => String::new(),
            some => format!(" (+{some}?)"),
        };
        vec![
            day.date.to_string(),
            format!("{}{doubtful} of 8", indicators.groups.len()),
            indicators.diversity.word().to_string(),
            format!("{}", indicators.meals),
            indicators.frequency.word().to_string(),
            indicators.milk_feeds.word().to_string(),
            indicators.acceptable.word().to_string(),
        ]
    });
    let header = [
        "",
        "food groups",
        "diversity",
        "meals",
        "frequency",
        "milk feeds",
        "acceptable diet",
    ];
    page.table(header, rows, &[3]);
    page.line("");
    page.list(whys(counted));
    page.paragraph(&format!(
        "Diversity: {LEAST_GROUPS} of 8 food groups, breast milk among them; (+3?) are groups that may have \
         been had besides. Frequency: 2 meals at 6 to 8 \
         months and 3 at 9 to 23 if breast-fed, else 4 with milk feeds. Milk feeds: 2, if not \
         breast-fed. Acceptable diet: all that apply. They are made for surveys of many children and \
         one day each; of one child's week they say little ({INDICATORS_SOURCE})."
    ));
}

/// The reasons why something is not known, each with its days.
fn whys<'a>(days: impl Iterator<Item = &'a DayReport>) -> Vec<String> {
    let mut reasons: BTreeMap<String, Vec<Date>> = BTreeMap::new();
    for day in days {
        let one = &day.indicators;
        let findings = [&one.diversity, &one.frequency, &one.milk_feeds];
        let unknown = findings.into_iter().filter_map(|one| match one {
            IndicatorResult::NotKnown(why) => Some(why),
            _ => None,
        });
        for why in unknown.flatten() {
            let dates = reasons.entry(why.clone()).or_default();
            if dates.last() != Some(&day.date) {
                dates.push(day.date);
            }
        }
    }
    let line = |(why, dates): (String, Vec<Date>)| format!("not known: {why} ({})", spans(&dates));
    reasons.into_iter().map(line).collect()
}

pub(super) fn tastes(page: &mut Page, report: &WeekReport) {
    let tastes = &report.tastes;
    let mut lines = Vec::new();
    if !report.planned {
        let first: Vec<_> = tastes
            .first
            .iter()
            .map(|one| format!("{} ({})", one.name, words::day(one.date)))
            .collect();
        lines.push(if first.is_empty() {
            "no food was tasted for the first time".into()
        } else {
            format!("for the first time: {}", first.join("; "))
        });
    }
    lines.extend(allergen_lines(report));
    for refusal in &tastes.refused {
        lines.push(format!(
            "refused on {}: {}",
            words::day(refusal.date),
            refusal.what.join("; ")
        ));
    }
    lines.extend(reaction_lines(report));
    if !lines.is_empty() {
        page.heading("TASTES");
        page.list(lines);
    }
}

/// What was noted after meals, the gravest first, each without its full stop.
pub fn reaction_lines(report: &WeekReport) -> Vec<String> {
    let line = |reaction: &ReactionReport| {
        let then = if reaction.open {
            "Ask your paediatrician before it is offered again"
        } else {
            "The doctor cleared it since"
        };
        format!(
            "noted on {} after {}: {}. {then}",
            words::day(reaction.date),
            reaction.foods.join("; "),
            reaction.words
        )
    };
    report.tastes.reactions.iter().map(line).collect()
}

fn allergen_lines(report: &WeekReport) -> Vec<String> {
    let (had, not): (Vec<_>, Vec<_>) = report
        .tastes
        .allergens
        .iter()
        .partition(|one| !one.days.is_empty());
    let had = had
        .iter()
        .map(|one| format!("{} ({})", one.allergen, counted(one.days.len(), "day")));
    let had: Vec<_> = had.collect();
    let known = not.iter().filter(|one| one.first.is_some());
    let known: Vec<_> = known.map(|one| one.allergen.as_str()).collect();
    let mut lines = Vec::new();
    if !had.is_empty() {
        lines.push(format!("major allergens eaten: {}", had.join(", ")));
    }
    if !known.is_empty() {
        lines.push(format!(
            "major allergens eaten before, and not on these days: {}. Once eaten, they are kept up \
             (NIAID addendum guidelines, 2017, for peanut; the rest common practice, no source)",
            known.join(", ")
        ));
    }
    lines
}
