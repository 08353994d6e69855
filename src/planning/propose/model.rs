//! A mixed-integer program in plain data, and the solver for it.

use std::collections::BTreeMap;

use microlp::{
    ComparisonOp, OptimizationDirection, Problem, SolveOptions, SolveOutcome, TerminationReason,
};

/// A variable.
#[derive(Debug, Clone, PartialEq)]
pub struct Variable {
    /// What it stands for.
    pub name: String,
    /// Least value.
    pub low: f64,
    /// Most value.
    pub high: f64,
    /// Whether it is a whole number.
    pub whole: bool,
    /// What one of it costs.
    pub cost: f64,
}

/// A row: a weighted sum between two bounds.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Index of a variable and its factor, in the order of the indices.
    pub terms: Vec<(usize, f64)>,
    /// Least value; minus infinity for none.
    pub low: f64,
    /// Most value; infinity for none.
    pub high: f64,
}

/// What is to be made least.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Model {
    /// The variables.
    pub variables: Vec<Variable>,
    /// The rows.
    pub rows: Vec<Row>,
    /// Added to the sum of the costs.
    pub offset: f64,
}

/// What the solver says.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Answer {
    /// Values of all variables; `bound` is what no solution can be below, and equals the objective where `proven`.
    Found {
        values: Vec<f64>,
        bound: Option<f64>,
        proven: bool,
    },
    /// The rows contradict one another.
    Infeasible,
    /// The search ended without an answer, or the solver failed.
    Unknown(String),
}

impl Model {
    pub(super) fn variable(
        &mut self,
        name: String,
        (low, high): (f64, f64),
        whole: bool,
        cost: f64,
    ) -> usize {
        self.variables.push(Variable {
            name,
            low,
            high,
            whole,
            cost,
        });
        self.variables.len() - 1
    }

    /// At most so much.
    pub(super) fn at_most(&mut self, terms: Vec<(usize, f64)>, high: f64) {
        self.row(terms, f64::NEG_INFINITY, high);
    }

    /// At least so much.
    pub(super) fn at_least(&mut self, terms: Vec<(usize, f64)>, low: f64) {
        self.row(terms, low, f64::INFINITY);
    }

    pub(super) fn row(&mut self, mut terms: Vec<(usize, f64)>, low: f64, high: f64) {
        terms.retain(|(_, factor)| *factor != 0.0);
        terms.sort_by_key(|(variable, _)| *variable);
        self.rows.push(Row { terms, low, high });
    }

    /// The objective of some values.
    pub(super) fn objective(&self, values: &[f64]) -> f64 {
        let costs = self
            .variables
            .iter()
            .zip(values)
            .map(|(variable, value)| variable.cost * value);
        self.offset + costs.sum::<f64>()
    }

    /// Solves it, within so many nodes of branch and bound: a count of work, not of time, so that the answer is the
    /// same on every machine. Starts from values of the whole variables, if there are any.
    pub(super) fn solve(&self, start: &BTreeMap<usize, f64>, nodes: u64) -> Answer {
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        let handles: Vec<_> = self
            .variables
            .iter()
            .map(|one| add(&mut problem, one))
            .collect();
        for row in &self.rows {
            let terms: Vec<_> = row
                .terms
                .iter()
                .map(|(variable, factor)| (handles[*variable], *factor))
                .collect();
            if row.low.is_finite() {
                problem.add_constraint(&terms, ComparisonOp::Ge, row.low);
            }
            if row.high.is_finite() {
                problem.add_constraint(&terms, ComparisonOp::Le, row.high);
            }
        }
        let mut options = SolveOptions::default();
        options.node_limit = Some(nodes);
        let hints: Vec<_> = start
            .iter()
            .map(|(variable, value)| (handles[*variable], *value))
            .collect();
        options.warm_start = (!hints.is_empty()).then_some(hints);
        match problem.solve_with(options) {
            Ok(outcome) => self.answer(&outcome, &handles),
            Err(microlp::Error::Infeasible) => Answer::Infeasible,
            Err(error) => Answer::Unknown(error.to_string()),
        }
    }

    fn answer(&self, outcome: &SolveOutcome, handles: &[microlp::Variable]) -> Answer {
        let Some(solution) = outcome.solution() else {
            return Answer::Unknown("no plan was found within the steps that are allowed".into());
        };
        let values = handles
            .iter()
            .map(|handle| solution.var_value(*handle))
            .collect();
        Answer::Found {
            values,
            bound: outcome.stats().best_bound.map(|bound| bound + self.offset),
            proven: outcome.termination_reason() == TerminationReason::ProvenOptimal,
        }
    }

    /// The same with some variables held at a value and left out; gives the indices of those that remain.
    pub(super) fn held(&self, hold: impl Fn(usize) -> Option<f64>) -> (Self, Vec<usize>) {
        let mut small = Self {
            offset: self.offset,
            ..Self::default()
        };
        let mut place = vec![None; self.variables.len()];
        let mut kept = Vec::new();
        for (index, variable) in self.variables.iter().enumerate() {
            match hold(index) {
                Some(value) => small.offset += variable.cost * value,
                None => {
                    place[index] = Some(kept.len());
                    kept.push(index);
                    small.variables.push(variable.clone());
                }
            }
        }
        for row in &self.rows {
            let mut spent = 0.0;
            let mut terms = Vec::new();
            for (variable, factor) in &row.terms {
                match place[*variable] {
                    Some(place) => terms.push((place, *factor)),
                    None => spent += factor * hold(*variable).unwrap_or(0.0),
                }
            }
            if !terms.is_empty() {
                small.rows.push(Row {
                    terms,
                    low: row.low - spent,
                    high: row.high - spent,
                });
            }
        }
        (small, kept)
    }
}

fn add(problem: &mut Problem, variable: &Variable) -> microlp::Variable {
    if variable.whole {
        problem.add_integer_var(variable.cost, (whole(variable.low), whole(variable.high)))
    } else {
        problem.add_var(variable.cost, (variable.low, variable.high))
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "bounds of whole variables are counts of cubes and trays"
)]
fn whole(bound: f64) -> i32 {
    bound.round() as i32
}
