//! How good a draft is, in whole parts of a point.

use std::collections::{BTreeMap, BTreeSet};

use super::draft::Draft;
use super::scale::{Scale, days_left, groups_open};
use super::term::Term;
use crate::planning::frame::{Cell, Frame};

/// Meals a day in which a flavour may come before it counts as repeated.
const TWICE: u32 = 2;

/// What is short of each aim, in parts of a point; less is better.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Score(pub(super) [i64; Term::ALL.len()]);

impl Score {
    /// Judges a draft.
    pub(super) fn of(frame: &Frame<'_>, scale: &Scale, draft: &Draft) -> Self {
        let mut score = Self([0; Term::ALL.len()]);
        score.nutrients(scale, draft);
        for (child, day, cell) in frame.slots() {
            let goal = &scale.energy[child][day];
            let brought: i64 = cubes_times(draft.day(child, day), &goal.per_cube);
            score.add(Term::Energy, (goal.open - brought).max(0));
            let (open, wanted) = groups_open(frame, child, day);
            let served = groups_served(frame, draft, child, day);
            let had = i64::try_from(open.intersection(&served).count()).unwrap_or(i64::MAX);
            score.add(Term::Groups, (wanted - had).max(0) * scale.group);
            score.add(
                Term::Repeats,
                i64::from(repeated(frame, cell, draft.day(child, day))) * scale.repeat,
            );
        }
        for (child, food) in &scale.again {
            let mut parts = draft.parts();
            let offered = parts.any(|(one, _, candidate, _)| {
                one == *child && frame.candidates[candidate].holds(food)
            });
            score.add(
                Term::OfferAgain,
                if offered { 0 } else { scale.not_offered },
            );
        }
        score.freezer(frame, scale, draft);
        score
    }

    fn add(&mut self, term: Term, parts: i64) {
        self.0[term.index()] += parts;
    }

    /// What is short of one aim.
    pub(super) fn get(&self, term: Term) -> i64 {
        self.0[term.index()]
    }

    /// All aims by their weights.
    pub(super) fn objective(&self) -> i64 {
        Term::ALL
            .iter()
            .map(|term| term.weight() * self.get(*term))
            .sum()
    }

    fn nutrients(&mut self, scale: &Scale, draft: &Draft) {
        let mut served: BTreeMap<usize, BTreeMap<usize, u32>> = BTreeMap::new();
        for (child, _, candidate, cubes) in draft.parts() {
            *served
                .entry(child)
                .or_default()
                .entry(candidate)
                .or_default() += cubes;
        }
        for (term, child, goal) in &scale.nutrients {
            let cubes = served.get(child).into_iter().flatten();
            let brought: i64 = cubes
                .map(|(candidate, cubes)| i64::from(*cubes) * goal.per_cube[*candidate])
                .sum();
            self.add(*term, (goal.open - brought).max(0));
        }
    }

    fn freezer(&mut self, frame: &Frame<'_>, scale: &Scale, draft: &Draft) {
        for (_, day, candidate, cubes) in draft.parts() {
            let cubes = i64::from(cubes);
            self.add(
                Term::Oldest,
                cubes * days_left(frame, candidate, day) * scale.waiting_day,
            );
            if !frame.candidates[candidate].cooked() {
                self.add(Term::Cost, cubes * scale.cost[candidate]);
            }
        }
        for (index, candidate) in frame.candidates.iter().enumerate() {
            if candidate.expires {
                self.add(
                    Term::Waste,
                    i64::from(draft.left(frame, index)) * scale.spoiled,
                );
            }
            if candidate.cooked() {
                self.add(
                    Term::Cost,
                    i64::from(draft.trays[index]) * scale.cost[index],
                );
            }
        }
    }
}

fn cubes_times(cubes: &[u32], each: &[i64]) -> i64 {
    cubes
        .iter()
        .zip(each)
        .map(|(cubes, each)| i64::from(*cubes) * each)
        .sum()
}

/// The groups on a day's plates, settled meals apart.
fn groups_served(
    frame: &Frame<'_>,
    draft: &Draft,
    child: usize,
    day: usize,
) -> BTreeSet<crate::nutrition::DietGroup> {
    let used = draft
        .day(child, day)
        .iter()
        .enumerate()
        .filter(|(_, cubes)| **cubes > 0);
    used.flat_map(|(candidate, _)| frame.candidates[candidate].groups)
        .copied()
        .collect()
}

/// Meals of a flavour that are still free of repeating on a day.
pub(super) fn free_meals(cell: &Cell, flavour: &str) -> u32 {
    TWICE.saturating_sub(cell.fixed_flavours.get(flavour).copied().unwrap_or(0))
}

/// Cubes that must lie beyond two meals of one flavour, however the day is parted into meals: more than two meals hold, or too few
/// others to fill the other meals.
fn repeated(frame: &Frame<'_>, cell: &Cell, cubes: &[u32]) -> u32 {
    let mut by_flavour: BTreeMap<&str, u32> = BTreeMap::new();
    for candidate in &cell.open {
        *by_flavour
            .entry(frame.candidates[*candidate].flavour)
            .or_default() += cubes[*candidate];
    }
    let total: u32 = by_flavour.values().sum();
    let mut beyond = 0;
    for (flavour, cubes) in by_flavour.into_iter().filter(|(_, cubes)| *cubes > 0) {
        let free = free_meals(cell, flavour);
        let others = cell.count().saturating_sub(free) * cell.least;
        let too_many = cubes.saturating_sub(free * cell.most);
        beyond += too_many.max(others.saturating_sub(total - cubes));
    }
    beyond
}
