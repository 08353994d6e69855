//! Serving a meal, and what is to be known before.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::USUAL_SERVING;
use super::food_doubts;
use super::objections::{BookJudge, Judged, MealToJudge};
use super::serving_parser::{TypedServings, helping};
use crate::food::Pantry;
use crate::notebook::{
    Book, BookError, Child, Eaten, Feeding, Helping, PlannedFood, PlannedServing, Served, Slot,
    Stock, Store,
};
use crate::nutrition::{Serving, Source};
use crate::planning::supply::{StockOrigin, Supply};
use crate::problem::Problem;
use crate::safety::{FeedingStage, Objection, gravest_first};
use crate::spoken::Lookup;
use crate::words;

/// A meal that was served.
#[derive(Debug)]
pub struct RecordedMeal {
    /// The meal as recorded.
    pub served: Served,
    /// The warnings, each a sentence without its full stop.
    pub warnings: Vec<String>,
}

/// The findings about a meal before it is recorded.
#[derive(Debug, Default)]
pub struct BeforeMeal {
    /// The objections to the meal, the gravest first.
    pub objections: Vec<Objection>,
    /// The other warnings, each a sentence without its full stop.
    pub warnings: Vec<String>,
}

/// Records a meal, unless an objection blocks it and the caller does not override it.
pub fn serve(
    book: &Book,
    store: &mut Store,
    pantry: &Pantry,
    (child, anyway): (&Child, impl FnOnce(&[Objection]) -> bool),
    feeding: &Feeding<'_>,
) -> Result<Judged<RecordedMeal>, BookError> {
    let meal = [(child, feeding.clone())];
    let mut served = serve_each(book, store, pantry, &meal, anyway)?;
    Ok(Judged {
        objections: served.objections.pop().unwrap_or_default(),
        recorded: served.recorded.and_then(|mut meals| meals.pop()),
    })
}

/// Meals of several children that were recorded together, or all stopped.
#[derive(Debug)]
pub struct JudgedMeals {
    /// The objections to each meal, the gravest first.
    pub objections: Vec<Vec<Objection>>,
    /// The meals, in their order; `None` where an objection stopped one of them, and so all.
    pub recorded: Option<Vec<RecordedMeal>>,
}

/// Records a meal of each child, or none of them: all are stopped where an objection blocks one of
/// them and the caller, called with all objections, does not override it.
pub fn serve_each(
    book: &Book,
    store: &mut Store,
    pantry: &Pantry,
    meals: &[(&Child, Feeding<'_>)],
    anyway: impl FnOnce(&[Objection]) -> bool,
) -> Result<JudgedMeals, BookError> {
    let mut spoons = Spoons::of(store)?;
    let judge = BookJudge::new(&book.settings, Some(store), pantry)?;
    let each = meals.iter().map(|(child, feeding)| {
        let (servings, _) = spoons.fill(feeding)?;
        judge.meal(&to_judge(child, feeding), &servings)
    });
    let each: Vec<Vec<Objection>> = each.collect::<Result<_, _>>()?;
    let feedings: Vec<Feeding<'_>> = meals.iter().map(|(_, feeding)| feeding.clone()).collect();
    let judged =
        Judged::unless_stopped(each.concat(), anyway, || record(store, &feedings, pantry))?;
    Ok(JudgedMeals {
        objections: each,
        recorded: judged.recorded,
    })
}

/// Looks up the findings about a meal before it is recorded.
pub fn before_serving(
    book: &Book,
    store: &Store,
    pantry: &Pantry,
    child: &Child,
    feeding: &Feeding<'_>,
) -> Result<BeforeMeal, BookError> {
    let judge = BookJudge::new(&book.settings, Some(store), pantry)?;
    let (servings, warnings) = Spoons::of(store)?.fill(feeding)?;
    Ok(BeforeMeal {
        objections: judge.meal(&to_judge(child, feeding), &servings)?,
        warnings,
    })
}

fn to_judge<'a>(child: &'a Child, feeding: &Feeding<'a>) -> MealToJudge<'a> {
    MealToJudge {
        child,
        day: feeding.day,
        context: FeedingStage::Served,
        seen: feeding.reaction,
    }
}

/// The objections to a usual serving of each batch in the freezer, by the number of the batch, for
/// each child of the book.
pub fn freezer_objections(
    book: &Book,
    store: &Store,
    pantry: &Pantry,
    day: Date,
) -> Result<BTreeMap<i64, Vec<Objection>>, BookError> {
    let judge = BookJudge::new(&book.settings, Some(store), pantry)?;
    let stock = store.stock()?;
    let cubes = cubes_in(&stock, store)?;
    let usual = stock.iter().filter_map(|stock| {
        let cube = cubes.get(&stock.batch.id)?;
        let serving = cube.times(f64::from(stock.left).min(USUAL_SERVING));
        Some((stock.batch.id, serving))
    });
    let (batches, servings): (Vec<i64>, Vec<Serving>) = usual.unzip();
    let portions = judge.portions_of_each(&servings)?;
    let mut found: BTreeMap<i64, Vec<Objection>> = BTreeMap::new();
    for child in &book.settings.children {
        let eater = judge.eater(child, day)?;
        let objections = judge.each(&eater, FeedingStage::Served, &portions);
        for (batch, objections) in batches.iter().zip(objections) {
            found.entry(*batch).or_default().extend(objections);
        }
    }
    for objections in found.values_mut() {
        gravest_first(objections);
    }
    Ok(found)
}

/// The cubes in the freezer, from which one serving after another is filled.
pub(super) struct Spoons {
    supply: Supply,
    cubes: BTreeMap<i64, Serving>,
}

impl Spoons {
    pub(super) fn of(store: &Store) -> Result<Self, BookError> {
        let stock = store.stock()?;
        Ok(Self {
            supply: Supply::of_stock(&stock),
            cubes: cubes_in(&stock, store)?,
        })
    }

    /// The servings of a meal, as far as its cubes are in the freezer, and warnings about cubes
    /// past their last day.
    pub(super) fn fill(
        &mut self,
        feeding: &Feeding<'_>,
    ) -> Result<(Vec<Serving>, Vec<String>), BookError> {
        let (mut servings, mut warnings) = (Vec::new(), Vec::new());
        for pick in feeding.picks {
            for (lot, count) in self.supply.take(pick, feeding.day).parts {
                if let StockOrigin::Batch(id) = lot.origin
                    && let Some(cube) = self.cubes.get(&id)
                {
                    servings.push(cube.times(count.served()));
                    warnings.extend(past_its_day(id, lot.use_by, feeding.day));
                }
            }
        }
        for helping in feeding.foods {
            servings.push(served(helping)?);
        }
        Ok((servings, warnings))
    }
}

/// Food from the table as it is served.
pub(super) fn served(helping: &Helping) -> Result<Serving, data_import::Error> {
    let allergens = helping.allergens.clone();
    let serving = Serving::of_food(Source::Other, &helping.food, helping.mass, allergens)?;
    Ok(serving.typed_as(&helping.named))
}

/// One cube of each batch in stock, by its number.
pub(super) fn cubes_in(
    stock: &[Stock],
    store: &Store,
) -> Result<BTreeMap<i64, Serving>, BookError> {
    let ids: Vec<i64> = stock.iter().map(|stock| stock.batch.id).collect();
    store.cubes(&ids)
}

fn past_its_day(batch: i64, use_by: Date, day: Date) -> Option<String> {
    let last = words::day(use_by);
    (use_by < day).then(|| format!("the cubes of batch #{batch} are past their last day, {last}"))
}

fn record(
    store: &mut Store,
    feedings: &[Feeding<'_>],
    pantry: &Pantry,
) -> Result<Vec<RecordedMeal>, BookError> {
    let mut meals = Vec::new();
    for (mut served, feeding) in store.serve_each(feedings)?.into_iter().zip(feedings) {
        food_doubts::note_on(&mut served.servings, pantry)?;
        let parts = served.parts.iter();
        let late = parts.filter_map(|(batch, _)| past_its_day(batch.id, batch.use_by, feeding.day));
        let mut warnings: Vec<String> = late.collect();
        warnings.extend(twice(store, feeding, served.id)?);
        meals.push(RecordedMeal { served, warnings });
    }
    Ok(meals)
}

/// The entry of the same meal of the same day with the same food, where there is one already: two
/// people may have recorded it.
pub fn written_before(store: &Store, feeding: &Feeding<'_>) -> Result<Option<i64>, BookError> {
    let (servings, _) = Spoons::of(store)?.fill(feeding)?;
    let meals = store.eaten(feeding.child, feeding.day, feeding.day)?;
    let mut meals = meals.iter().filter(|meal| meal.meal.name == feeding.meal);
    let these = amounts_of(&servings);
    let same = meals.find(|meal| amounts_of(&meal.meal.servings) == these);
    Ok(same.map(|meal| meal.entry))
}

/// The servings with their amounts, sorted.
fn amounts_of(servings: &[Serving]) -> Vec<(String, String)> {
    let mut parts: Vec<(String, String)> = servings
        .iter()
        .map(|serving| (serving.what.clone(), format!("{:.1}", serving.mass.grams())))
        .collect();
    parts.sort();
    parts
}

/// A warning where the same meal of the same day is on record already: two people may have recorded
/// it.
fn twice(store: &Store, feeding: &Feeding<'_>, id: i64) -> Result<Option<String>, BookError> {
    let meals = store.eaten(feeding.child, feeding.day, feeding.day)?;
    let what = |meal: &Eaten| amounts_of(&meal.meal.servings);
    let Some(this) = meals.iter().find(|meal| meal.entry == id) else {
        return Ok(None);
    };
    let mut others = meals
        .iter()
        .filter(|meal| meal.entry != id && meal.meal.name == this.meal.name);
    let same = others.find(|meal| what(meal) == what(this));
    Ok(same.map(|same| {
        format!(
            "the same meal of {} is written down already, as entry {}; if it was one, take one of the two back",
            words::day(feeding.day),
            same.entry
        )
    }))
}

/// The planned parts of a meal, as they are served; `None` where nothing is planned.
///
/// Errors: a planned food is in no table.
pub fn planned_meal<L: Lookup>(
    store: &Store,
    lookup: &L,
    slot: &Slot,
) -> Result<Option<TypedServings>, L::Error>
where
    L::Error: From<BookError> + From<Problem>,
{
    let mut plan = store.planned(slot.day, slot.day)?;
    let servings = plan.meals.remove(slot).unwrap_or_default();
    if servings.is_empty() {
        return Ok(None);
    }
    Ok(Some(as_served(&lookup.foods()?, servings)?))
}

/// Planned parts as they are served.
///
/// Errors: a planned food is in no table.
pub(super) fn as_served(
    pantry: &Pantry,
    servings: Vec<PlannedServing>,
) -> Result<TypedServings, BookError> {
    let mut parsed = TypedServings::default();
    for serving in servings {
        match serving {
            PlannedServing::Cubes(pick) => parsed.picks.push(pick),
            PlannedServing::Food(PlannedFood { id, mass, typed }) => {
                let food = pantry.foods(std::slice::from_ref(&id))?.pop().flatten();
                let gone = || Problem::new(format!("no food has the id {id}, which is planned"));
                let helping = helping(food.ok_or_else(gone)?, mass)?;
                parsed.foods.push(helping.named(&typed));
            }
        }
    }
    Ok(parsed)
}
