//! New foods in the program: one at a time, with the waiting days between.

use super::{Formulation, Terms};
use crate::planning::frame::Frame;

impl Formulation {
    /// First tastes: each is served on its day, none within the waiting days of another, and nothing before its foods are known.
    pub(super) fn new_foods(&mut self, frame: &Frame<'_>, child: usize) {
        for (number, food) in frame.new_foods[child].iter().enumerate() {
            if food.settled.is_some() {
                continue;
            }
            for day in food.days.iter().copied() {
                let used: Terms = food
                    .within
                    .iter()
                    .filter_map(|one| Some((*self.used.get(&(child, day, *one))?, -1.0)))
                    .collect();
                if !used.is_empty() {
                    let first = self.variable(
                        Some((child, day)),
                        format!("first {child} {number} {day}"),
                        1.0,
                        true,
                        0.0,
                    );
                    self.first.insert((child, number, day), first);
                    let mut terms = used;
                    terms.push((first, 1.0));
                    self.model.at_most(terms, 0.0);
                }
            }
            let once: Terms = self.firsts(child, |one, _| one == number);
            self.model.at_most(once, 1.0);
            for (day, index) in frame.cells[child]
                .iter()
                .enumerate()
                .flat_map(|(day, _)| food.within.iter().map(move |one| (day, *one)))
            {
                if let Some(used) = self.used.get(&(child, day, index)).copied() {
                    let known = self.firsts(child, |one, first| one == number && first <= day);
                    let mut terms: Terms =
                        known.into_iter().map(|(first, _)| (first, -1.0)).collect();
                    terms.push((used, 1.0));
                    self.model.at_most(terms, 0.0);
                }
            }
        }
        for start in 0..frame.cells[child].len() {
            let within = self.firsts(child, |_, day| {
                (start..start + frame.waiting()).contains(&day)
            });
            if within.len() > 1 {
                self.model.at_most(within, 1.0);
            }
        }
    }

    fn firsts(&self, child: usize, which: impl Fn(usize, usize) -> bool) -> Terms {
        let all = self
            .first
            .iter()
            .filter(|((one, food, day), _)| *one == child && which(*food, *day));
        all.map(|(_, variable)| (*variable, 1.0)).collect()
    }
}
