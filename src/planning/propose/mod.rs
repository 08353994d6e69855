//! Filling the meals of some days by integer programming.
//!
//! [`formulate`] writes the request as a program, [`search`] has [`model`] solve it (microlp, in
//! pure Rust), at once or piece by piece, [`arrange`] puts the meals of each day into their order,
//! [`even`] evens out their sizes, and [`verify()`] checks the result against every rule in whole
//! numbers: a plan that does not pass is never shown.

mod arrange;
mod even;
mod formulate;
mod gaps;
mod instead;
mod lacking;
mod model;
mod outcome;
mod proposal;
mod reasons;
mod search;
#[cfg(test)]
mod tests;
mod verify;

pub use instead::instead;
pub use model::{Constraint, Model, Variable};
pub use proposal::{Aim, Gap, NoProposal, Proposal, Quality, Spoiled, WeekLack};
pub use verify::verify;

use self::formulate::Formulation;
use self::model::Solution;
use crate::planning::indexed_request::IndexedRequest;
use crate::planning::{Request, Schedule};

/// The budget of the search, in nodes of branch and bound, so that the result is the same on every
/// machine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effort {
    /// The share by which a better plan may exist when the search ends.
    pub gap: f64,
    /// The number of nodes after which it ends, for a program of a thousand rows; a smaller program
    /// gets proportionally more.
    pub nodes: u64,
}

impl Default for Effort {
    fn default() -> Self {
        Self {
            gap: 0.003,
            nodes: 400,
        }
    }
}

impl Effort {
    fn nodes_for(self, model: &Model) -> u64 {
        self.nodes.saturating_mul(1000) / (model.rows.len() as u64).max(100)
    }
}

/// Proposes a plan. The same request and effort always give the same plan.
///
/// Errors: the request is inconsistent, or the solver fails.
pub fn propose(request: &Request, effort: Effort) -> Result<Proposal, NoProposal> {
    request.validate()?;
    let index = IndexedRequest::new(request);
    let form = Formulation::new(&index)?;
    let solution = search::search(&index, &form, effort)?;
    let mut plan = arrange::plan(&index, &form, &solution.values);
    even::even_out(&index, &mut plan);
    let wrong = verify(request, &plan);
    if !wrong.is_empty() {
        return Err(NoProposal::Unsound(wrong.join("; ")));
    }
    let worth = form.model.worth(&solution.values);
    let by_aim = form.model.by_aim(&solution.values).into_iter();
    Ok(Proposal {
        aims: by_aim
            .map(|(rule, points)| {
                let most = form.model.most.get(&rule).copied().unwrap_or(0.0);
                Aim { rule, points, most }
            })
            .collect(),
        worth,
        quality: quality(&solution, worth),
        ..unrated(&index, plan)
    })
}

/// A sound plan with its reasons and gaps, without points.
fn unrated(index: &IndexedRequest<'_>, plan: Schedule) -> Proposal {
    Proposal {
        reasons: reasons::reasons(index, &plan),
        gaps: gaps::gaps(index, &plan),
        lacking: lacking::lacking(index, &plan),
        left_out: outcome::left_out(index),
        before_solids: outcome::before_solids(index),
        aims: Vec::new(),
        worth: f64::NAN,
        quality: Quality::Unrated,
        held_back: outcome::held_back(index, &plan),
        spoiled: outcome::spoiled(index, &plan),
        lower_bounds: outcome::lower_bounds(index, &plan),
        plan,
    }
}

/// The program of a request, to be compared with another solver.
pub fn model(request: &Request) -> Result<Model, NoProposal> {
    request.validate()?;
    Ok(Formulation::new(&IndexedRequest::new(request))?.model)
}

fn quality(solution: &Solution, worth: f64) -> Quality {
    if solution.proven {
        return Quality::Optimal;
    }
    let percent = if worth > 0.0 {
        (solution.bound - worth) / worth * 100.0
    } else {
        f64::INFINITY
    };
    Quality::Within { percent }
}
