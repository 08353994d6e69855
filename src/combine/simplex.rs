//! A small linear programme in which every variable has a lower and an upper bound, solved by the
//! dual simplex method.
//!
//! Because all variables are bounded, any basis can be made dual feasible by putting each nonbasic
//! variable at the right one of its bounds. The method therefore starts from the slack variables at
//! once, and its value falls from step to step towards the optimum: it may stop as soon as the
//! value is below a line that is of interest. Koberstein, A. (2005), "The dual simplex method,
//! techniques for a fast and stable implementation", chapters 2 and 3.

/// Violations of bounds below this are rounding.
const FEASIBLE: f64 = 1e-9;
/// Entries of a pivot row below this are taken as zero.
const PIVOT: f64 = 1e-10;
/// The most steps, more than any programme of this program takes; see [`SolverStatus::Unfinished`].
const MOST_STEPS: usize = 2000;

/// A linear programme: maximise `cost . x` where for each row `coefficients . x + slack = right`,
/// all within bounds.
#[derive(Debug, Default)]
pub(super) struct Programme {
    /// Number of variables, without slacks.
    columns: usize,
    /// Coefficients, row by row.
    rows: Vec<f64>,
    right: Vec<f64>,
    cost: Vec<f64>,
    /// Bounds of the variables, then of the slacks of the rows.
    lower: Vec<f64>,
    upper: Vec<f64>,
}

/// How the solution ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum SolverStatus {
    /// The best values are found.
    Optimal,
    /// No values keep all the bounds.
    Infeasible,
    /// The optimum lies below the line.
    Below,
    /// Stopped after too many steps: the prices still make an upper bound.
    Unfinished,
}

/// A solution.
#[derive(Debug)]
pub(super) struct LinearSolution {
    pub(super) outcome: SolverStatus,
    /// The values of the variables.
    pub(super) values: Vec<f64>,
    /// The price of each row.
    pub(super) prices: Vec<f64>,
}

impl Programme {
    /// A programme with these variables: cost, lower and upper bound of each.
    pub(super) fn new(variables: impl Iterator<Item = (f64, f64, f64)>) -> Self {
        let mut new = Self::default();
        for (cost, lower, upper) in variables {
            new.cost.push(cost);
            new.lower.push(lower);
            new.upper.push(upper);
        }
        new.columns = new.cost.len();
        new
    }

    /// Adds a row: its coefficients, its right side, and the most its slack may be (0 for an
    /// equation).
    pub(super) fn row(
        &mut self,
        coefficients: impl Iterator<Item = f64>,
        right: f64,
        most_slack: f64,
    ) {
        self.rows.extend(coefficients);
        self.right.push(right);
        self.lower.push(0.0);
        self.upper.push(most_slack);
    }

    /// Solves the programme; stops where the optimum is certain to be at most `line`.
    pub(super) fn solve(&self, line: f64) -> LinearSolution {
        let mut tableau = Tableau::new(self);
        for _ in 0..MOST_STEPS {
            tableau.place();
            if tableau.value <= line {
                return tableau.solution(SolverStatus::Below);
            }
            let Some((row, short)) = tableau.worst() else {
                return tableau.solution(SolverStatus::Optimal);
            };
            if !tableau.step(row, short) {
                return tableau.solution(SolverStatus::Infeasible);
            }
        }
        tableau.solution(SolverStatus::Unfinished)
    }

    fn coefficients(&self, row: usize) -> &[f64] {
        self.rows
            .get(row * self.columns..(row + 1) * self.columns)
            .unwrap_or(&[])
    }

    /// A coefficient of a variable or a slack.
    fn entry(&self, row: usize, variable: usize) -> f64 {
        match variable.checked_sub(self.columns) {
            None => self.rows[row * self.columns + variable],
            Some(slack) => f64::from(u8::from(slack == row)),
        }
    }
}

/// The state between two steps.
struct Tableau<'a> {
    programme: &'a Programme,
    /// The basic variable of each row.
    basis: Vec<usize>,
    is_basic: Vec<bool>,
    /// Inverse of the basis, row by row.
    inverse: Vec<f64>,
    /// The value of each nonbasic variable.
    at: Vec<f64>,
    /// Values of the basic variables.
    basic: Vec<f64>,
    /// Right sides less what the nonbasic variables take of them.
    remaining: Vec<f64>,
    /// Reduced costs.
    reduced: Vec<f64>,
    /// The row of the tableau that is being examined.
    pivot_row: Vec<f64>,
    /// Ratio and variable of each breakpoint of a step.
    breakpoints: Vec<(f64, usize)>,
    value: f64,
}

impl<'a> Tableau<'a> {
    fn new(programme: &'a Programme) -> Self {
        let (columns, rows) = (programme.columns, programme.right.len());
        let all = columns + rows;
        let mut inverse = vec![0.0; rows * rows];
        for row in 0..rows {
            inverse[row * rows + row] = 1.0;
        }
        let mut reduced = programme.cost.clone();
        reduced.resize(all, 0.0);
        let best_bound = |variable: usize| {
            if programme.cost[variable] > 0.0 {
                programme.upper[variable]
            } else {
                programme.lower[variable]
            }
        };
        let mut at: Vec<f64> = (0..columns).map(best_bound).collect();
        let taken = |row| dot(programme.coefficients(row), &at);
        let remaining = (0..rows)
            .map(|row| programme.right[row] - taken(row))
            .collect();
        at.resize(all, 0.0);
        Self {
            programme,
            basis: (columns..all).collect(),
            is_basic: (0..all).map(|variable| variable >= columns).collect(),
            inverse,
            at,
            basic: vec![0.0; rows],
            remaining,
            reduced,
            pivot_row: vec![0.0; all],
            breakpoints: Vec::new(),
            value: 0.0,
        }
    }

    /// Works out the basic variables and the value.
    fn place(&mut self) {
        let rows = self.basis.len();
        let columns = self.programme.columns;
        // Basic variables stand at 0 in `at`, so that the sum is over the others.
        let mut value = dot(&self.programme.cost, &self.at[..columns]);
        for row in 0..rows {
            let basic = dot(&self.inverse[row * rows..(row + 1) * rows], &self.remaining);
            self.basic[row] = basic;
            value += basic * self.cost(self.basis[row]);
        }
        self.value = value;
    }

    fn cost(&self, variable: usize) -> f64 {
        self.programme.cost.get(variable).copied().unwrap_or(0.0)
    }

    /// The row whose basic variable is furthest outside its bounds, and by how much: negative
    /// below, positive above.
    fn worst(&self) -> Option<(usize, f64)> {
        let mut worst = None;
        let mut most = FEASIBLE;
        for (row, (&variable, &value)) in self.basis.iter().zip(&self.basic).enumerate() {
            let below = value - self.programme.lower[variable];
            let above = value - self.programme.upper[variable];
            let outside = if below < 0.0 { below } else { above.max(0.0) };
            if outside.abs() > most {
                most = outside.abs();
                worst = Some((row, outside));
            }
        }
        worst
    }

    /// Brings the basic variable of a row to the bound that it lies beyond; false where that is
    /// impossible.
    fn step(&mut self, row: usize, outside: f64) -> bool {
        let sign = if outside < 0.0 { 1.0 } else { -1.0 };
        self.look_at(row, sign);
        let Some((ratio, entering)) = self.flipped(outside.abs()) else {
            return false;
        };
        let leaving = self.basis[row];
        for (reduced, entry) in self.reduced.iter_mut().zip(&self.pivot_row) {
            *reduced -= ratio * entry;
        }
        self.reduced[leaving] = -sign * ratio;
        self.reduced[entering] = 0.0;
        let bound = if outside < 0.0 {
            self.programme.lower[leaving]
        } else {
            self.programme.upper[leaving]
        };
        self.move_to(leaving, bound);
        self.move_to(entering, 0.0);
        self.pivot(row, entering);
        true
    }

    /// Writes out a row of the tableau, times `sign`, for the nonbasic variables.
    fn look_at(&mut self, row: usize, sign: f64) {
        let rows = self.basis.len();
        let columns = self.programme.columns;
        let multipliers = &self.inverse[row * rows..(row + 1) * rows];
        let (structural, slacks) = self.pivot_row.split_at_mut(columns);
        structural.fill(0.0);
        for (of, &multiplier) in multipliers.iter().enumerate() {
            if multiplier != 0.0 {
                let factor = sign * multiplier;
                for (sum, entry) in structural.iter_mut().zip(self.programme.coefficients(of)) {
                    *sum += factor * entry;
                }
            }
        }
        for (slack, multiplier) in slacks.iter_mut().zip(multipliers) {
            *slack = sign * multiplier;
        }
        for &variable in &self.basis {
            self.pivot_row[variable] = 0.0;
        }
    }

    /// The variable that enters, with its ratio. Those that are passed on the way go to their other
    /// bound.
    fn flipped(&mut self, outside: f64) -> Option<(f64, usize)> {
        self.breakpoints.clear();
        let programme = self.programme;
        for (variable, &entry) in self.pivot_row.iter().enumerate() {
            let (low, high) = (programme.lower[variable], programme.upper[variable]);
            if entry.abs() < PIVOT || high <= low || self.is_basic[variable] {
                continue;
            }
            let at_upper = self.at[variable] >= high;
            if at_upper == (entry > 0.0) {
                let ratio = (self.reduced[variable] / entry).max(0.0);
                self.breakpoints.push((ratio, variable));
            }
        }
        self.breakpoints
            .sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
        let mut slope = outside;
        let mut entering = None;
        for (place, &(_, variable)) in self.breakpoints.iter().enumerate() {
            let width = programme.upper[variable] - programme.lower[variable];
            slope -= self.pivot_row[variable].abs() * width;
            // A bound may be reached exactly: what rounding leaves of it is no reason to call it
            // beyond reach.
            if slope <= FEASIBLE {
                entering = Some(place);
                break;
            }
        }
        let place = entering?;
        for passed in 0..place {
            let variable = self.breakpoints[passed].1;
            let (low, high) = (programme.lower[variable], programme.upper[variable]);
            let other = if self.at[variable] >= high { low } else { high };
            self.move_to(variable, other);
        }
        Some(self.breakpoints[place])
    }

    /// Moves a variable that counts as nonbasic.
    fn move_to(&mut self, variable: usize, to: f64) {
        let by = to - self.at[variable];
        if by != 0.0 {
            for (row, remaining) in self.remaining.iter_mut().enumerate() {
                *remaining -= by * self.programme.entry(row, variable);
            }
            self.at[variable] = to;
        }
    }

    /// Exchanges the basic variable of a row.
    fn pivot(&mut self, row: usize, entering: usize) {
        let rows = self.basis.len();
        let column: Vec<f64> = (0..rows)
            .map(|of| self.programme.entry(of, entering))
            .collect();
        let in_basis: Vec<f64> = (0..rows)
            .map(|of| dot(&self.inverse[of * rows..(of + 1) * rows], &column))
            .collect();
        let pivot = in_basis[row];
        let row_of_pivot: Vec<f64> = self.inverse[row * rows..(row + 1) * rows]
            .iter()
            .map(|entry| entry / pivot)
            .collect();
        for (of, &factor) in in_basis.iter().enumerate() {
            let target = &mut self.inverse[of * rows..(of + 1) * rows];
            if of == row {
                target.copy_from_slice(&row_of_pivot);
            } else if factor != 0.0 {
                for (entry, pivot) in target.iter_mut().zip(&row_of_pivot) {
                    *entry -= factor * pivot;
                }
            }
        }
        self.is_basic[self.basis[row]] = false;
        self.is_basic[entering] = true;
        self.basis[row] = entering;
    }

    fn solution(&self, outcome: SolverStatus) -> LinearSolution {
        let columns = self.programme.columns;
        let mut values = self.at[..columns].to_vec();
        for (&variable, &basic) in self.basis.iter().zip(&self.basic) {
            if let Some(value) = values.get_mut(variable) {
                *value = basic;
            }
        }
        LinearSolution {
            outcome,
            values,
            prices: self.reduced[columns..].iter().map(|cost| -cost).collect(),
        }
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
