//! First tastes of a plan: one at a time, with days of waiting between.

use std::collections::{BTreeMap, BTreeSet};

use jiff::ToSpan as _;
use jiff::civil::Date;

use super::foods::foods_of;
use super::{Finding, Rule};
use crate::notebook::Child;
use crate::planning::agenda::{Agenda, AgendaMeal, Outcome};
use crate::planning::facts::Facts;

/// Two new foods on a day, and new foods that come too soon, from today on.
pub(super) fn findings(facts: &Facts<'_>, child: &Child, agenda: &Agenda) -> Vec<Finding> {
    let Some(record) = facts.tastes.get(&child.name) else {
        return Vec::new();
    };
    let mut known: BTreeSet<String> = record
        .foods
        .iter()
        .map(|taste| taste.food.clone())
        .collect();
    let mut last = record.last_first();
    let mut found = Vec::new();
    let to_come = agenda.meals.iter().filter(|meal| {
        meal.slot.child == child.name
            && meal.slot.day >= facts.today
            && meal.outcome == Outcome::Open
    });
    let mut days: BTreeMap<Date, Vec<&AgendaMeal>> = BTreeMap::new();
    for meal in to_come {
        days.entry(meal.slot.day).or_default().push(meal);
    }
    for (day, meals) in days {
        let mut new: Vec<String> = Vec::new();
        let mut at: Vec<&str> = Vec::new();
        for meal in meals {
            for food in foods_of(facts, meal).into_values() {
                if known.insert(food.id.to_string()) {
                    new.push(food.name);
                    at.push(&meal.slot.meal);
                }
            }
        }
        at.dedup();
        let mut report = |rule, words| {
            found.push(Finding {
                day,
                child: child.name.clone(),
                meal: if let [meal] = at.as_slice() {
                    (*meal).to_string()
                } else {
                    String::new()
                },
                rule,
                words,
            });
        };
        if new.is_empty() {
            continue;
        }
        let names = new.join("; ");
        if new.len() > 1 {
            let words = format!(
                "{} new foods on one day: {names}. One at a time, a reaction is easy to place",
                new.len()
            );
            report(Rule::TwoNewFoods, words);
        }
        let waiting = i64::from(facts.settings.waiting_days).days();
        let free = last
            .map(|last| last.saturating_add(waiting))
            .filter(|free| *free > day);
        if let Some(free) = free {
            report(
                Rule::TooSoon,
                format!("{names}: new, and the next new food is due on {free}"),
            );
        }
        last = last.max(Some(day));
    }
    found
}
