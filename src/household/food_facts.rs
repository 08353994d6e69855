//! The facts about a food beside its values: how much of it is eaten, what it lacks, what it was
//! cooked with, its recipes and how they were taken, and figures for the shop.

use std::collections::BTreeMap;

use data_import::{Food, FoodId, NutrientId, group};
use jiff::civil::Date;

use super::combining::speaks_against;
use super::objections::BookJudge;
use super::plan_facts::first_tray;
use super::{USUAL_SERVING, calculated};
use crate::buying::BuyingFacts;
use crate::combine::{
    COOKED_GRAMS, CookedTogether, Cookery, Lack, PureePart, Role, Tables, column, complementing,
    complements, edible_grams, recipe, usual_goal,
};
use crate::cooking::{Method, State};
use crate::food::Pantry;
use crate::notebook::{Book, BookError, Store, Takings};
use crate::nutrition::vitamin_c::ratio_wanted;
use crate::nutrition::{AgeMonths, TraitTable};
use crate::portion::{Constituents, ROOM_CELSIUS, Target, Tray};
use crate::quantity::Mass;
use crate::recipe::Batch;
use crate::safety::{ChildFacts, Judge};

/// A US teaspoon, and a pinch, an eighth of it (common practice, no source), in millilitres.
const TEASPOON: f64 = 4.93;
const PINCH: f64 = TEASPOON / 8.0;
/// What a baby eats at a meal of a dry food that is stirred into milk or water, in grams: the
/// reference amount for dry instant cereal for infants of 21 CFR 101.12 (from memory).
const DRY_GRAMS: f64 = 15.0;
/// The least energy of a dry cereal, in kcal per 100 g (judgement): cooked porridge has a third of
/// it.
const DRY_KCAL: f64 = 300.0;
/// Words in the names of cereals that a label gives no group.
const CEREAL_WORDS: [&str; 2] = ["cereal", "porridge"];
/// The most foods that are named for something that is lacking.
const MOST_COMPLEMENTS: usize = 5;
/// The most foods that are named from old cookery books.
const MOST_MET: usize = 6;

/// The household, the day and the age for which a food is looked at.
#[derive(Debug, Clone, Copy)]
pub struct FoodView<'a> {
    /// The foods.
    pub pantry: &'a Pantry,
    /// The household's book; `None` without one.
    pub book: Option<&'a Book>,
    /// The record of the book; `None` where there is none.
    pub store: Option<&'a Store>,
    /// The day.
    pub day: Date,
    /// The age of the child.
    pub age: AgeMonths,
}

/// The facts about a food beside its values.
#[derive(Debug)]
pub struct FoodFacts {
    /// The amount that a baby eats at a meal.
    pub portion: FoodPortion,
    /// What the food lacks, and what brings it.
    pub complements: Vec<Complement>,
    /// The words that stand with the food in old cookery books; `None` where they say too little.
    pub cooked_together: Option<CookedTogether>,
    /// The recipes of the household with the food.
    pub recipes: Vec<RecipeWithFood>,
    /// Figures for the shop.
    pub buying: BuyingFacts,
}

/// The amount of a food that a baby eats at a meal.
#[derive(Debug)]
pub struct FoodPortion {
    /// The mass, as it is eaten.
    pub mass: Mass,
    /// The measure of the portion.
    pub measure: PortionMeasure,
    /// The way to cook it; `None` for a food that is taken as it is.
    pub method: Option<Method>,
    batch: Option<Batch>,
}

/// The measure of a portion.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PortionMeasure {
    /// Two cubes of the food.
    TwoCubes,
    /// A share of two cubes, the most of the food in a purée, 0 to 1.
    ShareOfTwoCubes(f64),
    /// A teaspoon.
    Teaspoon,
    /// A pinch.
    Pinch,
    /// The dry food, before it is stirred into milk or water.
    Dry,
}

/// Something that a food lacks, and the foods that bring it.
#[derive(Debug, Clone)]
pub struct Complement {
    /// What the food lacks.
    pub lack: Lack,
    /// Foods that bring it, by id and name.
    pub foods: Vec<(FoodId, String)>,
}

/// A recipe of the household with a food.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecipeWithFood {
    /// The name of the recipe.
    pub name: String,
    /// The title of the recipe.
    pub title: String,
    /// How the recipe was taken.
    pub takings: Takings,
}

impl FoodFacts {
    /// Gathers the facts about a food.
    ///
    /// Errors: the food table, a table of the program or the record cannot be read.
    pub fn of(food: &Food, view: &FoodView<'_>) -> Result<Self, BookError> {
        let tables = Tables::builtin()?;
        let part = tables.note(&food.id).and_then(|_| tables.part(food));
        let role = part.as_ref().and_then(|part| tables.roles.get(part.role));
        let tray = view.book.map_or_else(Tray::usual, first_tray);
        let batch = match &part {
            Some(part) => Some(alone(food, part.method, (&tray, view.pantry))?),
            None => None,
        };
        Ok(Self {
            complements: match (&part, role, &batch) {
                (Some(part), Some(role), Some(batch)) => lacking(food, (part, role), batch, view)?,
                _ => Vec::new(),
            },
            portion: FoodPortion::of(food, (part.as_ref(), role), batch, &tray),
            cooked_together: Cookery::builtin()?.cooked_together(&food.id, MOST_MET),
            recipes: recipes_with(&food.id, view)?,
            buying: match view.book.map(|book| &book.settings) {
                Some(settings) => {
                    BuyingFacts::of(&food.id)?.for_household(settings.country, &settings.currency)
                }
                None => BuyingFacts::of(&food.id)?,
            },
        })
    }
}

impl FoodPortion {
    fn of(
        food: &Food,
        (part, role): (Option<&PureePart>, Option<&Role>),
        batch: Option<Batch>,
        tray: &Tray,
    ) -> Self {
        let of_food = Constituents::of(|nutrient| food.composition.get(nutrient));
        let of_food = of_food.and_then(|parts| parts.density(ROOM_CELSIUS));
        let density = batch.as_ref().map(|batch| batch.density);
        // A food with a missing value of its constituents gets the density of water.
        let density = density.or(of_food).unwrap_or(1.0);
        let two_cubes = tray.cube_mass(density) * USUAL_SERVING;
        let spoon = |millilitres: f64| Mass::from_grams(millilitres * density);
        let is_fat =
            role.is_some_and(|role| role.role == "fat") || food.group == group::FATS_AND_OILS;
        let (measure, mass) = match role.map(|role| role.max_share) {
            _ if is_fat => (PortionMeasure::Teaspoon, spoon(TEASPOON)),
            Some(share) if share < 1.0 => {
                (PortionMeasure::ShareOfTwoCubes(share), two_cubes * share)
            }
            None if food.group == group::HERBS_AND_SPICES => (PortionMeasure::Pinch, spoon(PINCH)),
            None if is_dry(food) => (PortionMeasure::Dry, Mass::from_grams(DRY_GRAMS)),
            _ => (PortionMeasure::TwoCubes, two_cubes),
        };
        Self {
            mass,
            measure,
            method: part.map(|part| part.method),
            batch,
        }
    }

    /// The amount of a nutrient in the portion, cooked and warmed as it is eaten, in the nutrient's
    /// unit; `None` where no value is known.
    pub fn amount(&self, food: &Food, nutrient: NutrientId) -> Option<f64> {
        let per_gram = match &self.batch {
            Some(batch) => batch.total(nutrient)?.served? / batch.masses.puree.grams(),
            None => food.composition.get(nutrient)? / 100.0,
        };
        Some(per_gram * self.mass.grams())
    }
}

/// Whether a food is dry as it is bought. A label says nothing of water, so that a cereal counts as
/// dry where its energy leaves hardly any room for water.
fn is_dry(food: &Food) -> bool {
    let name = food.name.to_lowercase();
    let is_cereal = food.group == group::BREAKFAST_CEREALS
        || CEREAL_WORDS.iter().any(|word| name.contains(word));
    match State::of(food) {
        State::Dry => true,
        State::Raw => {
            let is_unsaid = food.composition.get(NutrientId::WATER).is_none();
            let energy = food.composition.get(NutrientId::ENERGY);
            is_cereal && is_unsaid && energy.is_some_and(|kcal| kcal >= DRY_KCAL)
        }
        _ => false,
    }
}

/// The food cooked by itself, as it is for a purée.
fn alone(
    food: &Food,
    method: Method,
    (tray, pantry): (&Tray, &Pantry),
) -> Result<Batch, BookError> {
    let alone = recipe(vec![edible_grams(&food.id, COOKED_GRAMS, method)?]);
    calculated(&alone, &Target::AsWritten, tray, pantry)
}

/// What a food lacks, each with foods that bring it and that this household may give.
fn lacking(
    food: &Food,
    (part, role): (&PureePart, &Role),
    batch: &Batch,
    view: &FoodView<'_>,
) -> Result<Vec<Complement>, BookError> {
    let Some(column) = column(batch, usual_goal()?, role.may_hold_retinol()) else {
        return Ok(Vec::new());
    };
    let lacks = Lack::of(food, role, &column)?;
    with_foods(lacks, &[(&food.id, part)], view)
}

/// The nutrients that a purée lacks, each with foods that bring it, suit what is in the purée, and that this
/// household may give.
///
/// Errors: the food table, a table of the program or the record cannot be read.
pub fn puree_complements(batch: &Batch, view: &FoodView<'_>) -> Result<Vec<Complement>, BookError> {
    let Some(column) = column(batch, usual_goal()?, true) else {
        return Ok(Vec::new());
    };
    let tables = Tables::builtin()?;
    let foods = || batch.foods();
    let parts: Vec<(&FoodId, PureePart)> = foods()
        .filter_map(|food| Some((&food.id, tables.part(food)?)))
        .collect();
    let traits = TraitTable::builtin()?.of_all(foods());
    let wanted = ratio_wanted(foods().map(|food| &food.id), &traits);
    let per_100_g = |nutrient| {
        let served = batch.total(nutrient)?.served?;
        Some(served / batch.masses.puree.grams() * 100.0)
    };
    let carotenoids = (
        per_100_g(NutrientId::BETA_CAROTENE),
        per_100_g(NutrientId::FAT),
    );
    let lacks = Lack::of_puree(&column, wanted, carotenoids);
    let own: Vec<(&FoodId, &PureePart)> = parts.iter().map(|(id, part)| (*id, part)).collect();
    with_foods(lacks, &own, view)
}

/// Each lack with the foods that bring it and suit those of the purée; a lack that no food brings
/// is left out.
fn with_foods(
    lacks: Vec<Lack>,
    own: &[(&FoodId, &PureePart)],
    view: &FoodView<'_>,
) -> Result<Vec<Complement>, BookError> {
    if lacks.is_empty() {
        return Ok(Vec::new());
    }
    let givable = givable(view)?;
    let part_of = |id: &FoodId| Some(givable.get(id)?.1.clone());
    let complement = |lack| {
        let ids = complements(lack, own, part_of)?;
        let named = ids.into_iter().filter_map(|id| {
            let name = givable.get(&id)?.0.name.clone();
            Some((id, name))
        });
        Ok(Complement {
            lack,
            foods: named.take(MOST_COMPLEMENTS).collect(),
        })
    };
    let found: Result<Vec<_>, BookError> = lacks.into_iter().map(complement).collect();
    Ok(found?
        .into_iter()
        .filter(|complement| !complement.foods.is_empty())
        .collect())
}

/// The foods of the table of complements to which nothing objects, with their role in a purée.
fn givable(view: &FoodView<'_>) -> Result<BTreeMap<FoodId, (Food, PureePart)>, BookError> {
    let tables = Tables::builtin()?;
    let judge = Judge::builtin()?;
    let eaters = eaters(view)?;
    let mut givable = BTreeMap::new();
    for food in view.pantry.foods(&complementing()?)?.into_iter().flatten() {
        let Some(part) = tables.part(&food) else {
            continue;
        };
        let role = tables.roles.get(part.role);
        let in_time = role.is_some_and(|role| role.is_for(view.age));
        let objects = |facts: &ChildFacts| speaks_against(judge, (facts, view.day), &food, &part);
        if in_time && !eaters.iter().any(objects) {
            givable.insert(food.id.clone(), (food, part));
        }
    }
    Ok(givable)
}

/// The children of the book with what is on their record; without a child, one of the age of the
/// view.
fn eaters(view: &FoodView<'_>) -> Result<Vec<ChildFacts>, BookError> {
    let mut eaters = Vec::new();
    if let Some(book) = view.book {
        let judge = BookJudge::new(&book.settings, view.store, view.pantry)?;
        for child in &book.settings.children {
            eaters.push(judge.facts(child, view.day)?);
        }
    }
    if eaters.is_empty() {
        eaters.push(ChildFacts {
            age: Some(view.age),
            ..ChildFacts::default()
        });
    }
    Ok(eaters)
}

/// The recipes of the book with a food, and those that were cooked with it, each with how it was
/// taken.
fn recipes_with(food: &FoodId, view: &FoodView<'_>) -> Result<Vec<RecipeWithFood>, BookError> {
    let (mut titles, mut takings) = (BTreeMap::new(), BTreeMap::new());
    if let Some(store) = view.store {
        titles = store.recipes_with(food.as_str())?;
        takings = store.takings()?;
    }
    if let Some(book) = view.book {
        for name in book.recipe_names()? {
            // A recipe that cannot be read is reported where it is cooked, not on the page of a
            // food.
            if let Ok(recipe) = book.recipe(&name)
                && recipe.foods().any(|other| other == *food)
            {
                titles.insert(name, recipe.title);
            }
        }
    }
    let with = titles.into_iter().map(|(name, title)| RecipeWithFood {
        takings: takings.get(&name).copied().unwrap_or_default(),
        name,
        title,
    });
    Ok(with.collect())
}
