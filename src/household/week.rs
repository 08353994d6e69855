//! A week of a child, from the record or from the plan.

use crate::next_step::{NextStep, Remark};
use std::collections::BTreeMap;
use std::sync::Arc;

use data_import::FoodId;
use jiff::civil::Date;

use super::food_doubts::{self, foods_of, servings_of};
use super::plan_facts::dish;
use crate::food::Pantry;
use crate::notebook::{
    Book, BookError, Child, FrozenBatch, Helping, Measurement, Pick, PlannedFood, PlannedServing,
    Store, SupplementDose, TasteRecord,
};
use crate::nutrition::energy::Requirement;
use crate::nutrition::{
    BreastMilk, Complementary, DailyValues, Day, IntakeTable, Meal, Serving, Source, TraitTable,
    Traits, Week, WeekTables,
};
use crate::problem::Problem;
use crate::quantity::Mass;
use crate::safety::AllergenTable;

/// The days of a child, and their figures.
#[derive(Debug)]
pub struct KeptWeek {
    /// The days.
    pub days: Vec<Day>,
    /// The figures of the days.
    pub week: Week,
    /// The foods that the child has tasted up to the last day; `None` where they were not looked
    /// up.
    pub tastes: Option<Arc<TasteRecord>>,
    /// The weight of the child by day, as far as it is known.
    pub weights: BTreeMap<Date, Mass>,
    /// Weights, lengths and head sizes of these days.
    pub measurements: Vec<Measurement>,
    /// The dose of each supplement on each of the days.
    pub doses: Vec<SupplementDose>,
    /// The day of the first meal on record at all; `None` where there is none, or it was not looked
    /// up.
    pub first_meal: Option<Date>,
}

/// The week on record, from one day to another, both included.
pub fn eaten_week(
    store: &Store,
    pantry: &Pantry,
    child: &Child,
    (from, to): (Date, Date),
) -> Result<KeptWeek, BookError> {
    let mut measurements = store.measurements(&child.name, to)?;
    measurements.retain(|measurement| measurement.day >= from);
    Ok(KeptWeek {
        tastes: Some(store.tastes(&child.name, to)?),
        measurements,
        doses: store.doses(&child.name, (from, to))?,
        first_meal: store.first_meal(&child.name)?,
        ..eaten_days(store, pantry, child, (from, to))?
    })
}

/// The days on record with their figures, without tastes.
pub fn eaten_days(
    store: &Store,
    pantry: &Pantry,
    child: &Child,
    (from, to): (Date, Date),
) -> Result<KeptWeek, BookError> {
    let unsaid = unsaid_milk(child, pantry)?;
    let breast = BreastMilk::builtin()?;
    let days = store.days(child, (from, to), &breast, unsaid.as_ref())?;
    kept(days, pantry, store.weights(child, (from, to))?)
}

/// The week as it is planned: the usual milk, and every meal that is planned.
pub fn planned_week(
    book: &Book,
    pantry: &Pantry,
    child: &Child,
    (from, to): (Date, Date),
) -> Result<KeptWeek, BookError> {
    let store = book.store()?;
    let mut days = milk_of(&store, child, (from, to), pantry)?;
    let mut table = MealSources::set(book, &store, pantry)?;
    for (slot, servings) in store.planned(from, to)?.meals {
        let day = days.iter_mut().find(|day| day.date == slot.day);
        let Some(day) = day.filter(|_| slot.child == child.name && !servings.is_empty()) else {
            continue;
        };
        let servings = servings.iter().map(|planned| table.serving(planned));
        day.meals.push(Meal {
            name: slot.meal,
            servings: servings.collect::<Result<_, _>>()?,
            share: 1.0,
            estimated: false,
        });
    }
    kept(days, pantry, store.weights(child, (from, to))?)
}

fn kept(
    mut days: Vec<Day>,
    pantry: &Pantry,
    weights: BTreeMap<Date, Mass>,
) -> Result<KeptWeek, BookError> {
    food_doubts::note_all(&mut days, pantry)?;
    let requirement = |day: &Day| {
        let weight = *weights.get(&day.date)?;
        Some((day.date, Requirement::of_2005(day.age, weight)?))
    };
    let tables = WeekTables {
        intakes: &IntakeTable::builtin()?,
        daily_values: &DailyValues::builtin()?,
        complementary: &Complementary::builtin()?,
        traits: &traits(&days, pantry)?,
        requirements: &days.iter().filter_map(requirement).collect(),
        weights: &weights,
    };
    let week = Week::of(&days, &tables)?;
    let tastes = None;
    Ok(KeptWeek {
        days,
        week,
        tastes,
        weights,
        measurements: Vec::new(),
        doses: Vec::new(),
        first_meal: None,
    })
}

/// The traits of every food of these days that is in the pantry.
fn traits(days: &[Day], pantry: &Pantry) -> Result<Traits, BookError> {
    let foods = pantry.foods(&foods_of(servings_of(days)))?;
    Ok(TraitTable::builtin()?.of_all(foods.iter().flatten()))
}

/// The days of a child with their milk, and no meal.
pub(super) fn milk_of(
    store: &Store,
    child: &Child,
    span: (Date, Date),
    pantry: &Pantry,
) -> Result<Vec<Day>, BookError> {
    let unsaid = unsaid_milk(child, pantry)?;
    store.milk_days(child, span, &BreastMilk::builtin()?, unsaid.as_ref())
}

/// The milk of a day without an entry of milk: breast milk, if `book.toml` says so.
fn unsaid_milk(child: &Child, pantry: &Pantry) -> Result<Option<Helping>, BookError> {
    let breast = child.milk.as_deref().is_some_and(is_breast);
    if !breast {
        return Ok(None);
    }
    let id: FoodId = BreastMilk::FOOD.parse()?;
    let food = pantry.foods(&[id])?.pop().flatten();
    let allergens = AllergenTable::builtin()?;
    Ok(food.map(|food| Helping::new(food, Mass::ZERO, &allergens)))
}

/// Whether words mean breast milk and no other milk.
fn is_breast(words: &str) -> bool {
    matches!(
        words.trim().to_lowercase().as_str(),
        "breast" | "breast milk"
    )
}

/// The sources from which planned meals are served: the freezer, the recipes, the pantry.
pub(super) struct MealSources<'a> {
    book: &'a Book,
    store: &'a Store,
    pantry: &'a Pantry,
    allergens: AllergenTable,
    batches: Vec<FrozenBatch>,
    /// One cube of each recipe or batch that was looked up before.
    cubes: BTreeMap<String, Serving>,
}

impl<'a> MealSources<'a> {
    pub(super) fn set(
        book: &'a Book,
        store: &'a Store,
        pantry: &'a Pantry,
    ) -> Result<Self, BookError> {
        Ok(Self {
            book,
            store,
            pantry,
            allergens: AllergenTable::builtin()?,
            batches: store.batches()?,
            cubes: BTreeMap::new(),
        })
    }

    pub(super) fn serving(&mut self, planned: &PlannedServing) -> Result<Serving, BookError> {
        match planned {
            PlannedServing::Food(food) => self.food(food),
            PlannedServing::Cubes(Pick { name, cubes }) => {
                if !self.cubes.contains_key(name) {
                    let cube = self.cube(name)?;
                    self.cubes.insert(name.clone(), cube);
                }
                let cube = self.cubes.get(name).ok_or_else(|| no_cube(name))?;
                Ok(cube.times(cubes.served()))
            }
        }
    }

    fn food(&self, planned: &PlannedFood) -> Result<Serving, BookError> {
        let id = &planned.id;
        let food = self.pantry.foods(std::slice::from_ref(id))?.pop().flatten();
        let food = food.ok_or_else(|| {
            Problem::new(format!("the plan names {id}, and no food has this id"))
                .hint(NextStep::NameFoods)
        })?;
        let allergens = self.allergens.of(&food).map(String::from).collect();
        let serving = Serving::of_food(Source::Other, &food, planned.mass, allergens)?;
        Ok(serving.typed_as(&planned.typed))
    }

    /// A cube of the batch of this number, of the last batch of a recipe, or of the calculated
    /// recipe where it was never frozen.
    fn cube(&self, name: &str) -> Result<Serving, BookError> {
        let batch = match name.strip_prefix('#') {
            Some(number) => number.parse().ok(),
            None => {
                let mut of_it = self.batches.iter().rev();
                of_it.find(|batch| batch.name == name).map(|batch| batch.id)
            }
        };
        match batch {
            Some(id) => {
                let cube = self.store.cubes(&[id])?.remove(&id);
                Ok(cube.ok_or_else(|| no_cube(name))?)
            }
            None if name.starts_with('#') => Err(no_cube(name).into()),
            None => self.uncooked(name),
        }
    }

    fn uncooked(&self, name: &str) -> Result<Serving, BookError> {
        let recipe = self.book.recipe(name)?;
        Ok(dish(self.book, &recipe, self.pantry, &self.allergens)?.cube)
    }
}

fn no_cube(name: &str) -> Problem {
    Problem::new(format!(
        "the plan names the batch {name}, which is not on record"
    ))
    .hint(Remark::with("plan the meal anew", NextStep::SeeFreezer))
}
