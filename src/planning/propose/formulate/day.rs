//! One day of a child in the program: cubes a meal, energy, food groups, flavours.

use std::collections::BTreeSet;

use super::{Formulation, Terms, points, weighed};
use crate::planning::frame::{Cell, Frame};
use crate::planning::propose::scale::{PARTS, Scale, days_left, groups_open};
use crate::planning::propose::score::free_meals;
use crate::planning::propose::term::Term;

impl Formulation {
    /// One day of a child: cubes, energy, groups, flavours.
    pub(super) fn day(
        &mut self,
        frame: &Frame<'_>,
        scale: &Scale,
        owner: (usize, usize),
        cell: &Cell,
    ) {
        let (child, day) = owner;
        let goal = &scale.energy[child][day];
        if cell.meals.is_empty() {
            self.model.offset += weighed(Term::Energy, goal.open);
            self.model.offset +=
                weighed(Term::Groups, groups_open(frame, child, day).1 * scale.group);
            return;
        }
        let (mut all, mut kinds, mut energy) = (Terms::new(), Terms::new(), Terms::new());
        for index in cell.open.iter().copied() {
            let (cubes, used) = self.serve(frame, scale, owner, index);
            all.push((cubes, 1.0));
            kinds.push((used, 1.0));
            energy.push((cubes, points(goal.per_cube[index])));
        }
        let meals = f64::from(cell.count());
        self.totals.insert(owner, self.model.rows.len());
        self.model.row(
            all.clone(),
            meals * f64::from(cell.least),
            meals * f64::from(cell.most),
        );
        self.model.at_most(kinds, f64::from(cell.kinds()));
        let short = self.variable(
            Some(owner),
            format!("energy {child} {day}"),
            f64::INFINITY,
            false,
            weighed(Term::Energy, PARTS),
        );
        energy.push((short, 1.0));
        self.model.at_least(energy, points(goal.open));
        self.groups(frame, scale, owner, cell);
        self.flavours(frame, scale, owner, cell, &all);
    }

    fn serve(
        &mut self,
        frame: &Frame<'_>,
        scale: &Scale,
        owner: (usize, usize),
        index: usize,
    ) -> (usize, usize) {
        let ((child, day), candidate) = (owner, &frame.candidates[index]);
        let cell = &frame.cells[child][day];
        let most = f64::from((cell.count() * cell.most).min(candidate.most_cubes()));
        let mut cost = weighed(
            Term::Oldest,
            days_left(frame, index, day) * scale.waiting_day,
        );
        if candidate.expires {
            cost -= weighed(Term::Waste, scale.spoiled);
        }
        if !candidate.cooked() {
            cost += weighed(Term::Cost, scale.cost[index]);
        }
        let cubes = self.variable(
            Some(owner),
            format!("cubes {child} {day} {index}"),
            most,
            true,
            cost,
        );
        let used = self.variable(
            Some(owner),
            format!("used {child} {day} {index}"),
            1.0,
            true,
            0.0,
        );
        self.model.at_most(vec![(cubes, 1.0), (used, -most)], 0.0);
        self.model.at_most(vec![(cubes, -1.0), (used, 1.0)], 0.0);
        self.cubes.insert((child, day, index), cubes);
        self.used.insert((child, day, index), used);
        (cubes, used)
    }

    fn groups(&mut self, frame: &Frame<'_>, scale: &Scale, owner: (usize, usize), cell: &Cell) {
        let (child, day) = owner;
        let (open, wanted) = groups_open(frame, child, day);
        if wanted == 0 {
            return;
        }
        let mut had = Terms::new();
        for group in open {
            let with: Vec<_> = cell
                .open
                .iter()
                .filter(|one| frame.candidates[**one].groups.contains(&group))
                .collect();
            let served = self.variable(
                Some(owner),
                format!("group {child} {day} {}", group.word()),
                1.0,
                false,
                0.0,
            );
            let mut terms: Terms = with
                .into_iter()
                .map(|one| (self.used[&(child, day, *one)], -1.0))
                .collect();
            terms.push((served, 1.0));
            self.model.at_most(terms, 0.0);
            had.push((served, 1.0));
        }
        let short = self.variable(
            Some(owner),
            format!("groups {child} {day}"),
            f64::INFINITY,
            false,
            weighed(Term::Groups, scale.group),
        );
        had.push((short, 1.0));
        self.model.at_least(had, wanted as f64);
    }

    fn flavours(
        &mut self,
        frame: &Frame<'_>,
        scale: &Scale,
        owner: (usize, usize),
        cell: &Cell,
        all: &Terms,
    ) {
        let (child, day) = owner;
        let flavours: BTreeSet<&str> = cell
            .open
            .iter()
            .map(|one| frame.candidates[*one].flavour)
            .collect();
        for flavour in flavours {
            let free = free_meals(cell, flavour);
            if free >= cell.count() {
                continue;
            }
            let of = |one: &usize| frame.candidates[*one].flavour == flavour;
            let (mut same, mut others) = (Terms::new(), Terms::new());
            for (index, (cubes, _)) in cell.open.iter().zip(all) {
                if of(index) {
                    same.push((*cubes, 1.0));
                } else {
                    others.push((*cubes, 1.0));
                }
            }
            let cost = weighed(Term::Repeats, scale.repeat);
            let beyond = self.variable(
                Some(owner),
                format!("repeats {child} {day} {flavour}"),
                f64::INFINITY,
                false,
                cost,
            );
            same.push((beyond, -1.0));
            others.push((beyond, 1.0));
            self.model.at_most(same, f64::from(free * cell.most));
            self.model
                .at_least(others, f64::from((cell.count() - free) * cell.least));
        }
    }
}
