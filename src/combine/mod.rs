//! What to put into a purée: the best foods and shares for what is asked, each proven, or how near
//! one can come.
//!
//! [`ask`] is the request, [`tables`] what may be together, [`column`] what a gram of a cooked food
//! brings, [`stock`] the foods, cooked. [`selection`] makes one [`question`] of all of it,
//! [`search`] answers it exactly (with [`simplex`] for one set of foods), [`answers`] finds
//! suggestions that differ, and [`nearest`] how near the limits can be met where none is found.
//! [`kitchen`] rounds to a kitchen scale, [`cookery`] knows what old cookery books have together,
//! [`complement`] what brings what a food lacks.

mod answers;
mod ask;
mod ask_json;
mod base;
mod column;
mod complement;
mod cookery;
mod kitchen;
mod nearest;
mod question;
mod search;
mod selection;
mod simplex;
mod stock;
mod tables;
mod unwanted;

pub use answers::{Combinations, PartOf, Suggested, SuggestedServing, Suggestion, combine};
pub use ask::{
    BASE_SHARE, Base, CombineRequest, LEAST_ENERGY, Limits, Prefer, Price, PriceBasis, ServingSize,
    Sodium,
};
pub use base::{BaseFood, RecipeBase};
pub use column::{COOKED_GRAMS, Column, ToCook, column, edible_grams, goal_of, recipe, usual_goal};
pub use complement::{Lack, complementing, complements};
pub use cookery::{CookedTogether, Cookery, Met};
pub use kitchen::KitchenAmounts;
pub use nearest::{Near, NearLimit, Wanted};
pub use question::{Best, Company, SelectionProblem, Unproven};
pub use selection::{LimitKind, Narrowed, Selection};
pub use stock::{Candidate, Candidates, Cook, LeftOut};
pub use tables::{FoodNote, MixingRule, PureePart, Role, Tables};

use crate::food::FoodDataError;
use crate::problem::Problem;

/// Why nothing could be worked out.
#[derive(Debug)]
pub enum CombineError {
    /// The tables cannot be read.
    Tables(FoodDataError),
    /// The request is wrong.
    Problems(Vec<Problem>),
}

impl From<data_import::Error> for CombineError {
    fn from(error: data_import::Error) -> Self {
        Self::Tables(error.into())
    }
}

impl From<FoodDataError> for CombineError {
    fn from(error: FoodDataError) -> Self {
        Self::Tables(error)
    }
}

impl From<Unproven> for CombineError {
    fn from(_: Unproven) -> Self {
        let problem =
            Problem::new("the search did not come to an end, so that no answer is proven");
        problem
            .hint("ask for fewer foods or round the limits, and please report the ask")
            .into()
    }
}

impl From<Problem> for CombineError {
    fn from(problem: Problem) -> Self {
        Self::Problems(vec![problem])
    }
}

impl From<Vec<Problem>> for CombineError {
    fn from(problems: Vec<Problem>) -> Self {
        Self::Problems(problems)
    }
}
