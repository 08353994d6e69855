//! A bowl before it is served: from the freezer, from recipes that are not cooked yet, and from the
//! table.

use std::collections::BTreeMap;
use std::sync::Arc;

use data_import::NutrientId;
use jiff::civil::Date;

use super::food_doubts;
use super::objections::{BookJudge, MealToJudge};
use super::plan_facts::dishes;
use super::serving::{cubes_in, served};
use super::serving_parser::TypedServings;
use crate::food::Pantry;
use crate::next_step::NextStep;
use crate::notebook::{Book, BookError, Child, Helping, Pick, Stock, Store, TasteRecord};
use crate::nutrition::{Bowl, Serving, Total, TraitTable};
use crate::planning::supply::{StockLot, StockOrigin, Supply};
use crate::portion::CubeCount;
use crate::problem::Problem;
use crate::safety::{FeedingStage, Objection};
use crate::words;

/// The most batches that are named for one more cube.
const MOST_NAMED: usize = 3;

/// A part of a bowl.
#[derive(Debug, Clone, PartialEq)]
pub struct BowlPart {
    /// The part as it is typed to serve it.
    pub typed: String,
    /// The number of cubes; `None` for other food.
    pub cubes: Option<CubeCount>,
    /// The batch of the cubes; `None` for what is not cooked yet, and for other food.
    pub batch: Option<i64>,
    /// A remark: the cubes are past their last day, or not cooked yet.
    pub remark: Option<String>,
    /// The whole part as it is served.
    pub serving: Serving,
}

/// One more cube that would add iron.
#[derive(Debug, Clone, PartialEq)]
pub struct MoreIron {
    /// Number of the batch.
    pub batch: i64,
    /// Name of its recipe.
    pub recipe: String,
    /// Title of its recipe.
    pub title: String,
    /// Iron in one cube as it is served.
    pub iron: Total,
    /// The foods in the cube that the child does not know.
    pub new: Vec<String>,
}

/// The findings before a bowl is served.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BeforeServing {
    /// Foods in the bowl that the child does not know.
    pub new: Vec<String>,
    /// The first day on which the next new food may come; `None` where nothing was tasted yet.
    pub next_free: Option<Date>,
    /// The objections to the bowl, the gravest first.
    pub objections: Vec<Objection>,
}

/// Cubes of a recipe that are left and in time.
#[derive(Debug)]
pub(super) struct CubesInTime<'a> {
    /// Name of the recipe.
    pub(super) recipe: &'a str,
    /// The cubes left of the batch that is served next.
    pub(super) left: u32,
    /// One cube.
    pub(super) cube: &'a Serving,
}

/// The supply from which bowls of one day are filled. Cubes that were taken for one part are gone
/// for the next.
#[derive(Debug)]
pub struct Mixing<'a> {
    book: &'a Book,
    store: Store,
    pantry: &'a Pantry,
    day: Date,
    stock: Vec<Stock>,
    supply: Supply,
    cubes: BTreeMap<i64, Serving>,
}

impl<'a> Mixing<'a> {
    /// Loads the content of the freezer on a day.
    pub fn new(book: &'a Book, pantry: &'a Pantry, day: Date) -> Result<Self, BookError> {
        let store = book.store()?;
        let stock = store.stock()?;
        Ok(Self {
            book,
            pantry,
            day,
            supply: Supply::of_stock(&stock),
            cubes: cubes_in(&stock, &store)?,
            stock,
            store,
        })
    }

    /// The foods that a child has tasted up to this day.
    pub fn tastes(&self, child: &Child) -> Result<Arc<TasteRecord>, BookError> {
        self.store.tastes(&child.name, self.day)
    }

    pub(super) fn store(&self) -> &Store {
        &self.store
    }

    pub(super) fn pantry(&self) -> &Pantry {
        self.pantry
    }

    pub(super) fn day(&self) -> Date {
        self.day
    }

    /// The recipes with cubes left that are in time, each once.
    pub(super) fn in_time(&self) -> Vec<CubesInTime<'_>> {
        let mut found: Vec<CubesInTime<'_>> = Vec::new();
        for (lot, _, cube) in self.lots_in_time() {
            if !found.iter().any(|known| known.recipe == lot.name) {
                found.push(CubesInTime {
                    recipe: &lot.name,
                    left: lot.left,
                    cube,
                });
            }
        }
        found
    }

    /// The lots of the freezer that are in time, each with the number of its batch and one cube.
    fn lots_in_time(&self) -> impl Iterator<Item = (&StockLot, i64, &Serving)> {
        let in_time = move |lot: &&StockLot| (lot.from..=lot.use_by).contains(&self.day);
        let lots = self.supply.left().filter(in_time);
        lots.filter_map(move |lot| match lot.origin {
            StockOrigin::Batch(id) => Some((lot, id, self.cubes.get(&id)?)),
            StockOrigin::Cooking(_) => None,
        })
    }

    /// A part that is a mass of a food, as it is.
    pub fn food(&self, helping: &Helping) -> Result<BowlPart, BookError> {
        let mut serving = served(helping)?;
        food_doubts::note_on(std::slice::from_mut(&mut serving), self.pantry)?;
        Ok(BowlPart {
            // The words may say more than the food: ground almonds, cherry tomatoes.
            typed: helping.spoken(),
            cubes: None,
            batch: None,
            remark: None,
            serving,
        })
    }

    /// Cubes from the freezer, and missing ones calculated from the recipe with the pantry
    /// `unused`.
    ///
    /// Errors: cubes are missing, and there is no recipe to calculate them from.
    pub fn cubes(&mut self, pick: &Pick, unused: Pantry) -> Result<Vec<BowlPart>, BookError> {
        let taken = self.supply.take(pick, self.day);
        let mut parts = Vec::new();
        for (lot, cubes) in &taken.parts {
            let StockOrigin::Batch(id) = lot.origin else {
                continue;
            };
            let Some(cube) = self.cubes.get(&id) else {
                continue;
            };
            let past = lot.use_by < self.day;
            parts.push(BowlPart {
                typed: format!("{cubes} {}", pick.name),
                cubes: Some(*cubes),
                batch: Some(id),
                remark: past.then(|| format!("past its last day, {}", words::day(lot.use_by))),
                serving: cube.times(cubes.served()),
            });
        }
        if !taken.short.is_none() {
            parts.push(self.not_cooked(pick, taken.short, unused)?);
        }
        Ok(parts)
    }

    fn not_cooked(
        &self,
        pick: &Pick,
        cubes: CubeCount,
        unused: Pantry,
    ) -> Result<BowlPart, BookError> {
        let dishes = dishes(self.book, unused, std::slice::from_ref(&pick.name))?;
        let Some(dish) = dishes.get(&pick.name) else {
            let in_freezer = pick.cubes.taken() - cubes.taken();
            let what = format!(
                "there are {in_freezer} cubes of “{}”, not {}",
                pick.name, pick.cubes
            );
            let problem = Problem::new(what).hint(NextStep::SeeFreezer);
            return Err(problem.into());
        };
        Ok(BowlPart {
            typed: format!("{cubes} {}", pick.name),
            cubes: Some(cubes),
            batch: None,
            remark: Some("not cooked yet, by its recipe".to_string()),
            serving: dish.cube.times(cubes.served()),
        })
    }

    /// All parts that were typed, as they are served; `unused` opens a pantry to calculate a
    /// recipe.
    ///
    /// Errors: as of [`Mixing::cubes`]; or no pantry can be opened.
    pub fn parts<E: From<BookError>>(
        &mut self,
        typed: &TypedServings,
        unused: &dyn Fn() -> Result<Pantry, E>,
    ) -> Result<Vec<BowlPart>, E> {
        let mut parts = Vec::new();
        for pick in &typed.picks {
            parts.extend(self.cubes(pick, unused()?)?);
        }
        for helping in &typed.foods {
            parts.push(self.food(helping)?);
        }
        Ok(parts)
    }

    /// The bowl of these parts.
    pub fn bowl(&self, parts: &[BowlPart]) -> Result<Bowl, BookError> {
        let servings: Vec<Serving> = parts.iter().map(|part| part.serving.clone()).collect();
        let foods = self.pantry.foods(&food_doubts::foods_of(servings.iter()))?;
        let traits = TraitTable::builtin()?.of_all(foods.iter().flatten());
        Ok(Bowl::of(servings, traits))
    }

    /// The findings about these parts before they are served to a child.
    pub fn before_serving(
        &self,
        parts: &[BowlPart],
        child: &Child,
        record: &TasteRecord,
    ) -> Result<BeforeServing, BookError> {
        let foods = parts.iter().flat_map(|part| &part.serving.foods);
        let named = foods.map(|food| (food.id.as_str(), food.name.as_str()));
        let servings: Vec<Serving> = parts.iter().map(|part| part.serving.clone()).collect();
        Ok(BeforeServing {
            new: record.new_among(named),
            next_free: record.next_free(&self.book.settings),
            objections: self.judged(&servings, child)?,
        })
    }

    fn judged(&self, servings: &[Serving], child: &Child) -> Result<Vec<Objection>, BookError> {
        let asked = MealToJudge {
            child,
            day: self.day,
            context: FeedingStage::Mixed,
            seen: "",
        };
        self.judge()?.meal(&asked, servings)
    }

    pub(super) fn judge(&self) -> Result<BookJudge<'_>, BookError> {
        BookJudge::new(&self.book.settings, Some(&self.store), self.pantry)
    }

    /// The batches of which one more cube brings the most iron, in time and without a grave
    /// objection.
    pub fn more_iron(
        &self,
        child: &Child,
        record: &TasteRecord,
    ) -> Result<Vec<MoreIron>, BookError> {
        let batches = self.lots_in_time().filter_map(|(_, id, cube)| {
            let stock = self.stock.iter().find(|stock| stock.batch.id == id)?;
            Some((stock, cube))
        });
        let batches: Vec<_> = batches.collect();
        let cubes: Vec<Serving> = batches.iter().map(|(_, cube)| (*cube).clone()).collect();
        let judge = self.judge()?;
        let eater = judge.eater(child, self.day)?;
        let portions = judge.portions_of_each(&cubes)?;
        let objections = judge.each(&eater, FeedingStage::Mixed, &portions);
        let mut best: Vec<MoreIron> = Vec::new();
        for ((Stock { batch, .. }, cube), objections) in batches.into_iter().zip(objections) {
            let barred = objections.iter().any(Objection::bars_a_plan);
            if barred || best.iter().any(|other| other.recipe == batch.name) {
                continue;
            }
            let foods = cube.foods.iter();
            let named = foods.map(|food| (food.id.as_str(), food.name.as_str()));
            best.push(MoreIron {
                batch: batch.id,
                recipe: batch.name.clone(),
                title: batch.title.clone(),
                iron: cube.total(NutrientId::IRON),
                new: record.new_among(named),
            });
        }
        let iron = |more: &MoreIron| more.iron.known.unwrap_or(0.0);
        best.sort_by(|a, b| iron(b).total_cmp(&iron(a)));
        best.truncate(MOST_NAMED);
        Ok(best)
    }
}
