//! The grid of a week: what a child ate, what is planned for it, and what is free.

use jiff::ToSpan as _;
use jiff::civil::Date;

use super::slot_address;
use crate::notebook::{EntryDetail, LogEntry};
use crate::planning::agenda::{Agenda, AgendaMeal, AgendaPart, Outcome};
use crate::planning::facts::{Facts, Span};
use crate::report::{eaten_words, is_stopped, part_in_words, spoken_day};
use crate::safety::{Objection, tells_of_reaction};
use crate::web::rooms::at_hand::is_refused;
use crate::web::rooms::phrases;
use crate::words::joined;

/// The week of one child: what was eaten, what is planned, and what is free.
pub(super) struct PlanGrid {
    pub(super) child: String,
    pub(super) meals: Vec<String>,
    pub(super) rows: Vec<WeekRow>,
}

/// A day of the week.
pub(super) struct WeekRow {
    pub(super) day: String,
    pub(super) today: bool,
    /// Whether nothing is planned and nothing on record.
    pub(super) free: bool,
    pub(super) cells: Vec<PlanCell>,
    /// Meals on record under no name of the book.
    pub(super) others: Vec<(String, String)>,
}

/// A meal of the week.
pub(super) struct PlanCell {
    pub(super) address: String,
    pub(super) meal: String,
    /// What was eaten, or what is planned.
    pub(super) parts: Vec<String>,
    /// What it looks like, as a class: on record and eaten, not eaten, or followed by a reaction;
    /// planned and stopped; empty for any other.
    pub(super) state: &'static str,
    pub(super) became: &'static str,
    /// What an empty cell says.
    pub(super) empty: &'static str,
}

/// The facts from which the grid of one child is made.
pub(super) struct GridSource<'a> {
    pub(super) facts: &'a Facts<'a>,
    pub(super) agenda: &'a Agenda,
    pub(super) child: &'a str,
    /// The entries of the week, and of the days after it, on which more may have been seen.
    pub(super) log: &'a [LogEntry],
    /// The objections that stop planned meals.
    pub(super) objections: &'a [&'a Objection],
}

impl<'a> GridSource<'a> {
    pub(super) fn grid(&self, span: Span) -> PlanGrid {
        let days = span.from.series(1.day()).take_while(|on| *on <= span.to);
        PlanGrid {
            child: self.child.to_string(),
            meals: self.facts.settings.meals.clone(),
            rows: days.map(|on| self.row(on)).collect(),
        }
    }

    /// The meals of the child on record on a day, each with its name.
    fn eaten(&self, on: Date) -> impl Iterator<Item = (&'a String, &'a LogEntry)> {
        let child = self.child;
        let of_day = self
            .log
            .iter()
            .filter(move |entry| entry.day == on && entry.child == child);
        of_day.filter_map(|entry| match &entry.detail {
            EntryDetail::Meal { meal, .. } => Some((meal, entry)),
            _ => None,
        })
    }

    fn row(&self, on: Date) -> WeekRow {
        let meals = &self.facts.settings.meals;
        let cells: Vec<PlanCell> = meals.iter().map(|name| self.cell(on, name)).collect();
        let others = self.eaten(on).filter(|(meal, _)| !meals.contains(meal));
        let others: Vec<_> = others
            .map(|(_, entry)| (entry_address(entry), self.words_of(entry)))
            .collect();
        WeekRow {
            day: spoken_day(on),
            today: on == self.facts.today,
            free: others.is_empty() && cells.iter().all(|cell| cell.parts.is_empty()),
            cells,
            others,
        }
    }

    /// What was seen after a meal and written down later.
    fn seen_later(&self, meal: &LogEntry) -> impl Iterator<Item = &'a str> {
        let target = meal.target;
        self.log
            .iter()
            .filter_map(move |entry| match &entry.detail {
                EntryDetail::Reaction { meal, words } if *meal == target => Some(words.as_str()),
                _ => None,
            })
    }

    /// What was eaten at a meal on record, and all that was seen after it.
    fn words_of(&self, entry: &LogEntry) -> String {
        let eaten = eaten_words(entry).unwrap_or_default();
        let seen = self
            .seen_later(entry)
            .map(|words| format!("seen later: {words}"));
        joined([eaten].into_iter().chain(seen), "; ")
    }

    fn is_noted(&self, entry: &LogEntry) -> bool {
        let with_it = match &entry.detail {
            EntryDetail::Meal { reaction, .. } => reaction.as_str(),
            _ => "",
        };
        tells_of_reaction(with_it) || self.seen_later(entry).any(tells_of_reaction)
    }

    /// What a cell looks like, by its meals on record and its planned meal.
    fn state(&self, eaten: &[&LogEntry], planned: Option<&AgendaMeal>) -> &'static str {
        if eaten.iter().any(|entry| self.is_noted(entry)) {
            "noted"
        } else if eaten.is_empty() {
            let open = planned.filter(|meal| meal.outcome == Outcome::Open);
            let stopped = open.is_some_and(|meal| self.is_stopped(meal));
            if stopped { "noted" } else { "" }
        } else if eaten.iter().all(|entry| is_refused(entry)) {
            "refused"
        } else {
            "eaten"
        }
    }

    /// Whether a part of a planned meal is stopped for the child.
    fn is_stopped(&self, meal: &AgendaMeal) -> bool {
        let stops = || self.objections.iter().filter(|one| one.child == self.child);
        meal.parts.iter().any(|part| match part {
            AgendaPart::Cubes(pick, taken) => is_stopped(self.facts, &meal.slot, (pick, taken)),
            AgendaPart::Food(food) => stops().any(|stop| stop.foods.contains(&food.id.to_string())),
        })
    }

    fn cell(&self, on: Date, name: &String) -> PlanCell {
        let eaten = self.eaten(on).filter(|(meal, _)| *meal == name);
        let eaten: Vec<&LogEntry> = eaten.map(|(_, entry)| entry).collect();
        let meal = self.agenda.meals.iter().find(|meal| {
            meal.slot.day == on && meal.slot.child == self.child && meal.slot.meal == *name
        });
        let parts = meal.into_iter().flat_map(|meal| &meal.parts);
        let past = on < self.facts.today;
        PlanCell {
            address: match eaten.first() {
                Some(entry) => entry_address(entry),
                // An earlier meal is written down as it was.
                None if past => slot_address("/mix", on, self.child, name),
                None => slot_address("/week/meal", on, self.child, name),
            },
            meal: name.clone(),
            parts: if eaten.is_empty() {
                parts.map(|part| part_in_words(self.facts, part)).collect()
            } else {
                eaten.iter().map(|entry| self.words_of(entry)).collect()
            },
            state: self.state(&eaten, meal.filter(|_| !past)),
            became: match meal.map(|meal| meal.outcome) {
                Some(Outcome::Open) if !past && meal.is_some_and(|meal| self.is_stopped(meal)) => {
                    "Stop"
                }
                Some(Outcome::Open) if past => "Nothing on record",
                Some(outcome @ Outcome::Otherwise(_)) => phrases::became(outcome),
                _ => "",
            },
            empty: if past { "nothing written down" } else { "free" },
        }
    }
}

/// The address of the form of an entry.
fn entry_address(entry: &LogEntry) -> String {
    format!("/history/{}", entry.number)
}
