//! A recipe made ready to calculate: foods looked up, amounts turned into masses, and for each
//! ingredient the yield and the retention rows chosen.

use std::sync::Arc;

use data_import::{Error, Food, FoodId};

use super::ingredient::{leavings_eaten, share_returned};
use super::unclear_ingredient::faults;
use super::value_sources::ValueSources;
use super::{
    Basis, DrainedCan, Ingredient, Prepared, PreparedIngredient, PreparedLiquid, PreparedPot,
    Recipe, TAP_WATER, food_id,
};
use crate::cooking::{CanRow, ClassTable, Method, Preparation, RetentionRow, Stated};
use crate::food::{FoodData, FoodDataError, Pantry, Resolved, mass_of};
use crate::next_step::NextStep;
use crate::problem::{Located, Problem, SourceText};
use crate::spoken::{Context, FoodReading, Lookup, Reader, TakenAmount};
use crate::strict_toml::in_order;

/// What a calculation needs besides the recipe.
#[derive(Debug)]
pub struct Kitchen<'a> {
    /// The foods in use.
    pub foods: &'a Pantry,
    /// Which class a food is cooked as.
    pub classes: &'static ClassTable,
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
        let written = written
            .zip(unclear)
            .chain([(&recipe.liquid.water, Vec::new())]);
        let ids = written.map(|(food, unclear)| match unclear.as_slice() {
            [] => food_id(food).map_err(|problem| vec![problem]),
            _ => Err(unclear),
        });
        let ids: Vec<Result<FoodId, Vec<Problem>>> = ids.collect();
        let asked: Vec<FoodId> = ids.iter().flatten().cloned().collect();
        let mut found = self.foods.foods(&asked)?.into_iter();
        let sources = ValueSources::of(self, &asked)?;
        let mut foods = ids.into_iter().map(|id| id.map(|_| found.next().flatten()));
        let mut ingredients = Vec::new();
        let mut problems = Vec::new();
        let common = share_returned(recipe.liquid.collected.value, recipe.liquid.returned.value);
        for (ingredient, food) in recipe.ingredients.iter().zip(foods.by_ref()) {
            match self.ingredient(ingredient, food, common, &sources)? {
                Ok(ready) => ingredients.push(ready),
                Err(several) => problems.extend(several),
            }
        }
        let water = match foods.next() {
            Some(Ok(None)) if recipe.liquid.water.place.is_none() => {
                // Not every dataset has tap water; the built-in one has.
                let built_in = FoodData::BuiltIn.table()?.foods(&[tap_water()?])?;
                Ok(built_in.into_iter().next().flatten())
            }
            water => water.unwrap_or(Ok(None)),
        };
        let water =
            water.and_then(|water| water.ok_or_else(|| vec![unknown_food(&recipe.liquid.water)]));
        let water = water.map_err(|several| problems.extend(several)).ok();
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
                spreads: sources.spreads(self, &water)?,
                water,
            },
            weighed: recipe.puree.weighed.clone(),
            loss: recipe.puree.loss.clone(),
            serving: recipe.serving.clone(),
        }))
    }

    /// The recipe with the ids of its foods in the place of words for them, and grams in the place
    /// of pieces; and for each ingredient what is not clear in it.
    fn in_ids(&self, recipe: &Recipe) -> Result<(Recipe, Vec<Vec<Problem>>), FoodDataError> {
        let mut recipe = recipe.clone();
        let mut reader = Reader::new(self, Context::Cook);
        let mut all = Vec::new();
        for ingredient in &mut recipe.ingredients {
            let mut unclear = Vec::new();
            if !self.is_plain(ingredient)? {
                let typed = format!(
                    "{} {} {}",
                    ingredient.amount.value, ingredient.food.value, ingredient.method.value
                );
                match reader.read(&typed)? {
                    FoodReading::Taken(taken) => {
                        if let TakenAmount::Mass(amount, _) = taken.portion {
                            ingredient.amount.value = amount;
                        }
                        if taken.edible {
                            ingredient.basis = Basis::Edible;
                        }
                        // An id says no more than its entry does.
                        if ingredient.food.value.parse::<FoodId>().is_err() {
                            ingredient.typed.clone_from(&ingredient.food.value);
                        }
                        ingredient.food.value = taken.food.id.to_string();
                    }
                    FoodReading::Unclear(doubt) => {
                        unclear = faults(&mut reader, ingredient, &doubt)?;
                    }
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

    /// An ingredient made ready. `common` is the share of the common liquid that is returned, 0 to
    /// 1.
    fn ingredient(
        &self,
        written: &Ingredient,
        food: Result<Option<Food>, Vec<Problem>>,
        common: f64,
        sources: &ValueSources,
    ) -> Result<Result<PreparedIngredient, Vec<Problem>>, Error> {
        let named = retention_named(written);
        let food = food.and_then(|food| food.ok_or_else(|| vec![unknown_food(&written.food)]));
        let weighed_out = food.and_then(|food| {
            let resolved = resolved_amount(written, &food).map_err(|problem| vec![problem])?;
            Ok((food, resolved))
        });
        let (named, (food, resolved)) = match (named, weighed_out) {
            (Ok(named), Ok(ready)) => (named, ready),
            (named, ready) => {
                let problems = ready.err().unwrap_or_default().into_iter();
                return Ok(Err(problems.chain(named.err()).collect()));
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
            origins: sources.origins(self, &eaten.id)?,
            newer: self.foods.newer_than(&eaten.id)?,
            spreads: sources.spreads(self, eaten)?,
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
            typed: written.typed.clone(),
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

/// The mass of the amount of an ingredient.
fn resolved_amount(written: &Ingredient, food: &Food) -> Result<Resolved, Problem> {
    mass_of(&written.amount.value, food).map_err(|error| {
        let problem = written.amount.problem(error.to_string());
        problem.hint(error.hint())
    })
}

/// The retention row that the recipe names.
fn retention_named(written: &Ingredient) -> Result<Option<RetentionRow>, Problem> {
    let Some(code) = &written.retention else {
        return Ok(None);
    };
    let row = RetentionRow::find(&code.value);
    row.map(Some).ok_or_else(|| {
        let what = format!("“{}” is not a code of the retention table", code.value);
        let hint = "codes have four digits, such as 3464 (roots, steamed)";
        code.problem(what).hint(hint)
    })
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
