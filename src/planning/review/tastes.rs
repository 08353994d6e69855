//! First tastes of a plan: one at a time, with days of waiting between.

use std::collections::{BTreeMap, BTreeSet};

use jiff::ToSpan as _;
use jiff::civil::Date;

use super::foods::foods_of;
use super::{Finding, Rule};
use crate::notebook::{Child, TasteRecord};
use crate::planning::agenda::{Agenda, Outcome};
use crate::planning::facts::Facts;

/// Two new foods on a day, and new foods that come too soon, from today on.
pub(super) fn findings(facts: &Facts<'_>, child: &Child, agenda: &Agenda) -> Vec<Finding> {
    let Some(record) = facts.tastes.get(&child.name) else {
        return Vec::new();
    };
    let waiting = i64::from(facts.settings.waiting_days).days();
    let mut last = record.last_first();
    let mut found = Vec::new();
    for (day, first) in firsts(facts, record, &child.name, agenda) {
        let finding = |rule, words| Finding {
            day,
            child: child.name.clone(),
            meal: first.meal().to_string(),
            rule,
            words,
        };
        let names = first.names.join("; ");
        if first.names.len() > 1 {
            let words = format!(
                "{} new foods on one day: {names}. One at a time, a reaction is easy to place",
                first.names.len()
            );
            found.push(finding(Rule::TwoNewFoods, words));
        }
        let free = last.map(|last| last.saturating_add(waiting));
        if let Some(free) = free.filter(|free| *free > day) {
            let words = format!("{names}: new, and the next new food is due on {free}");
            found.push(finding(Rule::TooSoon, words));
        }
        last = last.max(Some(day));
    }
    found
}

/// The first tastes of a day.
#[derive(Default)]
struct Firsts<'a> {
    /// Names of the foods.
    names: Vec<String>,
    /// The meals they come in, each once.
    meals: Vec<&'a str>,
}

impl Firsts<'_> {
    /// The meal, where it is one.
    fn meal(&self) -> &str {
        match self.meals.as_slice() {
            [meal] => meal,
            _ => "",
        }
    }
}

/// The days to come that bring first tastes, in order.
fn firsts<'a>(
    facts: &Facts<'_>,
    record: &TasteRecord,
    child: &str,
    agenda: &'a Agenda,
) -> BTreeMap<Date, Firsts<'a>> {
    let mut known: BTreeSet<String> = record.known().into_keys().map(String::from).collect();
    let to_come = agenda.meals.iter().filter(|meal| {
        meal.slot.child == child && meal.slot.day >= facts.today && meal.outcome == Outcome::Open
    });
    let mut days: BTreeMap<Date, Firsts<'_>> = BTreeMap::new();
    for meal in to_come {
        for food in foods_of(facts, meal).into_values() {
            if known.insert(food.id.to_string()) {
                let day = days.entry(meal.slot.day).or_default();
                day.names.push(food.name);
                day.meals.push(&meal.slot.meal);
                day.meals.dedup();
            }
        }
    }
    days
}
