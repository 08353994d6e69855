//! Use cases of a household with its book: freezing a batch, serving a meal, choosing what to cook
//! next, adding up the cost. Each returns a value with its warnings, to be shown by any interface.

mod allergies;
mod batch_preview;
mod catching_up;
mod children;
mod combining;
mod cooking_next;
mod correcting;
mod costs;
mod drinking;
mod eaters;
mod food_doubts;
mod food_facts;
mod forecast;
mod freezing;
mod keeping;
mod knowing;
mod measuring;
mod mixing;
mod objections;
mod plan_facts;
mod plan_objections;
mod plan_validation;
mod planned_names;
mod planner;
mod proposing;
mod raising;
mod reacting;
mod recooking;
mod renaming;
mod rules;
mod serving;
mod serving_parser;
mod serving_words;
mod shopping;
mod supplementing;
mod visit;
mod week;

pub use allergies::{AllergyReading, read_allergies};
pub use batch_preview::{BatchPreview, batch_preview};
pub use catching_up::{
    CaughtUp, GapAnswer, GapAnswers, GapDay, GapMeal, catch_up, catch_up_each, gap_days,
};
pub use children::{
    ChildChanges, add_child, change_child, gone_allergies, is_long_ago, meals_before_birth,
    no_longer_stopped, shown_age,
};
pub use combining::{Combined, Combining, FromRecipe, eater};
pub use cooking_next::{CookNext, KnownFoods, NextRecipe, cook_next};
pub use correcting::{AppliedCorrection, correct};
pub use costs::{Outlay, RecipeOutlay, SavedSoFar, ThrownAway, outlay};
pub use drinking::{is_no_milk, milk_part, typed_milks};
pub use food_facts::{
    Complement, FoodFacts, FoodPortion, FoodView, PortionMeasure, RecipeWithFood, puree_complements,
};
pub use forecast::Forecast;
pub use freezing::{
    CUBES_TOLD, Freezing, Frozen, USUAL_SERVING, cubes_of, freeze, on_the_scale, weighed_doubt,
};
pub use keeping::too_much;
pub use knowing::know_foods;
pub use measuring::{
    MeasureDoubt, centimetres, measure_doubt, measurement, measurements, typed_mass,
    weight_at_birth,
};
pub use mixing::{BeforeServing, BowlPart, Mixing, MoreIron};
pub use objections::{BookJudge, EaterRecord, Judged, MealToJudge, drink};
pub use plan_facts::plan_facts;
pub use plan_objections::{objections_to_plan, plan_objections};
pub use plan_validation::PlanValidation;
pub use planned_names::name_planned_foods;
pub use planner::Wish;
pub use proposing::{ProposedWeek, judged_week, other_dishes, propose_week};
pub use raising::Raised;
pub use reacting::{call_for_help, reaction_response};
pub use recooking::{Difference, recook};
pub use renaming::{Orphan, child_to_rename, orphaned, orphans, rename_child, rename_recipe};
pub use rules::{
    HouseholdChanges, NewJar, NewTray, change_household, put_jar, put_tray, wells_and_volume,
};
pub use serving::{
    BeforeMeal, JudgedMeals, RecordedMeal, before_serving, freezer_objections, planned_meal, serve,
    serve_each, written_before,
};
pub use serving_parser::{
    ServingParser, TypedPart, TypedServings, find_cubes, helping, known_recipes, pick,
};
pub use shopping::{shopping_days, shopping_list, shopping_objections};
pub use supplementing::{
    above_upper, dose, dose_in_name, nutrient_of_product, product_on_record, supplement_each,
};
pub use visit::{VisitFacts, usual_first_day, visit_facts, visit_span};
pub use week::{KeptWeek, eaten_days, eaten_week, planned_week};

use crate::cooking::ClassTable;
use crate::food::Pantry;
use crate::notebook::BookError;
use crate::portion::{Target, Tray};
use crate::recipe::{Batch, Kitchen, Recipe, scaled_batch};

/// Calculates a recipe, scaled to its target.
///
/// Errors: the tables cannot be read; or the recipe is wrong, with a problem for every place.
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
    prepared.check_weighed()?;
    Ok(scaled_batch(&prepared, target, tray)??)
}
