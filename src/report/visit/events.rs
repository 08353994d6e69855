//! New foods and reactions in order, and how many foods the child knew when.

use std::collections::BTreeSet;

use jiff::civil::Date;
use serde::Serialize;

use crate::household::VisitFacts;
use crate::notebook::{Eaten, How, Reaction, Taste, TasteRecord};
use crate::nutrition::Day;
use crate::report::tastes::ALLERGENS;

/// The growth of variety.
#[derive(Debug, Clone, Serialize)]
pub struct Variety {
    pub known_before: u32,
    pub known_after: u32,
    pub events: Vec<Event>,
    /// The days of each week, from the first day on, on which an allergen was eaten or drunk.
    pub exposures: Vec<Exposure>,
}

/// The days with a major allergen, week by week.
#[derive(Debug, Clone, Serialize)]
pub struct Exposure {
    pub allergen: &'static str,
    pub days_by_week: Vec<usize>,
}

/// A first taste, or a reaction.
#[derive(Debug, Clone, Serialize)]
pub struct Event {
    pub date: Date,
    pub kind: EventKind,
    /// The mark of the event in the chart: a number for a first taste, a letter for a reaction.
    pub mark: String,
    /// The food that was new, or the parent's description of a reaction.
    pub what: String,
    /// How the first taste went; `None` for a reaction.
    pub how: Option<How>,
    /// The foods of the meal before a reaction.
    pub after: Vec<String>,
    /// The day of that meal, where it is not that of the reaction: the time between them tells a doctor something.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub meal: Option<Date>,
    /// Whether the doctor has cleared all of these foods since.
    pub cleared: bool,
    /// The first of the major allergens in a new food.
    pub allergens: Vec<String>,
}

/// The kind of an event.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum EventKind {
    /// A food was eaten for the first time, or some of it.
    FirstTaste,
    /// A reaction was seen after a meal.
    Reaction,
}

impl Variety {
    pub(super) fn new(facts: &VisitFacts, (from, to): (Date, Date)) -> Self {
        let known = facts.tastes.known_by_name();
        let count = |which: &dyn Fn(&&Date) -> bool| {
            let with = known.values().filter(which);
            with.map(|_| 1_u32).sum::<u32>()
        };
        Self {
            known_before: count(&|first| **first < from),
            known_after: count(&|first| **first <= to),
            events: events(facts, from),
            exposures: exposures(facts),
        }
    }

    /// The events of one kind.
    pub(super) fn of(&self, kind: EventKind) -> impl Iterator<Item = &Event> {
        self.events.iter().filter(move |event| event.kind == kind)
    }
}

/// Each major allergen that was eaten, or drunk in a milk other than breast milk.
fn exposures(facts: &VisitFacts) -> Vec<Exposure> {
    let had = |day: &Day, allergen: &str| {
        let mut foods = day.foods_had();
        foods.any(|food| food.allergens.iter().any(|one| one == allergen))
    };
    let all = ALLERGENS.into_iter().map(|allergen| Exposure {
        allergen,
        days_by_week: facts
            .kept
            .days
            .chunks(7)
            .map(|week| week.iter().filter(|day| had(day, allergen)).count())
            .collect(),
    });
    all.filter(|one| one.days_by_week.iter().any(|days| *days > 0))
        .collect()
}

/// The events by day, on the same day first tastes before reactions.
fn events(facts: &VisitFacts, from: Date) -> Vec<Event> {
    let new = facts.tastes.first_tastes();
    let new = new.filter_map(|taste| Some((taste.first_eaten.filter(|day| *day >= from)?, taste)));
    let mut new: Vec<_> = new.collect();
    new.sort_by_key(|(day, _)| *day);
    let new = new.into_iter().zip(1..);
    let new = new.map(|((day, taste), number)| first_taste(taste, day, number, &facts.eaten));
    let seen = facts.eaten.iter();
    let seen = seen.flat_map(|eaten| eaten.reactions.iter().map(move |seen| (eaten, seen)));
    let seen = seen.map(|(eaten, seen)| reaction(eaten, seen, &facts.tastes));
    let mut seen: Vec<Event> = seen.collect();
    let elsewhere = reactions_elsewhere(&seen, &facts.tastes);
    seen.extend(elsewhere);
    seen.sort_by_key(|event| event.date);
    for (event, at) in seen.iter_mut().zip(0..) {
        event.mark = letter(at);
    }
    let mut events: Vec<_> = new.chain(seen).collect();
    events.sort_by_key(|event| event.date);
    events
}

/// The open reactions that are not those of the meals: to what was eaten before these days, or away from the record.
fn reactions_elsewhere(seen: &[Event], tastes: &TasteRecord) -> Vec<Event> {
    let mut found: Vec<Event> = Vec::new();
    for open in tastes.open_reactions() {
        let of_meal = |event: &&Event| event.what == open.words && event.after.contains(&open.name);
        if seen.iter().any(|event| of_meal(&event)) {
            continue;
        }
        let same = |event: &&mut Event| event.what == open.words && event.date == open.day;
        match found.iter_mut().find(same) {
            Some(event) => event.after.push(open.name),
            None => found.push(Event {
                date: open.day,
                kind: EventKind::Reaction,
                mark: String::new(),
                what: open.words,
                how: None,
                after: vec![open.name],
                meal: None,
                cleared: false,
                allergens: Vec::new(),
            }),
        }
    }
    found
}

fn first_taste(taste: &Taste, day: Date, number: u32, eaten: &[Eaten]) -> Event {
    let meals = eaten
        .iter()
        .filter(|meal| meal.day == day && meal.meal.share > 0.0);
    let mut foods = meals.flat_map(|meal| {
        let servings = meal.meal.servings.iter();
        servings.flat_map(move |one| one.foods.iter().map(move |food| (meal, food)))
    });
    let found = foods.find(|(_, food)| food.id.as_str() == taste.food);
    Event {
        date: day,
        kind: EventKind::FirstTaste,
        mark: number.to_string(),
        what: taste.name.clone(),
        how: found.map(|(meal, _)| meal.how),
        after: Vec::new(),
        meal: None,
        cleared: false,
        allergens: found.map_or_else(Vec::new, |(_, food)| food.allergens.clone()),
    }
}

fn reaction(eaten: &Eaten, seen: &Reaction, tastes: &TasteRecord) -> Event {
    let foods = eaten.meal.servings.iter().flat_map(|one| &one.foods);
    let is_open = |taste: &Taste| {
        let mut foods = foods.clone();
        taste.open_reaction().is_some() && foods.any(|food| food.id.as_str() == taste.food)
    };
    let cleared = !tastes.foods.iter().any(is_open);
    let mut seen_foods = BTreeSet::new();
    let names = foods.clone().map(|food| &food.name);
    let after = names.filter(|name| seen_foods.insert(*name)).cloned();
    Event {
        date: seen.seen,
        kind: EventKind::Reaction,
        mark: String::new(),
        what: seen.words.clone(),
        how: None,
        after: after.collect(),
        meal: Some(eaten.day).filter(|day| *day != seen.seen),
        cleared,
        allergens: Vec::new(),
    }
}

/// `a` to `z`, then `a2` to `z2`.
fn letter(at: u32) -> String {
    let letter = char::from_u32(u32::from('a') + at % 26).unwrap_or('?');
    match at / 26 {
        0 => letter.to_string(),
        round => format!("{letter}{}", round + 1),
    }
}

#[cfg(test)]
mod tests {
    use super::letter;

    #[test]
    fn letters_go_on_after_z() {
        let shown: Vec<_> = [0, 25, 26, 52].into_iter().map(letter).collect();
        assert_eq!(shown, ["a", "z", "a2", "a3"]);
    }
}
