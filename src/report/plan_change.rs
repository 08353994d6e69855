//! The changes of a plan, in words.

use std::collections::BTreeSet;

use jiff::civil::Date;

use super::plan::spoken_day;
use crate::notebook::{Plan, PlannedCooking, PlannedFood, PlannedServing};
use crate::planning::Rule;
use crate::planning::facts::{Facts, Span};
use crate::planning::findings::{About, Finding, findings};
use crate::words::{counted, grouped};

/// The text for an empty meal.
const NOTHING: &str = "nothing";

/// The changes meal by meal; days on which the same changed are grouped.
pub fn plan_change(known: &Facts<'_>, plan: &Plan, before: &Plan) -> Vec<String> {
    let meals = plan.meals.iter().map(|(slot, parts)| {
        let is = planned_list(known, Some(parts));
        let was = was(planned_list(known, before.meals.get(slot)), &is);
        let words = format!("{}, {}: {is}{was}.", slot.child, slot.meal);
        (words, slot.day)
    });
    let cooking = plan.cooking.iter().map(|(day, cooking)| {
        let is = trays(known, Some(cooking));
        let was = was(trays(known, before.cooking.get(day)), &is);
        (format!("to cook: {is}{was}."), *day)
    });
    let changes = grouped(meals.chain(cooking));
    let line = |(words, days): (String, Vec<Date>)| match days.as_slice() {
        [first, .., last] => {
            let (first, last) = (spoken_day(*first), spoken_day(*last));
            format!("{first} to {last}, {} days, {words}", days.len())
        }
        days => {
            let day = days.first().copied().map(spoken_day);
            format!("{}, {words}", day.unwrap_or_default())
        }
    };
    changes.into_iter().map(line).collect()
}

/// The findings about the meals that were just planned.
pub fn plan_warnings(facts: &Facts<'_>, span: Span, plan: &Plan) -> Vec<String> {
    let mut found = findings(facts, span.from, span.to);
    // The objections to the new meals name new foods that come too soon.
    found.retain(|finding| finding.about != About::Broken(Rule::NewFoods));
    found.retain(|finding| {
        let mut slots = plan.meals.keys();
        let whole_day = finding.meal.is_empty();
        slots.any(|slot| {
            let same = slot.day == finding.day && slot.child == finding.child;
            same && (whole_day || slot.meal == finding.meal)
        }) || (finding.child.is_empty() && plan.cooking.contains_key(&finding.day))
    });
    let lines: BTreeSet<(Date, String)> = found
        .iter()
        .map(|finding| (finding.day, finding_line(finding)))
        .collect();
    lines.into_iter().map(|(_, line)| line).collect()
}

/// The former plan of a meal, to be appended to the new one.
fn was(was: String, is: &str) -> String {
    match was {
        was if was == is => " (as it was)".to_string(),
        was if was == NOTHING => String::new(),
        was => format!(" (before: {was})"),
    }
}

/// The planned parts of a meal, in words.
pub fn planned_list(known: &Facts<'_>, parts: Option<&Vec<PlannedServing>>) -> String {
    joined(parts.into_iter().flatten().map(|part| match part {
        PlannedServing::Cubes(pick) => format!("{} {}", pick.cubes, known.title(&pick.name)),
        PlannedServing::Food(PlannedFood { id, mass, .. }) => {
            let food = known
                .foods
                .get(id)
                .map_or(id.as_str(), |(food, _)| &food.name);
            format!("{:.0} g of {food}", mass.grams())
        }
    }))
}

fn trays(known: &Facts<'_>, cooking: Option<&Vec<PlannedCooking>>) -> String {
    joined(cooking.into_iter().flatten().map(|planned| {
        format!(
            "{} of {}",
            counted(planned.trays, "tray"),
            known.title(&planned.recipe)
        )
    }))
}

fn joined(parts: impl Iterator<Item = String>) -> String {
    let parts: Vec<String> = parts.collect();
    if parts.is_empty() {
        NOTHING.to_string()
    } else {
        parts.join(", ")
    }
}

/// A finding in a line, with its day, child and meal.
pub fn finding_line(finding: &Finding) -> String {
    let day = spoken_day(finding.day);
    let place = [day.as_str(), &finding.child, &finding.meal];
    let place: Vec<&str> = place.into_iter().filter(|part| !part.is_empty()).collect();
    format!("{}: {}.", place.join(", "), finding.words)
}
