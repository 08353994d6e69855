//! A recipe made ready to calculate: foods looked up, amounts turned into masses, and for each
//! ingredient the yield and the retention rows chosen.

use crate::next_step::NextStep;
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::sync::Arc;

use data_import::{Error, Food, FoodId, NutrientId, Origin, Provenance};

use super::ingredient::{leavings_eaten, share_returned};
use super::{
    Basis, DrainedCan, Ingredient, PreparedIngredient, PreparedPot, Recipe, RecipeServing,
    TAP_WATER, food_id,
};
use crate::cooking::{CanRow, ClassTable, Method, Preparation, RetentionRow, Stated};
use crate::food::{FoodData, FoodDataError, Pantry, mass_of};
use crate::portion::{Rounding, on_the_scale};
use crate::problem::{Located, Problem, SourceText};
use crate::quantity::{Mass, Volume};
use crate::spoken::{Context, FoodReading, Lookup, Reader, TakenAmount, Unclear, knows_unit};
use crate::strict_toml::in_order;
use crate::uncertainty::{FoodSpreads, SpreadTable};

/// What a calculation needs besides the recipe.
#[derive(Debug)]
pub struct Kitchen<'a> {
    /// The foods in use.
    pub foods: &'a Pantry,
    /// Which class a food is cooked as.
    pub classes: &'static ClassTable,
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
    /// How far its values may be off.
    pub spreads: FoodSpreads,
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

    /// The recipe with the ids of its foods in the place of words for them, and grams in the place of pieces; and for each
    /// ingredient what is not clear in it.
    fn in_ids(&self, recipe: &Recipe) -> Result<(Recipe, Vec<Vec<Problem>>), FoodDataError> {
        let mut recipe = recipe.clone();
        let mut reader = Reader::new(self, Context::Cook);
        let mut all = Vec::new();
        for one in &mut recipe.ingredients {
            let mut unclear = Vec::new();
            if !self.is_plain(one)? {
                let typed = format!(
                    "{} {} {}",
                    one.amount.value, one.food.value, one.method.value
                );
                match reader.read(&typed)? {
                    FoodReading::Taken(taken) => {
                        if let TakenAmount::Mass(amount, _) = taken.portion {
                            one.amount.value = amount;
                        }
                        if taken.edible {
                            one.basis = Basis::Edible;
                        }
                        one.food.value = taken.food.id.to_string();
                    }
                    FoodReading::Unclear(doubt) => unclear = faults(&mut reader, one, &doubt)?,
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
        food: Result<Option<Food>, Vec<Problem>>,
        common: f64,
        sources: &ValueSources,
    ) -> Result<Result<PreparedIngredient, Vec<Problem>>, Error> {
        let named = retention_named(written);
        let food = food.and_then(|food| food.ok_or_else(|| vec![unknown_food(&written.food)]));
        let weighed_out = food.and_then(|food| {
            let resolved = mass_of(&written.amount.value, &food);
            let resolved = resolved.map_err(|error| {
                let problem = written.amount.problem(error.to_string());
                vec![problem.hint(error.hint())]
            })?;
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

/// Where the values of the foods of a recipe come from.
struct ValueSources {
    read: BTreeMap<FoodId, Vec<Provenance>>,
    spreads: SpreadTable,
}

impl ValueSources {
    /// Reads what there is of these foods, all at once.
    fn of(kitchen: &Kitchen<'_>, foods: &[FoodId]) -> Result<Self, Error> {
        Ok(Self {
            read: kitchen.foods.provenance_of(foods)?,
            spreads: SpreadTable::builtin()?,
        })
    }

    /// Of a food of the recipe, or of what is left when its can is drained.
    fn provenance(
        &self,
        kitchen: &Kitchen<'_>,
        food: &FoodId,
    ) -> Result<Cow<'_, [Provenance]>, Error> {
        match self.read.get(food) {
            Some(read) => Ok(read.into()),
            None => Ok(kitchen.foods.provenance(food)?.into()),
        }
    }

    fn origins(
        &self,
        kitchen: &Kitchen<'_>,
        food: &FoodId,
    ) -> Result<BTreeMap<NutrientId, Origin>, Error> {
        let provenance = self.provenance(kitchen, food)?;
        let origins = provenance.iter().map(|one| (one.nutrient, one.origin));
        Ok(origins.collect())
    }

    fn spreads(&self, kitchen: &Kitchen<'_>, food: &Food) -> Result<FoodSpreads, Error> {
        self.spreads
            .of_food(food, &self.provenance(kitchen, &food.id)?)
    }
}

/// Everything that is not clear in an ingredient: its food and its amount are read each for itself, so that one does not hide the other.
fn faults<L: Lookup>(
    reader: &mut Reader<'_, L>,
    written: &Ingredient,
    doubt: &Unclear,
) -> Result<Vec<Problem>, L::Error> {
    let (food, amount, method) = (
        &written.food.value,
        &written.amount.value,
        written.method.value,
    );
    let of_food = match reader.read(&format!("100 g {food} {method}"))? {
        FoodReading::Taken(taken) => {
            // The food is clear: the amount is not.
            let of_amount = reader.read(&format!("{amount} {} {method}", taken.food.id))?;
            let unclear = match &of_amount {
                FoodReading::Unclear(unclear) => unclear,
                FoodReading::Taken(_) => doubt,
            };
            let unclear = if unclear.is_of_the_food() || !knows_unit(amount.unit())? {
                no_amount(written)
            } else {
                unclear_at(&written.amount, unclear)
            };
            return Ok(vec![unclear]);
        }
        FoodReading::Unclear(mut unclear) => {
            unclear.typed.clone_from(food);
            unclear
        }
    };
    let mut problems = vec![unclear_at(&written.food, &of_food)];
    if !knows_unit(amount.unit())? {
        problems.push(no_amount(written));
    }
    Ok(problems)
}

/// An amount whose unit nobody knows.
fn no_amount(written: &Ingredient) -> Problem {
    let amount = &written.amount;
    let place = amount.place.as_ref();
    let typed = place.and_then(|place| place.source.text.get(place.span.clone()));
    let typed = typed.map(|typed| typed.trim_matches('"').to_string());
    let typed = typed.unwrap_or_else(|| amount.value.to_string());
    amount
        .problem(format!("“{typed}” is no amount of {}", written.food.value))
        .hint("write a number and g, kg, oz, lb, or a measure of the food, such as 600 g or 2 cup")
}

/// What is not clear, at the place where it is written.
fn unclear_at<T>(written: &Located<T>, unclear: &Unclear) -> Problem {
    let mut hint = unclear.hint();
    for one in &unclear.choices {
        let _ = write!(hint, "\nfood = \"{}\"  # {}", one.id, one.name);
    }
    written.problem(unclear.what()).hint(hint)
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
