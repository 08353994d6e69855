//! The result of a proposal.

use jiff::civil::Date;
use serde::Serialize;

use crate::planning::{CubeOrigin, PlannedMeal, RequestError, Rule, Schedule};

/// A plan that fills what can be filled, with its reasons.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// The meals and the cookings.
    pub plan: Schedule,
    /// The reasons for each meal, in the order of the meals.
    pub reasons: Vec<Vec<String>>,
    /// Meals that stay empty.
    pub gaps: Vec<Gap>,
    /// The lacks of the week beside meals.
    pub lacking: Vec<WeekLack>,
    /// Dishes in the freezer that a child may not have, with the reason, as sentences.
    pub left_out: Vec<String>,
    /// Who is not six months old on the first day, as sentences: no meal of a day before is filled.
    pub before_solids: Vec<String>,
    /// The value of each aim; none where a meal was changed by hand.
    pub aims: Vec<Aim>,
    /// The value of the objective, in points; more is better. Not a number where a meal was changed
    /// by hand.
    pub worth: f64,
    /// The proven quality of the solution.
    pub quality: Quality,
    /// The limits that bind the plan, as sentences.
    pub held_back: Vec<String>,
    /// Cubes that spoil within the plan.
    pub spoiled: Vec<Spoiled>,
    /// The figures that are lower bounds, because a food lacks a value: as sentences.
    pub lower_bounds: Vec<String>,
}

/// A meal that stays empty.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gap {
    /// The day.
    pub day: Date,
    /// Index of the child.
    pub child: usize,
    /// The name of the meal.
    pub meal: String,
    /// The reason, as a sentence.
    pub why: String,
    /// The remedy, as a sentence.
    pub close: String,
}

/// A lack of a week beside meals.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WeekLack {
    /// Index of the child.
    pub child: usize,
    /// The lack in words that name the child.
    pub why: String,
    /// The remedy, in words.
    pub close: String,
}

/// An aim of the objective.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aim {
    /// The rule of the aim.
    pub rule: Rule,
    /// Points of the plan.
    pub points: f64,
    /// The most points that this aim could have by itself.
    pub most: f64,
}

/// The proven quality of a proposal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Quality {
    /// No plan is better.
    Optimal,
    /// No plan is better by more than this share of its points, in percent.
    Within {
        /// Percent; infinite where it is not known.
        percent: f64,
    },
    /// A meal was changed by hand, and the points of the plan are not calculated.
    Unrated,
}

/// Cubes that nobody will eat in time.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Spoiled {
    /// The origin of the cubes.
    #[serde(skip)]
    pub origin: CubeOrigin,
    /// Title of the recipe.
    pub title: String,
    /// The number of cubes.
    pub cubes: u32,
    /// The day they are to be used by.
    pub use_by: Date,
}

/// The reasons why no proposal exists.
#[derive(Debug, thiserror::Error)]
pub enum NoProposal {
    /// The request does not hold together.
    #[error(transparent)]
    Request(#[from] RequestError),
    /// The solver fails.
    #[error("the solver failed: {0}")]
    Solver(#[from] microlp::Error),
    /// The plan that was found breaks a rule, which is a mistake of this program.
    #[error("the plan that was found breaks a rule: {0}")]
    Unsound(String),
}

impl Quality {
    /// The reason as a sentence.
    pub fn sentence(&self) -> String {
        match self {
            Self::Optimal => "No plan is better by these points.".into(),
            Self::Within { percent } if percent.is_infinite() => {
                "How much better another plan could be is not known.".into()
            }
            Self::Within { percent } if *percent < 0.005 => {
                "No plan is better by more than a hundredth of a percent of these points.".into()
            }
            Self::Within { percent } => {
                format!("No plan is better by more than {percent:.2} % of these points.")
            }
            Self::Unrated => "A meal was changed by hand: the points are not worked out.".into(),
        }
    }
}

impl Proposal {
    /// All parts with their meal and its reasons.
    pub fn parts(
        &self,
    ) -> impl Iterator<Item = (&PlannedMeal, &crate::planning::PlannedCubes, &[String])> {
        let meals = self.plan.meals.iter().zip(&self.reasons);
        meals.flat_map(|(meal, why)| {
            let parts = meal.parts.iter();
            parts.map(move |part| (meal, part, why.as_slice()))
        })
    }
}
