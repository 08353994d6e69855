//! Every figure of a request as whole parts of a point, so that a plan is judged without rounding.

use std::collections::BTreeSet;

use data_import::{FoodId, NutrientId};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

use super::term::{OVER_ALL_DAYS, Term};
use crate::nutrition::{DietGroup, Serving};
use crate::planning::frame::Frame;

/// Parts of a point.
pub(super) const PARTS: i64 = 10_000;

/// A goal in parts of a point, what is there already, and what a cube of each candidate brings.
#[derive(Debug, Clone, Default)]
pub(super) struct Goal {
    pub(super) open: i64,
    pub(super) per_cube: Vec<i64>,
}

/// What the terms are made of.
#[derive(Debug)]
pub(super) struct Scale {
    /// Nutrients that count over all days: term, child, goal.
    pub(super) nutrients: Vec<(Term, usize, Goal)>,
    /// By child and day.
    pub(super) energy: Vec<Vec<Goal>>,
    /// For each food group that a day is short of.
    pub(super) group: i64,
    /// For each cube of a flavour beyond two meals.
    pub(super) repeat: i64,
    /// Child and food that is to be offered again, and for each that is not.
    pub(super) again: Vec<(usize, FoodId)>,
    pub(super) not_offered: i64,
    /// For a cube of a candidate that could have waited a day longer.
    pub(super) waiting_day: i64,
    /// For each cube that spoils.
    pub(super) spoiled: i64,
    /// By candidate: for a cube of a batch, or for a tray.
    pub(super) cost: Vec<i64>,
}

impl Scale {
    pub(super) fn new(frame: &Frame<'_>) -> Self {
        let most_cubes: i64 = frame
            .slots()
            .map(|(_, _, cell)| i64::from(cell.count() * cell.most))
            .sum();
        let days = i64::try_from(frame.slots().count()).unwrap_or(i64::MAX);
        let wanted = frame
            .request
            .children
            .iter()
            .map(|child| i64::from(child.groups_wanted))
            .max();
        let again = again(frame);
        let longest = frame.slots().flat_map(|(_, day, cell)| {
            cell.open.iter().map(move |one| days_left(frame, *one, day))
        });
        let spoiling = frame
            .candidates
            .iter()
            .filter(|one| one.expires)
            .map(|one| i64::from(one.most_cubes()));
        Self {
            nutrients: nutrients(frame),
            energy: energy(frame),
            group: share(Term::Groups, days * wanted.unwrap_or(1)),
            repeat: share(Term::Repeats, most_cubes),
            not_offered: share(Term::OfferAgain, i64::try_from(again.len()).unwrap_or(1)),
            again,
            waiting_day: share(Term::Oldest, most_cubes * longest.max().unwrap_or(1).max(1)),
            spoiled: share(Term::Waste, spoiling.sum()),
            cost: cost(frame, most_cubes),
        }
    }
}

/// All parts of a term's points, divided by a number.
fn share(term: Term, among: i64) -> i64 {
    term.points() * PARTS / among.max(1)
}

/// Days that cubes of a candidate could still wait on a day.
pub(super) fn days_left(frame: &Frame<'_>, candidate: usize, day: usize) -> i64 {
    let use_by = frame.candidates[candidate].use_by;
    let days = frame.request.days[day]
        .until(use_by)
        .map_or(0, |span| span.get_days());
    i64::from(days).max(0)
}

/// The part of the goal's points that an amount is of the whole; what is not known is nothing.
#[expect(
    clippy::cast_possible_truncation,
    reason = "points are few and amounts are bounded"
)]
fn parts(points: i64, amount: f64, whole: f64) -> i64 {
    let share = (amount / whole).clamp(0.0, 1e6);
    if share.is_finite() {
        (points as f64 * share).round() as i64
    } else {
        0
    }
}

fn known(serving: &Serving, nutrient: NutrientId) -> f64 {
    serving.total(nutrient).known.unwrap_or(0.0)
}

fn goal(frame: &Frame<'_>, nutrient: NutrientId, points: i64, whole: f64, had: f64) -> Goal {
    if whole <= 0.0 {
        return Goal {
            open: 0,
            per_cube: vec![0; frame.candidates.len()],
        };
    }
    let per_cube = frame
        .candidates
        .iter()
        .map(|one| parts(points, known(one.cube, nutrient), whole));
    Goal {
        open: (points - parts(points, had, whole)).max(0),
        per_cube: per_cube.collect(),
    }
}

fn nutrients(frame: &Frame<'_>) -> Vec<(Term, usize, Goal)> {
    let mut all = Vec::new();
    for (term, nutrient) in OVER_ALL_DAYS
        .iter()
        .filter_map(|term| Some((*term, term.nutrient()?)))
    {
        let with: Vec<_> = frame
            .request
            .children
            .iter()
            .enumerate()
            .filter_map(|(child, eater)| Some((child, eater.targets.get(&nutrient)?)))
            .collect();
        let points = share(term, i64::try_from(with.len()).unwrap_or(1));
        for (child, target) in with {
            let settled = frame.cells[child].iter().flat_map(|cell| &cell.fixed);
            let days = frame.cells[child].len() as f64;
            let had = target.from_milk * days
                + settled.map(|serving| known(serving, nutrient)).sum::<f64>();
            all.push((
                term,
                child,
                goal(frame, nutrient, points, target.per_day * days, had),
            ));
        }
    }
    all
}

fn energy(frame: &Frame<'_>) -> Vec<Vec<Goal>> {
    let points = share(
        Term::Energy,
        i64::try_from(frame.slots().count()).unwrap_or(1),
    );
    let children = frame.cells.iter().zip(&frame.request.children);
    let of_child = children.map(|(cells, eater)| {
        let days = cells.iter().zip(&eater.days);
        let of_day = days.map(|(cell, need)| {
            let had: f64 = cell
                .fixed
                .iter()
                .map(|serving| known(serving, NutrientId::ENERGY))
                .sum();
            goal(
                frame,
                NutrientId::ENERGY,
                points,
                f64::from(need.energy_kcal),
                had,
            )
        });
        of_day.collect()
    });
    of_child.collect()
}

/// Refused foods that some meal could offer again.
fn again(frame: &Frame<'_>) -> Vec<(usize, FoodId)> {
    let mut all = Vec::new();
    for (child, eater) in frame.request.children.iter().enumerate() {
        let open: BTreeSet<usize> = frame.cells[child]
            .iter()
            .flat_map(|cell| cell.open.iter().copied())
            .collect();
        let settled = |food: &FoodId| {
            frame.cells[child]
                .iter()
                .flat_map(|cell| &cell.fixed)
                .any(|one| one.foods.iter().any(|one| one.id == *food))
        };
        let can = |food: &&FoodId| {
            !settled(food) && open.iter().any(|one| frame.candidates[*one].holds(food))
        };
        all.extend(
            eater
                .offer_again
                .iter()
                .filter(can)
                .map(|food| (child, food.clone())),
        );
    }
    all
}

/// Against the dearest plan there could be.
fn cost(frame: &Frame<'_>, most_cubes: i64) -> Vec<i64> {
    let a_cube = |index: usize| {
        let one = &frame.candidates[index];
        let cubes = if one.cooked() { one.cubes.max(1) } else { 1 };
        one.cost
            .checked_div(Decimal::from(cubes))
            .unwrap_or_default()
    };
    let dearest = (0..frame.candidates.len())
        .map(a_cube)
        .max()
        .unwrap_or_default();
    let whole = dearest * Decimal::from(most_cubes);
    let part = |cost: Decimal| {
        let points = Decimal::from(Term::Cost.points() * PARTS);
        let parts = (cost * points).checked_div(whole).unwrap_or_default();
        parts.round().to_i64().unwrap_or(i64::MAX / 1_000_000)
    };
    frame.candidates.iter().map(|one| part(one.cost)).collect()
}

/// The groups that a child still has to get on a day, and how many are wanted beside those that are settled.
pub(super) fn groups_open(
    frame: &Frame<'_>,
    child: usize,
    day: usize,
) -> (BTreeSet<DietGroup>, i64) {
    let cell = &frame.cells[child][day];
    let wanted = i64::from(frame.request.children[child].groups_wanted);
    let had = i64::try_from(cell.fixed_groups.len()).unwrap_or(i64::MAX);
    let open = cell
        .open
        .iter()
        .flat_map(|one| frame.candidates[*one].groups)
        .copied();
    (
        open.filter(|group| !cell.fixed_groups.contains(group))
            .collect(),
        (wanted - had).max(0),
    )
}
