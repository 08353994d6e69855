//! A mixed-integer program in plain data, and the solver for it.

use std::collections::BTreeMap;

use microlp::{
    ComparisonOp, OptimizationDirection, Problem, ResumeOptions, SolveOptions, SolveOutcome,
    TerminationReason,
};

use crate::planning::Rule;

/// No plan is shown of which a better one may exist by more than this share, unless the search would take too long.
const PROMISED_GAP: f64 = 0.01;
/// The factor by which the search may exceed its limit of nodes to reach that gap.
const LONGER: u64 = 20;
/// Sums are rounded to one part of so many.
const FINE: f64 = 1e9;

/// A variable.
#[derive(Debug, Clone, PartialEq)]
pub struct Variable {
    /// Most value; the least is zero.
    pub high: f64,
    /// Whether the variable is an integer.
    pub whole: bool,
    /// The coefficient in the objective.
    pub worth: f64,
    /// The aim it counts for, where it counts.
    pub aim: Option<Rule>,
}

/// A row: a weighted sum that is at most so much.
#[derive(Debug, Clone, PartialEq)]
pub struct Constraint {
    /// Index of a variable and its factor.
    pub terms: Vec<(usize, f64)>,
    /// Most value.
    pub most: f64,
}

/// A mixed-integer program: an objective to be maximised, and its constraints.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Model {
    /// The variables.
    pub variables: Vec<Variable>,
    /// The rows.
    pub rows: Vec<Constraint>,
    /// The most points that each aim can have for itself.
    pub most: BTreeMap<Rule, f64>,
}

/// What the solver found within its budget.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Searched {
    /// A solution.
    Plan(Solution),
    /// No solution yet; none is worth more than this.
    Bound(f64),
}

/// The solution found by the solver.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Solution {
    /// Values of all variables.
    pub(super) values: Vec<f64>,
    /// No solution is worth more; infinite where the solver knows no bound.
    pub(super) bound: f64,
    /// Whether none is better at all.
    pub(super) proven: bool,
}

impl Model {
    /// A whole variable from zero on.
    pub(super) fn whole(&mut self, high: u32, (aim, worth): (Rule, f64)) -> usize {
        self.variable(f64::from(high), true, (Some(aim), worth))
    }

    /// A whole variable that is worth nothing by itself.
    pub(super) fn count(&mut self, high: u32) -> usize {
        self.variable(f64::from(high), true, (None, 0.0))
    }

    /// A variable of any value from zero on.
    pub(super) fn part(&mut self, high: f64, (aim, worth): (Rule, f64)) -> usize {
        *self.most.entry(aim).or_default() += (worth * high).max(0.0);
        self.variable(high, false, (Some(aim), worth))
    }

    fn variable(&mut self, high: f64, whole: bool, (aim, worth): (Option<Rule>, f64)) -> usize {
        self.variables.push(Variable {
            high: high.max(0.0),
            whole,
            worth,
            aim,
        });
        self.variables.len() - 1
    }

    /// A sum that is at most so much.
    pub(super) fn at_most(&mut self, mut terms: Vec<(usize, f64)>, most: f64) {
        terms.retain(|(_, factor)| *factor != 0.0);
        if !terms.is_empty() {
            self.rows.push(Constraint { terms, most });
        }
    }

    /// A variable that is at most a sum of others, and what is there without them.
    pub(super) fn no_more_than(&mut self, variable: usize, sum: &[(usize, f64)], there: f64) {
        let others = sum.iter().map(|(one, factor)| (*one, -factor));
        let terms = std::iter::once((variable, 1.0)).chain(others);
        self.at_most(terms.collect(), there);
    }

    /// Solves it within a share of the best there can be, or so many nodes of branch and bound; where it is not within
    /// [`PROMISED_GAP`] by then, the search goes on until it is, with [`LONGER`] times the nodes at most. Nodes are a count of work, not of
    /// time, so that the answer is the same on every machine. Where no solution is found at all by then, more nodes seldom find one.
    ///
    /// Errors: the solver fails.
    pub(super) fn solve(&self, gap: f64, nodes: u64) -> Result<Searched, microlp::Error> {
        let (problem, handles) = self.problem();
        let mut outcome = problem.solve_with(limits(gap, nodes))?;
        if outcome.solution().is_some() && self.gap_of(&outcome, &handles) > PROMISED_GAP {
            let mut longer = ResumeOptions::default();
            longer.node_limit = Some(nodes.saturating_mul(LONGER));
            longer.mip_gap = Some(PROMISED_GAP);
            outcome = outcome.resume_with(longer)?;
        }
        Ok(self.found(&outcome, &handles))
    }

    /// The same with so many nodes and no more, whatever is found by then.
    ///
    /// Errors: the solver fails.
    pub(super) fn solve_soon(&self, gap: f64, nodes: u64) -> Result<Searched, microlp::Error> {
        let (problem, handles) = self.problem();
        let outcome = problem.solve_with(limits(gap, nodes))?;
        Ok(self.found(&outcome, &handles))
    }

    fn found(&self, outcome: &SolveOutcome, handles: &[microlp::Variable]) -> Searched {
        let bound = outcome.stats().best_bound.unwrap_or(f64::INFINITY);
        if outcome.solution().is_none() {
            return Searched::Bound(bound);
        }
        let proven = outcome.termination_reason() == TerminationReason::ProvenOptimal;
        let values = values_of(outcome, handles);
        let worth = self.worth(&values);
        Searched::Plan(Solution {
            bound: if proven { worth } else { bound.max(worth) },
            values,
            proven,
        })
    }

    /// The program of all other variables, in their order, where these have their values already.
    pub(super) fn beside(&self, fixed: &BTreeMap<usize, f64>) -> Self {
        let mut left = Self::default();
        let mut places = BTreeMap::new();
        for (at, variable) in self.variables.iter().enumerate() {
            if !fixed.contains_key(&at) {
                places.insert(at, left.variables.len());
                left.variables.push(variable.clone());
            }
        }
        for row in &self.rows {
            let terms = row.terms.iter();
            let there = terms
                .clone()
                .filter_map(|(at, factor)| Some(factor * fixed.get(at)?));
            let open = row.most - there.sum::<f64>();
            let terms = terms.filter_map(|(at, factor)| Some((*places.get(at)?, *factor)));
            // A sum that is used up to the last digit is no less than nothing.
            left.at_most(terms.collect(), (open * FINE).round() / FINE);
        }
        left
    }

    /// Values of all variables where the sum of these, each with its coefficient, is largest. Fractions of cubes and trays are allowed, so the sum is
    /// what no plan has more of.
    ///
    /// Errors: the solver fails.
    pub(super) fn most_of(&self, sum: &[(usize, f64)]) -> Result<Vec<f64>, microlp::Error> {
        let mut relaxed = Self {
            rows: self.rows.clone(),
            ..Self::default()
        };
        for one in &self.variables {
            relaxed.variable(one.high, false, (None, 0.0));
        }
        for (at, coefficient) in sum {
            relaxed.variables[*at].worth = *coefficient;
        }
        let (problem, handles) = relaxed.problem();
        Ok(values_of(&problem.solve()?, &handles))
    }

    fn problem(&self) -> (Problem, Vec<microlp::Variable>) {
        let mut problem = Problem::new(OptimizationDirection::Maximize);
        let handles: Vec<_> = self
            .variables
            .iter()
            .map(|one| add(&mut problem, one))
            .collect();
        for row in &self.rows {
            let terms = row.terms.iter();
            let terms: Vec<_> = terms.map(|(at, factor)| (handles[*at], *factor)).collect();
            problem.add_constraint(&terms, ComparisonOp::Le, row.most);
        }
        (problem, handles)
    }

    /// The optimality gap of the best solution so far, relative to its value.
    fn gap_of(&self, outcome: &SolveOutcome, handles: &[microlp::Variable]) -> f64 {
        if outcome.termination_reason() == TerminationReason::ProvenOptimal {
            return 0.0;
        }
        let worth = self.worth(&values_of(outcome, handles));
        let bound = outcome.stats().best_bound.unwrap_or(f64::INFINITY);
        (bound - worth) / worth.max(f64::EPSILON)
    }

    /// The value of the objective for a solution.
    pub(super) fn worth(&self, values: &[f64]) -> f64 {
        let worth = self.variables.iter().zip(values);
        worth.map(|(variable, value)| variable.worth * value).sum()
    }

    /// The value of the objective by aim.
    pub(super) fn by_aim(&self, values: &[f64]) -> BTreeMap<Rule, f64> {
        let mut aims: BTreeMap<Rule, f64> = BTreeMap::new();
        for (variable, value) in self.variables.iter().zip(values) {
            if let Some(aim) = variable.aim {
                *aims.entry(aim).or_default() += variable.worth * value;
            }
        }
        aims
    }
}

/// Values of all variables; zero where there is no solution yet.
fn values_of(outcome: &SolveOutcome, handles: &[microlp::Variable]) -> Vec<f64> {
    let solution = outcome.solution();
    let value = |handle: &microlp::Variable| solution.map(|solution| solution.var_value(*handle));
    handles
        .iter()
        .map(|handle| value(handle).unwrap_or(0.0))
        .collect()
}

fn limits(gap: f64, nodes: u64) -> SolveOptions {
    let mut options = SolveOptions::default();
    options.node_limit = Some(nodes);
    options.mip_gap = gap;
    options
}

fn add(problem: &mut Problem, variable: &Variable) -> microlp::Variable {
    if variable.whole {
        problem.add_integer_var(variable.worth, (0, whole(variable.high)))
    } else {
        problem.add_var(variable.worth, (0.0, variable.high))
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "bounds of whole variables are counts of meals, cubes and trays"
)]
fn whole(bound: f64) -> i32 {
    bound.round() as i32
}
