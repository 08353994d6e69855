//! Constraints on how often a dish is served in a week, and how often in a row.

use std::collections::BTreeSet;

use jiff::ToSpan as _;
use jiff::civil::Date;

use super::Formulation;
use crate::planning::Rule;
use crate::planning::indexed_request::{IndexedRequest, holds_dish};
use crate::planning::rules::table::{A_CHOICE, DISH_A_WEEK, FREE_MEALS, IN_A_ROW};

/// Days in a week.
const WEEK_DAYS: u32 = 7;

impl Formulation {
    /// The meals of a dish in a week: each beyond the free ones costs more than the one before.
    pub(super) fn variety(&mut self, index: &IndexedRequest<'_>, child: usize) {
        let choice = index.choice(child) >= A_CHOICE;
        for name in names(index) {
            for days in windows(index, WEEK_DAYS) {
                if choice {
                    self.no_more_meals(index, child, (name, &days), DISH_A_WEEK);
                }
            }
            for week in index.request.days.chunks(WEEK_DAYS as usize) {
                let of_week = self.dish_on(index, child, name, week);
                if of_week.is_empty() {
                    continue;
                }
                let trays = self.trays_alone(index, name);
                let mut terms = of_week;
                for step in FREE_MEALS..=DISH_A_WEEK {
                    let further = f64::from(step - FREE_MEALS + 1);
                    let worth = -Rule::Variety.points() * further;
                    let high = if step == DISH_A_WEEK { 100.0 } else { 1.0 };
                    let beyond = self.model.part(high, (Rule::Variety, worth));
                    terms.push((beyond, -1.0));
                    if step < DISH_A_WEEK && !trays.is_empty() {
                        self.model.no_more_than(beyond, &trays, 0.0);
                    }
                }
                let (free, settled) = (f64::from(FREE_MEALS), settled(index, child, name, week));
                // A part of a tray allows no more than that part of the meals; otherwise fractions
                // of many dishes would count as variety.
                if settled == 0.0 && !trays.is_empty() {
                    let of_trays = trays.iter().map(|(tray, _)| (*tray, -free));
                    let terms = terms.iter().copied().chain(of_trays);
                    self.model.at_most(terms.collect(), 0.0);
                }
                self.model.at_most(terms, free - settled);
            }
        }
    }

    /// No dish at more meals in a row than the table allows. Three and more meals a day always have
    /// an order that keeps this where no dish comes more than twice; with one or two meals, the
    /// fewest that a day of the plan needs, the days themselves must keep it. Settled meals do not
    /// move: around them there are no more meals than may come in a row.
    pub(super) fn rows_of_meals(&mut self, index: &IndexedRequest<'_>, child: usize) {
        let eater = &index.request.children[child];
        let days = index.request.days.iter();
        let fewest = days.map(|day| eater.meals_needed(*day)).min();
        let (free, around_settled) = match fewest.unwrap_or(0) {
            0 | 1 => (Some(IN_A_ROW + 1), IN_A_ROW + 1),
            2 => (Some(2), 3),
            _ => (None, 2),
        };
        let most = IN_A_ROW;
        for name in names(index) {
            for window in free.into_iter().flat_map(|days| windows(index, days)) {
                self.no_more_meals(index, child, (name, &window), most);
            }
            for window in windows(index, around_settled) {
                if settled(index, child, name, &window) > 0.0 {
                    self.no_more_meals(index, child, (name, &window), most);
                }
            }
        }
    }

    /// The trays of a dish without cubes yet; empty where some are in the freezer.
    fn trays_alone(&self, index: &IndexedRequest<'_>, name: &str) -> Vec<(usize, f64)> {
        let lots = index.lots.iter().enumerate();
        let of_it = lots.filter(|(_, lot)| index.dishes[lot.dish].name == name && lot.cubes > 0);
        let trays: Option<Vec<usize>> = of_it
            .map(|(lot, _)| self.trays.get(&lot).copied())
            .collect();
        let trays = trays.unwrap_or_default().into_iter();
        trays.map(|tray| (tray, 1.0)).collect()
    }

    fn no_more_meals(
        &mut self,
        index: &IndexedRequest<'_>,
        child: usize,
        (name, days): (&str, &[Date]),
        most: u32,
    ) {
        let meals = self.dish_on(index, child, name, days);
        let possible: f64 = meals
            .iter()
            .map(|(variable, _)| self.model.variables[*variable].high)
            .sum();
        let open = f64::from(most) - settled(index, child, name, days);
        if possible > open {
            self.model.at_most(meals, open.max(0.0));
        }
    }

    fn dish_on(
        &self,
        index: &IndexedRequest<'_>,
        child: usize,
        name: &str,
        days: &[Date],
    ) -> Vec<(usize, f64)> {
        self.meals_where(child, |day, dish| {
            index.dishes[dish].name == name && days.contains(&index.request.days[day])
        })
    }
}

fn names<'a>(index: &IndexedRequest<'a>) -> BTreeSet<&'a str> {
    index.dishes.iter().map(|dish| dish.name).collect()
}

/// Settled meals with a dish on some days.
fn settled(index: &IndexedRequest<'_>, child: usize, name: &str, days: &[Date]) -> f64 {
    let fixed = index.fixed_of(child);
    let with = fixed.filter(|meal| days.contains(&meal.day) && holds_dish(meal, name));
    with.count() as f64
}

/// Every window of consecutive days that contains a day of the plan.
pub(super) fn windows(index: &IndexedRequest<'_>, length: u32) -> Vec<Vec<Date>> {
    let (Some(first), Some(last)) = (index.request.days.first(), index.request.days.last()) else {
        return Vec::new();
    };
    let before = i64::from(length) - 1;
    let from = first.saturating_sub(before.days());
    let starts = from.series(1.day()).take_while(|day| day <= last);
    let window = |start: Date| start.series(1.day()).take(length as usize).collect();
    let mut all: Vec<Vec<Date>> = starts.map(window).collect();
    // A window that reaches past the plan allows no more than the one before it.
    let within = all
        .iter()
        .filter(|days: &&Vec<Date>| days.last() <= Some(last))
        .count();
    all.truncate(within.max(1));
    all
}
