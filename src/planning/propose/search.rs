//! The search for a plan: all of it at once; where none is found within the budget, piece by piece,
//! each with what the pieces before it left, and leaving those after it their share of the freezer.

use std::collections::BTreeMap;
use std::ops::Range;

use super::Effort;
use super::formulate::Formulation;
use super::model::{Model, Searched, Solution};
use crate::planning::indexed_request::IndexedRequest;

/// Meals that are filled together.
#[derive(Debug, Clone)]
struct PlanPiece {
    children: Range<usize>,
    days: Range<usize>,
}

impl PlanPiece {
    fn holds(&self, (child, day): (usize, usize)) -> bool {
        self.children.contains(&child) && self.days.contains(&day)
    }

    /// The number of days of children in the piece.
    fn size(&self) -> usize {
        self.children.len() * self.days.len()
    }

    /// Splits a piece into the first children and the others, or the days of one child into the
    /// first and the others. A single day of one child is not split.
    fn halves(&self) -> Vec<Self> {
        let part = |range: &Range<usize>| {
            let middle = range.start + range.len().div_ceil(2);
            [range.start..middle, middle..range.end]
        };
        let with = |children: Range<usize>, days: Range<usize>| Self { children, days };
        if self.children.len() > 1 {
            let halves = part(&self.children).into_iter();
            return halves
                .map(|children| with(children, self.days.clone()))
                .collect();
        }
        if self.days.len() > 1 {
            let halves = part(&self.days).into_iter();
            return halves
                .map(|days| with(self.children.clone(), days))
                .collect();
        }
        Vec::new()
    }
}

/// The best plan that is found.
///
/// Errors: the solver fails.
pub(super) fn search(
    index: &IndexedRequest<'_>,
    form: &Formulation,
    effort: Effort,
) -> Result<Solution, microlp::Error> {
    let model = &form.model;
    let found = model.solve(effort.gap, effort.nodes_for(model))?;
    let bound = match found {
        Searched::Plan(solution) => return Ok(solution),
        Searched::Bound(bound) => bound,
    };
    let (children, days) = (index.request.children.len(), index.request.days.len());
    let all = PlanPiece {
        children: 0..children,
        days: 0..days,
    };
    let mut so_far = PiecewisePlan {
        index,
        form,
        effort,
        open: all.size(),
        values: vec![0.0; model.variables.len()],
    };
    so_far.fill_halves(&all)?;
    // Cubes that no child took are offered to each child again.
    for child in 0..children {
        let of_child = PlanPiece {
            children: child..child + 1,
            days: 0..days,
        };
        so_far.fill(&of_child, &form.model)?;
    }
    let worth = model.worth(&so_far.values);
    Ok(Solution {
        bound: bound.max(worth),
        values: so_far.values,
        proven: false,
    })
}

/// A plan that grows by pieces.
struct PiecewisePlan<'a> {
    index: &'a IndexedRequest<'a>,
    form: &'a Formulation,
    effort: Effort,
    values: Vec<f64>,
    /// The number of days of children that are still to be filled.
    open: usize,
}

impl PiecewisePlan<'_> {
    /// Fills one half after the other; a half without a result is split in its turn.
    fn fill_halves(&mut self, piece: &PlanPiece) -> Result<(), microlp::Error> {
        for half in piece.halves() {
            if self.fill(&half, &self.sharing(&half))? {
                self.open = self.open.saturating_sub(half.size());
            } else if half.size() > 1 {
                self.fill_halves(&half)?;
            } else {
                self.open = self.open.saturating_sub(1);
            }
        }
        Ok(())
    }

    /// The program in which a piece takes no more of any batch than its share of what the pieces
    /// before it left.
    fn sharing(&self, piece: &PlanPiece) -> Model {
        let mut model = self.form.model.clone();
        for (at, lot) in self.index.lots.iter().enumerate() {
            if lot.trays.is_some() {
                continue;
            }
            let cubes = self.form.cubes.iter();
            let cubes = cubes.filter(|((_, _, of), _)| *of == at);
            let (mine, others): (Vec<_>, Vec<_>) =
                cubes.partition(|((child, day, _), _)| piece.holds((*child, *day)));
            let taken: f64 = others.iter().map(|(_, cubes)| self.values[**cubes]).sum();
            let share = piece.size() as f64 / self.open.max(1) as f64;
            let share = ((f64::from(lot.cubes) - taken.round()) * share).ceil();
            model.at_most(
                mine.iter().map(|(_, cubes)| (**cubes, 1.0)).collect(),
                share,
            );
        }
        model
    }

    /// Fills the meals of a piece again, and leaves all others as they are; returns whether
    /// anything was found. A result that is worth less than the present one is not taken.
    fn fill(&mut self, piece: &PlanPiece, model: &Model) -> Result<bool, microlp::Error> {
        let form = self.form;
        let meals = [&form.served, &form.twice, &form.cubes];
        let others = meals.into_iter().flatten();
        let others = others.filter(|((child, day, _), _)| !piece.holds((*child, *day)));
        let fixed: BTreeMap<usize, f64> = others
            .map(|(_, at)| (*at, self.values[*at].round()))
            .collect();
        let left = model.beside(&fixed);
        let found = left.solve_soon(self.effort.gap, self.effort.nodes_for(&left))?;
        let Searched::Plan(solution) = found else {
            return Ok(false);
        };
        let mut rest = solution.values.into_iter();
        let value = |at: usize| fixed.get(&at).copied().or_else(|| rest.next());
        let values: Vec<f64> = (0..self.values.len()).filter_map(value).collect();
        if form.model.worth(&values) > form.model.worth(&self.values) {
            self.values = values;
        }
        Ok(true)
    }
}
