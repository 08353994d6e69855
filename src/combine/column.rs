//! What a gram of cooked food brings to a serving, by the calculation of a whole batch.
//!
//! All that a batch holds is in proportion to the amounts in it, so that a purée is the sum of its
//! foods: each is cooked alone, by [`Prepared::calculate`](crate::recipe::Prepared::calculate), and
//! no formula of cooking is written here a second time. Volumes add up nearly: a batch's own
//! density is within 0.02 % of that of the sum (the constituents of foods do not add up to exactly
//! 100 g).

use data_import::{Food, FoodId, Nutrient, NutrientId};

use super::CombineError;
use crate::cooking::Method;
use crate::portion::{Constituents, ROOM_CELSIUS};
use crate::problem::{Located, Problem};
use crate::quantity::Amount;
use crate::recipe::{
    Basis, Batch, FreezerLife, Ingredient, Kitchen, Liquid, Prepared, Puree, Recipe, RecipeServing,
};

/// The edible mass in grams of the batch in which a food is cooked alone.
pub const COOKED_GRAMS: f64 = 1000.0;

/// What one gram of a cooked food, or of a purée, brings as it is served.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Column {
    /// Iron, mg.
    pub iron: f64,
    /// Vitamin C, mg; `None` where no dataset says.
    pub vitamin_c: Option<f64>,
    /// Sodium, mg.
    pub sodium: f64,
    /// Retinol, µg.
    pub retinol: f64,
    /// Energy, kcal.
    pub energy: f64,
    /// Dry matter, g.
    pub dry_matter: f64,
    /// Volume, ml.
    pub volume: f64,
    /// Edible raw mass, g.
    pub edible: f64,
    /// Mass as bought, g.
    pub bought: f64,
    /// The nutrient of the request, in its unit.
    pub goal: f64,
}

/// A food and the way it is cooked.
#[derive(Debug)]
pub struct ToCook {
    /// The food.
    pub food: FoodId,
    /// The way to cook it.
    pub method: Method,
    /// Whether the food may hold retinol, so that a missing value is not zero.
    pub may_hold_retinol: bool,
}

/// Cooks foods of the tables, each alone, in the order of `asked`; `None` for a food that lacks a
/// necessary value.
///
/// Errors: the food table cannot be read; a food cannot be cooked so.
pub(super) fn cooked(
    kitchen: &Kitchen<'_>,
    asked: &[ToCook],
    goal: &Nutrient,
) -> Result<Vec<Option<Column>>, CombineError> {
    let ingredients = asked
        .iter()
        .map(|to_cook| edible_grams(&to_cook.food, COOKED_GRAMS, to_cook.method));
    let ingredients = ingredients.collect::<Result<Vec<_>, _>>()?;
    if ingredients.is_empty() {
        return Ok(Vec::new());
    }
    let prepared = kitchen.prepare(&recipe(ingredients))??;
    let all = prepared.ingredients.iter().zip(asked);
    let columns = all.map(|(ingredient, asked)| {
        let alone = Prepared {
            title: String::new(),
            factor: 1.0,
            ingredients: vec![ingredient.clone()],
            liquid: prepared.liquid.clone(),
            weighed: None,
            loss: None,
            serving: prepared.serving.clone(),
        };
        let batch = alone.calculate()??;
        Ok(column(&batch, goal, asked.may_hold_retinol))
    });
    columns.collect()
}

/// What a gram of a batch brings; `None` where a necessary value is not known. A missing value of
/// retinol is zero for a food that cannot hold any.
pub fn column(batch: &Batch, goal: &Nutrient, may_hold_retinol: bool) -> Option<Column> {
    let puree = batch.masses.puree.grams();
    let served = |nutrient: NutrientId| {
        let total = batch.total(nutrient)?;
        let complete = total.batch.complete();
        total
            .served
            .filter(|_| complete)
            .map(|served| served / puree)
    };
    let retinol = served(NutrientId::RETINOL);
    Some(Column {
        iron: served(NutrientId::IRON)?,
        vitamin_c: served(NutrientId::VITAMIN_C),
        sodium: served(NutrientId::SODIUM)?,
        retinol: if may_hold_retinol {
            retinol?
        } else {
            retinol.unwrap_or(0.0)
        },
        energy: served(NutrientId::ENERGY)?,
        dry_matter: batch.dry_matter? / batch.masses.puree,
        volume: 1.0 / batch.density,
        edible: batch.masses.edible.grams() / puree,
        bought: batch.masses.purchased.grams() / puree,
        goal: served(goal.id)?,
    })
}

/// What a gram of plain water brings; `None` where a necessary value is not known.
pub(super) fn water(food: &Food, goal: &Nutrient) -> Option<Column> {
    let per_gram = |nutrient| food.composition.get(nutrient).map(|value| value / 100.0);
    let density = Constituents::of(per_gram)?.density(ROOM_CELSIUS)?;
    Some(Column {
        iron: per_gram(NutrientId::IRON)?,
        vitamin_c: per_gram(NutrientId::VITAMIN_C),
        sodium: per_gram(NutrientId::SODIUM)?,
        retinol: 0.0,
        energy: per_gram(NutrientId::ENERGY)?,
        dry_matter: 1.0 - per_gram(NutrientId::WATER)?,
        volume: 1.0 / density,
        edible: 1.0,
        bought: 0.0,
        goal: per_gram(goal.id)?,
    })
}

/// A mass of a food in grams, trimmed, cooked in one way.
///
/// Errors: the mass is more than a kitchen holds.
pub fn edible_grams(food: &FoodId, grams: f64, method: Method) -> Result<Ingredient, Problem> {
    let amount = format!("{grams} g").parse::<Amount>();
    let amount = amount.map_err(|error| Problem::new(error.to_string()).hint(error.hint()))?;
    Ok(Ingredient {
        food: Located::default_of(food.to_string()),
        typed: String::new(),
        amount: Located::default_of(amount),
        basis: Basis::Edible,
        method: Located::default_of(method),
        yield_factor: None,
        weighed: None,
        retention: None,
        state: None,
        drippings: None,
        pot: None,
    })
}

/// A recipe of these ingredients, without liquid.
pub fn recipe(ingredients: Vec<Ingredient>) -> Recipe {
    Recipe {
        title: String::new(),
        ingredients,
        liquid: Liquid::none(),
        puree: Puree::default(),
        serving: RecipeServing::default(),
        freezer: FreezerLife::default(),
    }
}

/// The nutrient of a request that names none: iron.
///
/// Errors: the table of nutrients cannot be read.
pub fn usual_goal() -> Result<&'static Nutrient, Problem> {
    let iron = data_import::nutrient(NutrientId::IRON);
    let iron = iron.map_err(|error| Problem::new(error.to_string()))?;
    iron.ok_or_else(|| Problem::new("iron is not in the table of nutrients"))
}

/// The nutrient with a tagname, of those that can be asked for.
///
/// Errors: there is no such nutrient; the hint names those that can be asked for.
pub fn goal_of(tag: &str) -> Result<&'static Nutrient, Problem> {
    let known = data_import::nutrients().map_err(|error| Problem::new(error.to_string()))?;
    let asked = |nutrient: &&Nutrient| GOALS.contains(&nutrient.id) && nutrient.tag == tag;
    known.iter().find(asked).ok_or_else(|| {
        let tags = known.iter().filter(|nutrient| GOALS.contains(&nutrient.id));
        let tags = tags
            .map(|nutrient| nutrient.tag.as_str())
            .collect::<Vec<_>>();
        Problem::new(format!("“{tag}” is no nutrient that can be asked for"))
            .hint(format!("one of {}", tags.join(", ")))
    })
}

/// The nutrients that can be asked for.
const GOALS: [NutrientId; 6] = [
    NutrientId::IRON,
    NutrientId::ZINC,
    NutrientId::VITAMIN_C,
    NutrientId::PROTEIN,
    NutrientId::FAT,
    NutrientId::ENERGY,
];
