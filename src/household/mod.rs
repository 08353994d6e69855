//! What a household does with its book: freeze a batch, serve a meal, see what to cook next and what it all cost. Each is
//! told as a value with its warnings, for whatever shows it.

mod cooking_next;
mod eaters;
mod freezing;
mod mixing;
mod objections;
mod outlay;
mod plan_facts;
mod plan_objections;
mod plan_rules;
mod planner;
mod proposing;
mod said;
mod serving;
mod shopping;
mod stove;
mod visit;
mod warnings;
mod week;

pub use cooking_next::{CookNext, KnownFoods, NextRecipe, cook_next};
pub use freezing::{Freezing, Frozen, USUAL_SERVING, cubes_of, freeze};
pub use mixing::{BeforeServing, BowlPart, Mixing, MoreIron};
pub use objections::{Asked, BookJudge, Eater, Judged, drink};
pub use outlay::{Outlay, RecipeOutlay, SavedSoFar, outlay};
pub use plan_facts::plan_facts;
pub use plan_objections::plan_objections;
pub use plan_rules::PlanRules;
pub use planner::Wish;
pub use proposing::{ProposedWeek, propose_week};
pub use said::{Listener, Lookup, Said, Spoken, parts as said_parts, pick};
pub use serving::{BeforeMeal, Meal, before_serving, freezer_objections, planned_meal, serve};
pub use shopping::{shopping_list, shopping_objections};
pub use stove::{BeforeCooking, at_the_stove};
pub use visit::{VisitFacts, visit_facts, visit_span};
pub use warnings::too_much;
pub use week::{KeptWeek, eaten_days, eaten_week, planned_week};

use crate::cooking::ClassTable;
use crate::food::Pantry;
use crate::notebook::BookError;
use crate::portion::{Target, Tray};
use crate::recipe::{Batch, Kitchen, Recipe, scaled_batch};

/// Calculates a recipe, scaled to its target.
///
/// Errors: the tables cannot be read; or the recipe is wrong, with every place.
pub fn calculated(
    recipe: &Recipe,
    target: &Target,
    tray: &Tray,
    pantry: &Pantry,
) -> Result<Batch, BookError> {
    let kitchen = Kitchen {
        foods: pantry,
        classes: ClassTable::builtin()?,
    };
    let prepared = kitchen.prepare(recipe)??;
    Ok(scaled_batch(&prepared, target, tray)??)
}
