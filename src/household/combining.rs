//! What to put into a purée, for a household: what the book knows of the child goes into the
//! request, and a suggestion becomes a recipe.

use std::collections::{BTreeMap, BTreeSet};

use data_import::{Food, FoodId, NutrientId};
use jiff::civil::Date;

use super::calculated;
use super::objections::{BookJudge, alone, in_puree};
use crate::combine::{
    BASE_SHARE, BaseFood, Candidates, Combinations, CombineError, CombineRequest, PartOf, Price,
    PriceBasis, PureePart, RecipeBase, Selection, ServingSize, Suggestion, Tables, column, combine,
    edible_grams, recipe,
};
use crate::cost::Money;
use crate::food::Pantry;
use crate::next_step::{NextStep, Remark};
use crate::notebook::{Book, BookError, Child, Settings, Store};
use crate::portion::{Target, Tray};
use crate::problem::{Located, Problem};
use crate::quantity::{Amount, AmountError, Mass, Volume};
use crate::recipe::{Batch, CubeMade, Recipe};
use crate::safety::{ChildFacts, FeedingStage, Judge, Objection};
use crate::uncertainty::Interval;

/// The household for which a purée is put together.
#[derive(Debug)]
pub struct Combining<'a> {
    /// The settings of the book, or the usual ones.
    pub settings: &'a Settings,
    /// The record; `None` for a book without one, and without a book.
    pub store: Option<&'a Store>,
    /// The foods.
    pub pantry: &'a Pantry,
    /// The tray.
    pub tray: &'a Tray,
    /// The day.
    pub day: Date,
}

/// The purée that is added to: a recipe, and its batch.
#[derive(Debug, Clone)]
pub struct FromRecipe {
    /// The recipe as it is written.
    pub recipe: Recipe,
    /// The batch of the recipe.
    pub batch: Batch,
}

/// The suggestions, each with its recipe and the objections to it.
#[derive(Debug)]
pub struct Combined {
    /// The answer.
    pub answer: Combinations,
    /// The recipe of each suggestion, for a kitchen scale.
    pub recipes: Vec<Recipe>,
    /// The objections to each suggestion.
    pub objections: Vec<Vec<Objection>>,
    /// The interval of the nutrient of the request in a serving of each suggestion; `None` where it
    /// is not known.
    pub intervals: Vec<Option<Interval>>,
}

impl From<CombineError> for BookError {
    fn from(error: CombineError) -> Self {
        match error {
            CombineError::Tables(error) => error.into(),
            CombineError::Problems(problems) => problems.into(),
        }
    }
}

impl Combining<'_> {
    /// Adds what the record knows and the request leaves open: age, known foods, prices, serving.
    pub fn fill(&self, ask: &mut CombineRequest, child: &Child) -> Result<(), BookError> {
        ask.age = ask.age.or(Some(child.age_on(self.day)));
        let Some(store) = self.store else {
            return Ok(());
        };
        if ask.known.is_none() {
            let record = store.tastes(&child.name, self.day)?;
            let known = record.known().into_keys().map(str::parse);
            ask.known = Some(known.collect::<Result<_, _>>()?);
        }
        if ask.prices.is_none() {
            let prices = self.prices(store)?;
            ask.prices = (!prices.is_empty()).then_some(prices);
        }
        Ok(())
    }

    fn prices(&self, store: &Store) -> Result<BTreeMap<FoodId, Price>, BookError> {
        let mut prices = BTreeMap::new();
        for (food, _) in Tables::builtin()?.candidates() {
            let bought = store.price(food.as_str(), self.day)?;
            if let Some(per_100_g) = bought.and_then(|bought| bought.per_100_g()) {
                prices.insert(
                    food.clone(),
                    Price {
                        per_kg: per_100_g.times(10).amount(),
                        basis: PriceBasis::Purchased,
                    },
                );
            }
        }
        Ok(prices)
    }

    /// Bars the foods that the judge speaks against: for a child with all that is on its record,
    /// else by age alone.
    pub fn bar(&self, ask: &mut CombineRequest, child: Option<&Child>) -> Result<(), BookError> {
        let Some(age) = ask.age else {
            return Ok(());
        };
        let mut facts = match child {
            Some(child) => {
                BookJudge::new(self.settings, self.store, self.pantry)?.facts(child, self.day)?
            }
            None => ChildFacts::default(),
        };
        facts.age = Some(age);
        let tables = Tables::builtin()?;
        let ids: Vec<FoodId> = tables.candidates().map(|(id, _)| id.clone()).collect();
        let judge = Judge::builtin()?;
        let foods = self.pantry.foods(&ids)?.into_iter().flatten();
        let barred = foods.filter(|food| {
            let part = tables.part(food);
            part.is_some_and(|part| speaks_against(judge, (&facts, self.day), food, &part))
        });
        let barred: BTreeSet<FoodId> = barred.map(|food| food.id).collect();
        if let Some(food) = ask.must.iter().find(|food| barred.contains(*food)) {
            return Err(Problem::new(format!("{food} is not for this child"))
                .hint(Remark::with(
                    "see why",
                    NextStep::ShowFood(food.to_string()),
                ))
                .into());
        }
        ask.barred = barred;
        Ok(())
    }

    /// The objections to the purée that something is to be added to, for the child that is asked about, else for all of the book.
    pub fn against_base(
        &self,
        (ask, child): (&CombineRequest, Option<&Child>),
        base: &FromRecipe,
    ) -> Result<Vec<Objection>, BookError> {
        let judge = BookJudge::new(self.settings, self.store, self.pantry)?;
        let mut found = judge.batch(&base.batch, self.tray, self.day, ask.age)?;
        found.retain(|one| is_about(one, child));
        Ok(found)
    }

    /// Finds suggestions, so many cubes at a time, with what speaks against each for the child that is asked about, else for all of the book.
    pub fn combined(
        &self,
        (ask, child): (&CombineRequest, Option<&Child>),
        base: Option<&FromRecipe>,
        cubes: u32,
    ) -> Result<Combined, BookError> {
        let recipe_base = base.map(|base| self.base(ask, base)).transpose()?;
        let stock = Candidates::cooked(self.pantry, ask, recipe_base)?;
        let answer = combine(&stock, ask, cubes)?;
        let recipes = answer.suggestions.iter();
        let recipes = recipes.map(|suggestion| self.recipe_of(ask, suggestion, base));
        let recipes = recipes.collect::<Result<Vec<_>, _>>()?;
        // The table is read once for all recipes.
        let ids: BTreeSet<FoodId> = recipes.iter().flat_map(Recipe::foods).collect();
        let ids: Vec<FoodId> = ids.into_iter().collect();
        let pantry = self.pantry.clone().laid_out_for(&ids)?;
        let judge = BookJudge::new(self.settings, self.store, &pantry)?;
        let (mut objections, mut intervals) = (Vec::new(), Vec::new());
        for (recipe, suggestion) in recipes.iter().zip(&answer.suggestions) {
            let batch = calculated(recipe, &Target::AsWritten, self.tray, &pantry)?;
            let mut found = judge.batch(&batch, self.tray, self.day, ask.age)?;
            found.retain(|one| is_about(one, child));
            objections.push(found);
            let interval = self.interval(&batch, ask.nutrient.id);
            // The recipe is rounded to the scale, the suggestion is not.
            let goal = suggestion.serving.goal;
            let exact = |rounded: Interval| rounded.times(goal / rounded.value);
            intervals.push(interval.filter(|found| found.value > 0.0).map(exact));
        }
        Ok(Combined {
            answer,
            recipes,
            objections,
            intervals,
        })
    }

    /// Shows the foods to choose from.
    pub fn list<T>(
        &self,
        ask: &CombineRequest,
        show: impl FnOnce(&Selection<'_>) -> T,
    ) -> Result<T, BookError> {
        let stock = Candidates::cooked(self.pantry, ask, None)?;
        Ok(show(&stock.selection(ask)?))
    }

    /// The interval of a nutrient in a serving of a batch.
    fn interval(&self, batch: &Batch, nutrient: NutrientId) -> Option<Interval> {
        let cube = CubeMade::of(self.tray.cube_mass(batch.density), &self.tray.name);
        let cubes = f64::from(batch.prepared.serving.cubes);
        let serving = batch.cube(cube, |_| Vec::new()).times(cubes);
        let total = serving.total(nutrient);
        total.interval(nutrient, [serving.interval_part(nutrient)])
    }

    /// A recipe as the base: its own methods, liquid and yields are kept.
    fn base(&self, ask: &CombineRequest, base: &FromRecipe) -> Result<RecipeBase, BookError> {
        let batch = &base.batch;
        let tables = Tables::builtin()?;
        let lacking = || {
            Problem::new(format!(
                "a value that is needed is not known of {}",
                batch.prepared.title
            ))
            .hint(Remark::with(
                "see what its foods lack",
                NextStep::CalculateBatch,
            ))
        };
        let column = column(batch, ask.nutrient, true).ok_or_else(lacking)?;
        let puree = batch.masses.puree.grams();
        let cube = batch.cube(CubeMade::of(batch.masses.puree, ""), |_| Vec::new());
        let cooked = batch.prepared.ingredients.iter().map(|ingredient| {
            let iron = cube.foods.iter().find(|food| food.id == ingredient.food.id);
            let iron = iron.and_then(|food| food.iron).ok_or_else(lacking)?;
            Ok(BaseFood {
                part: tables.part(&ingredient.food),
                share: ingredient.cooked().grams() / puree,
                iron: iron / puree,
                food: ingredient.food.clone(),
            })
        });
        Ok(RecipeBase {
            cost: self.base_cost(batch)?.map(|cost| cost / puree),
            min_share: ask.base.as_ref().map_or(BASE_SHARE, |base| base.min_share),
            foods: cooked.collect::<Result<_, BookError>>()?,
            column,
        })
    }

    fn base_cost(&self, batch: &Batch) -> Result<Option<f64>, BookError> {
        use rust_decimal::prelude::ToPrimitive as _;
        let Some(store) = self.store else {
            return Ok(None);
        };
        let cost = store.cost_of(batch, self.day)?;
        let known = cost.unpriced.is_empty().then_some(cost.known).flatten();
        Ok(known.map(Money::amount).and_then(|cost| cost.to_f64()))
    }

    /// The recipe of a suggestion, in the amounts for a kitchen scale.
    fn recipe_of(
        &self,
        ask: &CombineRequest,
        suggestion: &Suggestion,
        base: Option<&FromRecipe>,
    ) -> Result<Recipe, BookError> {
        let tables = Tables::builtin()?;
        let mut ingredients = Vec::new();
        let mut made = None;
        for (part, grams) in &suggestion.kitchen.edible {
            match part {
                PartOf::Food(id, _, _) => ingredients.push((id.clone(), *grams)),
                PartOf::Base => match (base, &ask.base) {
                    (Some(base), _) => {
                        made = Some(times(
                            &base.recipe,
                            grams / base.batch.masses.edible.grams(),
                        )?);
                    }
                    (None, Some(raw)) => {
                        let whole: f64 = raw.foods.iter().map(|(_, grams)| grams).sum();
                        ingredients.extend(
                            raw.foods
                                .iter()
                                .map(|(id, part)| (id.clone(), part / whole * grams)),
                        );
                    }
                    (None, None) => {}
                },
                PartOf::Water => {}
            }
        }
        ingredients.retain(|(_, grams)| *grams > 0.0);
        let ids: Vec<FoodId> = ingredients.iter().map(|(id, _)| id.clone()).collect();
        let foods = self.pantry.foods(&ids)?;
        let mut written = Vec::new();
        for ((id, grams), food) in ingredients.iter().zip(foods) {
            let part = food.as_ref().and_then(|food| tables.part(food));
            let part = part.ok_or_else(|| Problem::new(format!("no food has the id {id}")))?;
            written.push(edible_grams(id, *grams, part.method)?);
        }
        let mut new = made.unwrap_or_else(|| recipe(Vec::new()));
        new.ingredients.extend(written);
        new.serving.cubes = ask.serving_size().cubes;
        let water = new.liquid.added.value + Volume::from_millilitres(suggestion.kitchen.water_ml);
        new.liquid.added = Located::default_of(water);
        if new.title.is_empty() {
            new.title = "A suggestion".into();
        }
        Ok(new)
    }

    /// Sets the serving to a number of cubes of the household's tray, where the request has none.
    pub fn serving(&self, ask: &mut CombineRequest, cubes: u32) {
        if ask.serving.is_none() {
            ask.serving = Some(ServingSize::of(cubes, self.tray));
        }
    }
}

/// Whether an objection is about this child; about any, where none is named.
fn is_about(objection: &Objection, child: Option<&Child>) -> bool {
    objection.child.is_empty() || child.is_none_or(|child| child.name == objection.child)
}

/// Whether the judge speaks against a food in a purée of a child on a day, cooked as its part in it says.
pub(super) fn speaks_against(
    judge: &Judge,
    (facts, day): (&ChildFacts, Date),
    food: &Food,
    part: &PureePart,
) -> bool {
    let portion = in_puree(food.clone(), Some(part.method));
    let objections = alone(judge, facts, (day, FeedingStage::Planned), &[portion]);
    objections.iter().any(Objection::bars_a_plan)
}

/// A recipe times a factor; what was weighed grows with it.
fn times(recipe: &Recipe, factor: f64) -> Result<Recipe, Problem> {
    let mut larger = recipe.clone();
    let mass = |mass: &Located<Mass>| mass.with(mass.value * factor);
    for ingredient in &mut larger.ingredients {
        let written = &ingredient.amount.value;
        let amount = format!("{:.6} {}", written.number() * factor, written.unit());
        let amount: Amount = amount
            .parse()
            .map_err(|error: AmountError| Problem::new(error.to_string()).hint(error.hint()))?;
        ingredient.amount = ingredient.amount.with(amount);
        ingredient.weighed = ingredient.weighed.as_ref().map(mass);
    }
    larger.puree.weighed = larger.puree.weighed.as_ref().map(mass);
    larger.puree.loss = larger.puree.loss.as_ref().map(mass);
    let liquid = &mut larger.liquid;
    for volume in [
        &mut liquid.collected,
        &mut liquid.returned,
        &mut liquid.added,
    ] {
        *volume = volume.with(volume.value * factor);
    }
    Ok(larger)
}

/// The child of a book for whom a request is made: the one that is named, else the only one.
pub fn eater<'a>(book: &'a Book, name: Option<&str>) -> Result<Option<&'a Child>, Problem> {
    match name {
        Some(name) => book.settings.child(Some(name)).map(Some),
        None => Ok(book.settings.only_child()),
    }
}
