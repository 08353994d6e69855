//! A recipe made ready to calculate: foods looked up, amounts turned into masses, and for each
//! ingredient the yield and the retention rows chosen.

use crate::next_step::NextStep;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::sync::Arc;

use data_import::{Error, Food, FoodId, FoodTable, NutrientId, Origin};

use super::ingredient::{leavings_eaten, share_returned};
use super::{
    Basis, DrainedCan, Ingredient, PreparedIngredient, PreparedPot, Recipe, RecipeServing,
    TAP_WATER, food_id,
};
use crate::cooking::{CanRow, ClassTable, Method, Preparation, RetentionRow, Stated};
use crate::food::{FoodDataError, Pantry, mass_of};
use crate::portion::{Rounding, on_the_scale};
use crate::problem::{Located, Problem, SourceText};
use crate::quantity::{Mass, Volume};
use crate::spoken::{Context, Lookup, Reader, TakenAmount, Unclear};
use crate::strict_toml::in_order;

/// What a calculation needs besides the recipe.
#[derive(Debug)]
pub struct Kitchen<'a> {
    /// The foods in use.
    pub foods: &'a Pantry,
    /// Which class a food is cooked as.
    pub classes: ClassTable,
}

/// A recipe ready to calculate.
#[derive(Debug, Clone)]
pub struct Prepared {
    /// Its title.
    pub title: String,
    /// How often the written recipe goes into it.
    pub factor: f64,
    /// What goes in.
    pub ingredients: Vec<PreparedIngredient>,
    /// The cooking liquid.
    pub liquid: PreparedLiquid,
    /// The blended batch on the scale.
    pub weighed: Option<Located<Mass>>,
    /// What stays in the pot and the blender.
    pub loss: Option<Located<Mass>>,
    /// What one child gets at a meal.
    pub serving: RecipeServing,
}

impl Prepared {
    /// What is expected to stay in the pot and the blender; `None` where the scale says what came out.
    pub fn expected_loss(&self) -> Option<Mass> {
        let loss = self.loss.as_ref().map(|loss| loss.value);
        loss.filter(|_| self.weighed.is_none())
    }
}

/// The cooking liquid ready to calculate.
#[derive(Debug, Clone)]
pub struct PreparedLiquid {
    /// What was left in the pot or steamer.
    pub collected: Volume,
    /// The part blended back in.
    pub returned: Volume,
    /// Plain water blended in.
    pub added: Volume,
    /// The food that stands for the water.
    pub water: Food,
}

impl PreparedLiquid {
    /// The share of the collected liquid that is returned; 0 where nothing was collected.
    pub fn returned_share(&self) -> f64 {
        share_returned(self.collected, self.returned)
    }

    /// Returned and added liquid together, at 1 g/ml.
    pub fn mass(&self) -> Mass {
        (self.returned + self.added).at_density(1.0)
    }
}

impl Prepared {
    /// The purée that the cooked ingredients and the liquid add up to.
    pub fn expected(&self) -> Mass {
        self.ingredients
            .iter()
            .map(PreparedIngredient::cooked)
            .sum::<Mass>()
            + self.liquid_mass()
    }

    /// Everything liquid that is blended in, at 1 g/ml: of the common pot, of pots of one ingredient, and plain water.
    pub fn liquid_mass(&self) -> Mass {
        let pots = self.ingredients.iter().filter_map(|one| one.pot);
        let pots = pots.map(|pot| pot.returned.at_density(1.0)).sum::<Mass>();
        self.liquid.mass() + pots
    }

    /// Everything in the recipe times `factor`, then rounded to what a kitchen scale shows.
    #[must_use]
    pub fn scaled(&self, factor: f64, rounding: Rounding) -> Self {
        let mass = |mass: Mass| on_the_scale(mass * factor, rounding);
        let volume = |volume: Volume| {
            let rounded = mass(Mass::from_grams(volume.millilitres()));
            Volume::from_millilitres(rounded.grams())
        };
        let mut scaled = self.clone();
        scaled.factor *= factor;
        for ingredient in &mut scaled.ingredients {
            let written = ingredient.amount;
            ingredient.amount = mass(written);
            // What was weighed after cooking grows with what is really weighed out.
            let grown = ingredient.amount / written;
            ingredient.weighed = ingredient.weighed.map(|weighed| weighed * grown);
            ingredient.pot = ingredient.pot.map(|pot| PreparedPot {
                collected: volume(pot.collected),
                returned: volume(pot.returned),
            });
        }
        scaled.liquid.collected = volume(self.liquid.collected);
        scaled.liquid.returned = volume(self.liquid.returned);
        scaled.liquid.added = volume(self.liquid.added);
        let grown = scaled.expected() / self.expected();
        let in_step = |located: &Located<Mass>| located.with(located.value * grown);
        scaled.weighed = self.weighed.as_ref().map(in_step);
        scaled.loss = self.loss.as_ref().map(in_step);
        scaled
    }
}

impl Lookup for Kitchen<'_> {
    type Error = FoodDataError;

    fn foods(&self) -> Result<Pantry, FoodDataError> {
        Ok(self.foods.clone())
    }
}

impl Kitchen<'_> {
    /// Reads a recipe, and says all at once what is wrong with it, the foods and measures that the tables do not know
    /// too.
    ///
    /// Errors: the food table cannot be read; or everything that is wrong, each with its place.
    pub fn read(
        &self,
        source: &Arc<SourceText>,
    ) -> Result<Result<Recipe, Vec<Problem>>, FoodDataError> {
        let (recipe, mut problems) = match Recipe::legible(source) {
            Ok(legible) => legible,
            Err(problem) => return Ok(Err(vec![problem])),
        };
        if problems.is_empty() {
            return Ok(Ok(recipe));
        }
        problems.extend(self.prepare(&recipe)?.err().unwrap_or_default());
        in_order(&mut problems);
        Ok(Err(problems))
    }

    /// Makes a recipe ready.
    ///
    /// Errors: the food table cannot be read; or everything in the recipe that the tables do not
    /// know, each with its place.
    pub fn prepare(
        &self,
        recipe: &Recipe,
    ) -> Result<Result<Prepared, Vec<Problem>>, FoodDataError> {
        let (recipe, unclear) = self.in_ids(recipe)?;
        let written = recipe.ingredients.iter().map(|ingredient| &ingredient.food);
        let written = written.zip(unclear).chain([(&recipe.liquid.water, None)]);
        let ids = written.map(|(food, unclear)| unclear.map_or_else(|| food_id(food), Err));
        let ids: Vec<Result<FoodId, Problem>> = ids.collect();
        let asked: Vec<FoodId> = ids.iter().flatten().cloned().collect();
        let mut found = self.foods.foods(&asked)?.into_iter();
        let mut foods = ids.into_iter().map(|id| id.map(|_| found.next().flatten()));
        let mut ingredients = Vec::new();
        let mut problems = Vec::new();
        let common = share_returned(recipe.liquid.collected.value, recipe.liquid.returned.value);
        for (ingredient, food) in recipe.ingredients.iter().zip(foods.by_ref()) {
            match self.ingredient(ingredient, food, common)? {
                Ok(ready) => ingredients.push(ready),
                Err(several) => problems.extend(several),
            }
        }
        let water = match foods.next() {
            Some(Ok(None)) if recipe.liquid.water.place.is_none() => {
                // Not every dataset has tap water; the built-in one has.
                let built_in = FoodTable::builtin()?.foods(&[tap_water()?])?;
                Ok(built_in.into_iter().next().flatten())
            }
            water => water.unwrap_or(Ok(None)),
        };
        let water = water.and_then(|water| water.ok_or_else(|| unknown_food(&recipe.liquid.water)));
        let water = water.map_err(|problem| problems.push(problem)).ok();
        let (true, Some(water)) = (problems.is_empty(), water) else {
            return Ok(Err(problems));
        };
        Ok(Ok(Prepared {
            title: recipe.title.clone(),
            factor: 1.0,
            ingredients,
            liquid: PreparedLiquid {
                collected: recipe.liquid.collected.value,
                returned: recipe.liquid.returned.value,
                added: recipe.liquid.added.value,
                water,
            },
            weighed: recipe.puree.weighed.clone(),
            loss: recipe.puree.loss.clone(),
            serving: recipe.serving.clone(),
        }))
    }

    /// The recipe with the ids of its foods in the place of words for them, and grams in the place of pieces; and for each
    /// ingredient what is not clear in it.
    fn in_ids(&self, recipe: &Recipe) -> Result<(Recipe, Vec<Option<Problem>>), FoodDataError> {
        let mut recipe = recipe.clone();
        let mut reader = Reader::new(self, Context::Cook);
        let mut all = Vec::new();
        for one in &mut recipe.ingredients {
            let mut unclear = None;
            if !self.is_plain(one)? {
                let typed = format!(
                    "{} {} {}",
                    one.amount.value, one.food.value, one.method.value
                );
                match reader.read(&typed)? {
                    Ok(taken) => {
                        if let TakenAmount::Mass(amount, _) = taken.portion {
                            one.amount.value = amount;
                        }
                        if taken.edible {
                            one.basis = Basis::Edible;
                        }
                        one.food.value = taken.food.id.to_string();
                    }
                    Err(doubt) => unclear = Some(unclear_ingredient(one, &doubt)),
                }
            }
            all.push(unclear);
        }
        Ok((recipe, all))
    }

    /// Whether an ingredient is an id and an amount that the tables weigh.
    fn is_plain(&self, written: &Ingredient) -> Result<bool, Error> {
        let Ok(id) = written.food.value.parse::<FoodId>() else {
            return Ok(false);
        };
        if written.amount.value.mass().is_ok() {
            return Ok(true);
        }
        let food = self.foods.foods(&[id])?.pop().flatten();
        Ok(food.is_none_or(|food| mass_of(&written.amount.value, &food).is_ok()))
    }

    fn ingredient(
        &self,
        written: &Ingredient,
        food: Result<Option<Food>, Problem>,
        common: f64,
    ) -> Result<Result<PreparedIngredient, Vec<Problem>>, Error> {
        let named = retention_named(written)?;
        let food = food.and_then(|food| food.ok_or_else(|| unknown_food(&written.food)));
        let weighed_out = food.and_then(|food| {
            let resolved = mass_of(&written.amount.value, &food);
            let resolved = resolved.map_err(|error| {
                let problem = written.amount.problem(error.to_string());
                problem.hint(error.hint())
            })?;
            Ok((food, resolved))
        });
        let (named, (food, resolved)) = match (named, weighed_out) {
            (Ok(named), Ok(ready)) => (named, ready),
            (named, ready) => {
                let problems = [ready.err(), named.err()].into_iter().flatten();
                return Ok(Err(problems.collect()));
            }
        };
        let method = written.method.value;
        let drained = self.drained(&food, method)?;
        let eaten = drained.as_ref().map_or(&food, |can| &can.food);
        let class = self.classes.class_of(eaten);
        let stated = Stated {
            state: written.state,
            yield_factor: written.yield_factor.as_ref().map(|stated| stated.value),
            retention: named,
        };
        let preparation = Preparation::of(eaten, &class, method, stated)?;
        let (returned, drippings) = leavings_eaten(written, common);
        Ok(Ok(PreparedIngredient {
            preparation,
            returned,
            drippings,
            pot: written.pot.as_ref().map(|pot| PreparedPot {
                collected: pot.collected.value,
                returned: pot.returned.value,
            }),
            assumed: self.assumed_of(&food.id),
            origins: self.origins_of(&eaten.id)?,
            food,
            drained,
            class,
            method,
            amount: resolved.mass,
            // The dataset's measures weigh the edible portion, whatever the recipe counts in.
            basis: if resolved.measure.is_some() {
                Basis::Edible
            } else {
                written.basis
            },
            measure: resolved.measure,
            weighed: written.weighed.as_ref().map(|weighed| weighed.value),
            written: written.food.clone(),
        }))
    }

    /// The food without the liquid of its can. Stewed, the liquid is eaten with it.
    fn drained(&self, food: &Food, method: Method) -> Result<Option<DrainedCan>, Error> {
        if method == Method::Stew {
            return Ok(None);
        }
        let Some(row) = CanRow::of(&food.id)? else {
            return Ok(None);
        };
        let drained = self.foods.foods(&[row.drained])?.pop().flatten();
        Ok(drained.map(|food| DrainedCan {
            food,
            share: row.share,
            source: row.source,
        }))
    }

    /// Where the values of a food come from.
    fn origins_of(&self, food: &FoodId) -> Result<BTreeMap<NutrientId, Origin>, Error> {
        let origins = self.foods.provenance(food)?.into_iter();
        Ok(origins.map(|one| (one.nutrient, one.origin)).collect())
    }

    /// What was assumed where the label of an own food is silent.
    fn assumed_of(&self, food: &FoodId) -> Vec<String> {
        let remarks = self.foods.label(food).into_iter();
        remarks
            .flat_map(|label| &label.remarks)
            .filter(|remark| remark.assumed)
            .map(|remark| remark.text.clone())
            .collect()
    }
}

/// What is not clear in an ingredient, at its food or at its amount.
fn unclear_ingredient(written: &Ingredient, unclear: &Unclear) -> Problem {
    let place = if unclear.is_of_the_food() {
        &written.food.place
    } else {
        &written.amount.place
    };
    let mut hint = unclear.hint();
    for one in &unclear.choices {
        let _ = write!(hint, "\nfood = \"{}\"  # {}", one.id, one.name);
    }
    Problem {
        place: place.clone(),
        ..Problem::new(unclear.what()).hint(hint)
    }
}

/// The retention row that the recipe names.
fn retention_named(written: &Ingredient) -> Result<Result<Option<RetentionRow>, Problem>, Error> {
    let Some(code) = &written.retention else {
        return Ok(Ok(None));
    };
    let row = RetentionRow::find(&code.value)?;
    Ok(row.map(Some).ok_or_else(|| {
        let what = format!("“{}” is not a code of the retention table", code.value);
        let hint = "codes have four digits, such as 3464 (roots, steamed)";
        code.problem(what).hint(hint)
    }))
}

/// The id of the water that a recipe takes where it names none.
fn tap_water() -> Result<FoodId, Error> {
    TAP_WATER.parse()
}

fn unknown_food(written: &Located<String>) -> Problem {
    let what = format!("no food has the id {}", written.value);
    written
        .problem(what)
        .hint(NextStep::without_food(&written.value))
}
