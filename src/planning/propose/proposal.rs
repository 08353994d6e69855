//! What a proposal says.

use jiff::civil::Date;

use super::term::Term;
use crate::planning::{Broken, Origin, Plan, PlannedMeal, RequestError};

/// A plan that fills what was empty, and why it is as it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// The meals and the cookings.
    pub plan: Plan,
    /// Why each part of each meal is there: in the order of the meals and their parts.
    pub reasons: Vec<Vec<Vec<String>>>,
    /// What is short of each aim, in the order of their weights.
    pub aims: Vec<Aim>,
    /// All aims by their weights, in points; less is better.
    pub objective: f64,
    /// How good it is known to be.
    pub quality: Quality,
    /// What holds the plan back, in words.
    pub binding: Vec<String>,
    /// Cubes that spoil within the plan.
    pub spoiled: Vec<Spoiled>,
    /// Figures that are lower bounds, because a food lacks a value: in words.
    pub lower_bounds: Vec<String>,
}

/// One aim.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aim {
    /// Which.
    pub term: Term,
    /// Weight of a point.
    pub weight: i64,
    /// Points short of it.
    pub short: f64,
    /// The most points that can be short.
    pub most: i64,
}

/// How good a proposal is known to be.
#[derive(Debug, Clone, PartialEq)]
pub enum Quality {
    /// No plan is better.
    Optimal,
    /// The best that was found; no plan is better by more than this share of its objective, in percent.
    Within {
        /// Percent.
        percent: f64,
    },
    /// A plan that keeps the rules, found without the solver; how good it is is not known.
    Greedy {
        /// Why the solver has no answer.
        why: String,
    },
}

/// Cubes that nobody will eat.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spoiled {
    /// Which.
    pub origin: Origin,
    /// Title of the recipe.
    pub title: String,
    /// How many.
    pub cubes: u32,
    /// The day they are to be used by.
    pub use_by: Date,
}

/// Why there is no proposal.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoProposal {
    /// The request does not hold together.
    #[error(transparent)]
    Request(#[from] RequestError),
    /// What is settled breaks a rule by itself.
    #[error("what is settled already breaks a rule")]
    Settled(Vec<Broken>),
    /// No plan keeps all the rules.
    #[error("no plan keeps all the rules")]
    Impossible(Impossible),
    /// None was found, and none was ruled out.
    #[error("no plan was found: {0}")]
    NotFound(String),
}

/// Which rules contradict, and what would have to change.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Impossible {
    /// The rules without any one of which there would be a plan, in words.
    pub contradictions: Vec<String>,
    /// What would make a plan possible, in words.
    pub changes: Vec<String>,
}

impl Quality {
    /// In words.
    pub fn sentence(&self) -> String {
        match self {
            Self::Optimal => "No plan is better by these weights.".into(),
            Self::Within { percent } => {
                format!("The best plan found; none is better by more than {percent:.1} %.")
            }
            Self::Greedy { why } => format!(
                "A makeshift plan, which keeps every rule and may be far from the best: {why}."
            ),
        }
    }
}

impl Proposal {
    /// Every part with its meal and its reasons.
    pub fn parts(&self) -> impl Iterator<Item = (&PlannedMeal, &crate::planning::Part, &[String])> {
        let meals = self.plan.meals.iter().zip(&self.reasons);
        meals.flat_map(|(meal, reasons)| {
            meal.parts
                .iter()
                .zip(reasons)
                .map(move |(part, why)| (meal, part, why.as_slice()))
        })
    }
}
