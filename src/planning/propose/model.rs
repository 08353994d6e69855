//! A mixed-integer program in plain data, and the solver for it.

use std::collections::BTreeMap;

use microlp::{
    ComparisonOp, OptimizationDirection, Problem, ResumeOptions, SolveOptions, SolveOutcome,
    TerminationReason,
};

use crate::planning::Rule;

/// The share by which a better plan than the one shown may exist, unless the search takes too long
/// (judgement).
const PROMISED_GAP: f64 = 0.01;
/// The factor by which the search may exceed its limit of nodes to reach that gap.
const LONGER: u64 = 20;
/// Sums are rounded to one part in this number.
const FINE: f64 = 1e9;

/// A variable.
#[derive(Debug, Clone, PartialEq)]
pub struct Variable {
    /// The largest value; the least is zero.
    pub high: f64,
    /// Whether the variable is an integer.
    pub whole: bool,
    /// The coefficient in the objective.
    pub worth: f64,
    /// The aim for which the variable counts; `None` where it has no points.
    pub aim: Option<Rule>,
}

/// A row: a weighted sum with an upper bound.
#[derive(Debug, Clone, PartialEq)]
pub struct Constraint {
    /// The indices of the variables, each with its factor.
    pub terms: Vec<(usize, f64)>,
    /// The upper bound of the sum.
    pub most: f64,
}

/// A mixed-integer program: an objective to be maximised, and its constraints.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Model {
    /// The variables.
    pub variables: Vec<Variable>,
    /// The rows.
    pub rows: Vec<Constraint>,
    /// The most points that each aim can have by itself.
    pub most: BTreeMap<Rule, f64>,
}

/// The result of the solver within its budget.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Searched {
    /// A solution.
    Plan(Solution),
    /// No solution yet, with an upper bound on the points of any.
    Bound(f64),
}

/// The solution found by the solver.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Solution {
    /// Values of all variables.
    pub(super) values: Vec<f64>,
    /// The upper bound on the points of any solution; infinite where the solver knows none.
    pub(super) bound: f64,
    /// Whether the solution is proven to be optimal.
    pub(super) proven: bool,
}

impl Model {
    /// Adds an integer variable from zero on.
    pub(super) fn whole(&mut self, high: u32, (aim, worth): (Rule, f64)) -> usize {
        self.variable(f64::from(high), true, (Some(aim), worth))
    }

    /// Adds an integer variable without points.
    pub(super) fn count(&mut self, high: u32) -> usize {
        self.variable(f64::from(high), true, (None, 0.0))
    }

    /// Adds a continuous variable from zero on.
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

    /// Adds the constraint that a sum is at most `most`.
    pub(super) fn at_most(&mut self, mut terms: Vec<(usize, f64)>, most: f64) {
        terms.retain(|(_, factor)| *factor != 0.0);
        if !terms.is_empty() {
            self.rows.push(Constraint { terms, most });
        }
    }

    /// Adds the constraint that a variable is at most a sum of others plus a constant.
    pub(super) fn no_more_than(&mut self, variable: usize, sum: &[(usize, f64)], constant: f64) {
        let others = sum.iter().map(|(variable, factor)| (*variable, -factor));
        let terms = std::iter::once((variable, 1.0)).chain(others);
        self.at_most(terms.collect(), constant);
    }

    /// Solves the program to within a share of the optimum, or with a number of nodes of branch and
    /// bound; where it is not within [`PROMISED_GAP`] by then, the search goes on until it is, with
    /// at most [`LONGER`] times the nodes. Nodes measure work, not time, so that the answer is the
    /// same on every machine. Where no solution is found at all by then, more nodes seldom find
    /// one.
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

    /// Solves the program with no more than a number of nodes, whatever is found by then.
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

    /// The program of all other variables, in their order, where the `fixed` ones have their
    /// values.
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
            let used = terms
                .clone()
                .filter_map(|(at, factor)| Some(factor * fixed.get(at)?));
            let open = row.most - used.sum::<f64>();
            let terms = terms.filter_map(|(at, factor)| Some((*places.get(at)?, *factor)));
            // A sum that is used up leaves zero, and not a rounding error below it.
            left.at_most(terms.collect(), (open * FINE).round() / FINE);
        }
        left
    }

    /// The values of all variables where a weighted sum is largest. Fractions of cubes and trays
    /// are allowed, so that the sum is an upper bound for every plan.
    ///
    /// Errors: the solver fails.
    pub(super) fn most_of(&self, sum: &[(usize, f64)]) -> Result<Vec<f64>, microlp::Error> {
        let mut relaxed = Self {
            rows: self.rows.clone(),
            ..Self::default()
        };
        for variable in &self.variables {
            relaxed.variable(variable.high, false, (None, 0.0));
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
            .map(|variable| add(&mut problem, variable))
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
