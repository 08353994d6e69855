//! The recipe file, and the batch calculation that ties food, cooking and portion together.

mod calculate;
mod cube;
mod doubts;
mod draft;
mod file;
mod ingredient;
mod liquid;
mod notes;
mod prepare;
mod prepared;
mod scale;
mod spec;
mod unclear_ingredient;
mod value_sources;
mod written;

pub use calculate::{Batch, BatchNote, Masses, NoteKind, NutrientTotal};
pub(crate) use calculate::{DRY_SLACK, MOST_TIMES};
pub use doubts::CubeMade;
pub use draft::{Draft, DraftIngredient, DraftPart, Former, Written};
pub use ingredient::{DrainedCan, PreparedIngredient, PreparedPot, RetainedShares};
pub use prepare::Kitchen;
pub use prepared::{Prepared, PreparedLiquid};
pub use scale::scaled_batch;
pub use spec::{Additions, from_command_line};

use data_import::FoodId;

use crate::cooking::{Method, State};
use crate::next_step::NextStep;
use crate::problem::Located;
use crate::quantity::{Amount, Mass, Volume};

/// What an amount counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// As bought: refuse is still to be removed.
    Purchased,
    /// Peeled, boned and trimmed.
    Edible,
}

/// A recipe as it is written.
#[derive(Debug, Clone)]
pub struct Recipe {
    /// Its title.
    pub title: String,
    /// What goes in; never empty.
    pub ingredients: Vec<Ingredient>,
    /// The cooking liquid.
    pub liquid: Liquid,
    /// The blended batch.
    pub puree: Puree,
    /// What one child gets at a meal.
    pub serving: RecipeServing,
    /// How long its cubes keep, where the recipe says so.
    pub freezer: FreezerLife,
}

impl Recipe {
    /// The ids of its foods, the water among them; what is not an id is left out.
    pub fn foods(&self) -> impl Iterator<Item = FoodId> {
        let foods = self.ingredients.iter().map(|one| &one.food);
        foods
            .chain([&self.liquid.water])
            .filter_map(|food| food.value.parse().ok())
    }
}

/// How long the cubes of a recipe keep, where it says so.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct FreezerLife {
    /// Days.
    pub days: Option<u32>,
    /// Who says so.
    pub source: Option<String>,
}

/// One ingredient as it is written.
#[derive(Debug, Clone)]
pub struct Ingredient {
    /// Id in the food table.
    pub food: Located<String>,
    /// The words that the food was found by, which may name a hazard that its entry does not:
    /// `rhubarb leaves`; empty for an id alone.
    pub typed: String,
    /// How much of it.
    pub amount: Located<Amount>,
    /// What the amount counts.
    pub basis: Basis,
    /// How it is cooked.
    pub method: Located<Method>,
    /// Cooked mass / edible mass, where the recipe states it.
    pub yield_factor: Option<Located<f64>>,
    /// Cooked mass off the scale.
    pub weighed: Option<Located<Mass>>,
    /// Code of a row of the retention table.
    pub retention: Option<Located<String>>,
    /// The state it is bought in, where its name does not tell.
    pub state: Option<State>,
    /// The share of its drippings, 0 to 1, that is eaten.
    pub drippings: Option<f64>,
    /// The liquid of a pot of its own.
    pub pot: Option<IngredientLiquid>,
}

/// The liquid of the pot of one ingredient.
#[derive(Debug, Clone)]
pub struct IngredientLiquid {
    /// What was left in it.
    pub collected: Located<Volume>,
    /// The part blended back in; at most what was collected.
    pub returned: Located<Volume>,
}

/// The cooking liquid as it is written.
#[derive(Debug, Clone)]
pub struct Liquid {
    /// What was left in the pot or steamer.
    pub collected: Located<Volume>,
    /// The part blended back in; at most what was collected.
    pub returned: Located<Volume>,
    /// Plain water blended in.
    pub added: Located<Volume>,
    /// The food that stands for the water.
    pub water: Located<String>,
}

/// USDA SR28 14411, "Beverages, water, tap, drinking": it brings its own minerals.
pub const TAP_WATER: &str = "14411";

impl Liquid {
    /// No liquid at all.
    pub fn none() -> Self {
        Self {
            collected: Located::default_of(Volume::ZERO),
            returned: Located::default_of(Volume::ZERO),
            added: Located::default_of(Volume::ZERO),
            water: Located::default_of(TAP_WATER.into()),
        }
    }
}

/// What the scale showed of the blended batch.
#[derive(Debug, Clone, Default)]
pub struct Puree {
    /// The blended batch on the scale.
    pub weighed: Option<Located<Mass>>,
    /// What stayed in the pot and the blender; not counted where the batch is weighed.
    pub loss: Option<Located<Mass>>,
}

/// What one child gets of the batch at one meal.
#[derive(Debug, Clone)]
pub struct RecipeServing {
    /// Cubes.
    pub cubes: u32,
    /// Whether they are warmed.
    pub reheat: bool,
}

impl Default for RecipeServing {
    /// Two warmed cubes make a serving of about two ounces (common practice, no source).
    fn default() -> Self {
        Self {
            cubes: 2,
            reheat: true,
        }
    }
}

/// The id of a food; the problem with the text where it is not one.
pub(crate) fn food_id(text: &Located<String>) -> Result<FoodId, crate::problem::Problem> {
    text.value.parse().map_err(|_| {
        let what = format!("“{}” is not the id of a food", text.value);
        let words = text.value.trim();
        text.problem(what).hint(match words {
            "" => NextStep::find_food(),
            words => NextStep::FindFood(words.into()),
        })
    })
}
