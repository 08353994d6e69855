//! The inputs of a proposal.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::RangeInclusive;

use data_import::{FoodId, NutrientId};
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::limit::DayLimit;
use crate::nutrition::{AgeMonths, DietGroup, Serving};
use crate::quantity::Mass;
use crate::safety::Waiting;
use crate::words;

/// The most days that are planned at once (judgement).
pub const MOST_DAYS: usize = 14;
/// The largest numbers of meals a day and of cubes a meal that are accepted (judgement).
const MOST_MEALS: usize = 6;
const MOST_CUBES: u32 = 20;

/// The request for a plan: children, days, and the cubes that are in the freezer or can be cooked.
#[derive(Debug, Clone, PartialEq)]
pub struct Request {
    /// The days, one after another, 1 to 14 of them.
    pub days: Vec<Date>,
    /// The children.
    pub children: Vec<Eater>,
    /// The batches in the freezer; a cooking that is planned already counts as a batch.
    pub batches: Vec<CubeBatch>,
    /// The recipes that may be cooked.
    pub recipes: Vec<Cookable>,
    /// Meals that are settled, and meals eaten in the week before the first day: they are kept, and
    /// they count.
    pub fixed: Vec<FixedMeal>,
    /// The food group of dietary diversity of each food that counts towards one.
    pub groups: BTreeMap<FoodId, DietGroup>,
    /// The household's rule of waiting between new foods.
    pub waiting: Waiting,
    /// The trays that can be filled on one day, of all recipes together; `None` for no limit.
    pub trays_a_day: Option<u32>,
}

/// A child and what it needs.
#[derive(Debug, Clone, PartialEq)]
pub struct Eater {
    /// The name of the child.
    pub name: String,
    /// The names of the meals of a day, in their order.
    pub meals: Vec<String>,
    /// The needs of each day.
    pub days: BTreeMap<Date, Need>,
    /// The day on which the child is six months old: no meal of an earlier day is filled.
    pub solids_from: Date,
    /// Cubes that it ate at a meal lately, by the record; `None` where the size of its meals comes
    /// from what is usual at its age.
    pub eaten_lately: Option<f64>,
    /// Iron that food is to bring; `None` where there is no reference for the age.
    pub iron: Option<IronGoal>,
    /// Known foods.
    pub known: BTreeSet<FoodId>,
    /// The first day on which the next new food may come; `None` where nothing holds it back.
    pub new_from: Option<Date>,
    /// Major allergens of which no first taste is to come: known and well taken, drunk as milk, or
    /// stopped by the record.
    pub allergens: BTreeSet<String>,
    /// Those of them that meals are to bring again each week: known and well taken, neither stopped
    /// nor in its milk.
    pub keep_up: BTreeSet<String>,
    /// Foods that were refused and are worth another offer, with the first day for it.
    pub offer_again: BTreeMap<FoodId, Date>,
    /// Those refused foods that were hardly ever eaten.
    pub not_liked_yet: BTreeSet<FoodId>,
    /// Sums over a day or a week that no plan may pass.
    pub limits: Vec<DayLimit>,
    /// The number of food groups a day to aim for, without milk.
    pub groups_wanted: u32,
}

/// The needs of a child on one day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Need {
    /// Age on that day.
    pub age: AgeMonths,
    /// The least and the most meals a day.
    pub meals: RangeInclusive<u32>,
    /// The number of cubes of a usual meal.
    pub usual: u32,
    /// The least and the most cubes that a proposal gives at a meal of that day.
    pub cubes: RangeInclusive<u32>,
    /// The largest number of cubes at a meal that a plan should give.
    pub most: u32,
}

impl Need {
    /// Cubes of a meal, least and most, of cubes of this size; one cube is the least that can be
    /// thawed, however large it is.
    pub(crate) fn cubes_of_size(&self, size: CubeSize) -> RangeInclusive<u32> {
        let most = size.whole_in(*self.cubes.end()).max(1);
        let least = size.needed_for(*self.cubes.start()).min(most);
        least..=most
    }
}

/// The size of a cube, in cubes of the household's first tray.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct CubeSize(f64);

impl CubeSize {
    /// A cube of the first tray.
    pub const USUAL: Self = Self(1.0);

    /// The size of a cube beside a cube of the first tray. Within a quarter they count as alike
    /// (judgement): no two purées and no two hands fill a well the same.
    pub fn of(cube: Mass, usual: Mass) -> Self {
        let share = cube.grams() / usual.grams();
        if !share.is_finite() || share <= 0.0 || (0.8..=1.25).contains(&share) {
            Self::USUAL
        } else {
            Self(share)
        }
    }

    /// So many of these cubes, in cubes of the first tray.
    pub fn times(self, cubes: u32) -> f64 {
        self.0 * f64::from(cubes)
    }

    /// These cubes that come nearest to so many of another size.
    pub(crate) fn nearest(self, cubes: u32, of: Self) -> u32 {
        count_of((of.times(cubes) / self.0).round())
    }

    /// The cubes that fit into so many of the first tray.
    fn whole_in(self, usual: u32) -> u32 {
        count_of((f64::from(usual) / self.0 + SIZE_ROUNDING).floor())
    }

    /// The cubes that come to so many of the first tray.
    fn needed_for(self, usual: u32) -> u32 {
        count_of((f64::from(usual) / self.0 - SIZE_ROUNDING).ceil())
    }
}

/// Shares of a cube below this are errors of rounding.
const SIZE_ROUNDING: f64 = 1e-9;

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a meal holds a few dozen cubes at most"
)]
fn count_of(cubes: f64) -> u32 {
    cubes.clamp(0.0, 1000.0) as u32
}

/// Iron a day that food and milk are to bring, in mg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IronGoal {
    /// Estimated average requirement, mg a day.
    pub ear: f64,
    /// Recommended dietary allowance, mg a day.
    pub rda: f64,
    /// Iron from milk, mg a day; unknown amounts count as nothing, so that this is a lower bound.
    pub from_milk: f64,
}

/// Cubes of one cooking.
#[derive(Debug, Clone, PartialEq)]
pub struct CubeBatch {
    /// Number of the batch in the record; 0 for one that is still to be cooked.
    pub id: i64,
    /// Name of the recipe.
    pub recipe: String,
    /// The title of the recipe.
    pub title: String,
    /// Cubes left.
    pub cubes: u32,
    /// The first day on which they can be served.
    pub from: Date,
    /// The last day on which they can be served.
    pub use_by: Date,
    /// One cube as it is served.
    pub cube: Serving,
    /// The size of one.
    pub size: CubeSize,
    /// Children who may not have it, by index in [`Request::children`], and why.
    pub barred: BTreeMap<usize, String>,
    /// Children who may not have it on a day, where they may on another, and why.
    pub not_on: NotOn,
}

/// Children who may not have a dish on some of the days, and why.
pub type NotOn = BTreeMap<(usize, Date), String>;

/// A recipe that may be cooked.
#[derive(Debug, Clone, PartialEq)]
pub struct Cookable {
    /// Name of the recipe.
    pub recipe: String,
    /// The title of the recipe.
    pub title: String,
    /// Days on which it may be cooked; its cubes can be served from the next day on.
    pub cook_days: BTreeSet<Date>,
    /// Cubes that one tray gives.
    pub cubes_a_tray: u32,
    /// The most trays that one cooking fills.
    pub most_trays: u32,
    /// The number of days that its cubes keep.
    pub freezer_days: u32,
    /// One cube as it is served.
    pub cube: Serving,
    /// Children who may not have it, by index in [`Request::children`], and why.
    pub barred: BTreeMap<usize, String>,
    /// Children who may not have it on a day, where they may on another, and why.
    pub not_on: NotOn,
}

/// A meal that is settled.
#[derive(Debug, Clone, PartialEq)]
pub struct FixedMeal {
    /// The day: one of the plan, or one of the seven before it.
    pub day: Date,
    /// Index of the child in [`Request::children`].
    pub child: usize,
    /// The name of the meal.
    pub meal: String,
    /// The parts of the meal.
    pub parts: Vec<FixedPart>,
}

/// A part of a meal that is fixed.
#[derive(Debug, Clone, PartialEq)]
pub struct FixedPart {
    /// Name of the recipe; `None` for other food.
    pub recipe: Option<String>,
    /// Index of the batch in [`Request::batches`] and the number of its cubes that are held for the
    /// part; `None` for other food, and for cubes that have left the freezer.
    pub cubes: Option<(usize, u32)>,
    /// The whole part, as it is served.
    pub serving: Serving,
}

/// The inconsistency of a request.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct RequestError(String);

impl Request {
    /// Whether the request is consistent; an inconsistency is a mistake of the caller, not of the
    /// household.
    pub fn validate(&self) -> Result<(), RequestError> {
        let wrong = |what: String| Err(RequestError(what));
        let (Some(first), Some(last)) = (self.days.first(), self.days.last()) else {
            return wrong(format!("a plan is for 1 to {MOST_DAYS} days, not for 0"));
        };
        if self.days.len() > MOST_DAYS {
            let days = self.days.len();
            return wrong(format!(
                "a plan is for 1 to {MOST_DAYS} days, not for {days}"
            ));
        }
        let mut pairs = self.days.windows(2);
        if pairs.any(|two| two[0].tomorrow().ok() != Some(two[1])) {
            return wrong("the days of a plan follow one another".into());
        }
        for child in &self.children {
            child.validate(&self.days)?;
        }
        let earliest = first.saturating_sub(7.days());
        for meal in &self.fixed {
            let cubes = meal.parts.iter().filter_map(|part| part.cubes);
            let batches_known = cubes
                .into_iter()
                .all(|(batch, _)| batch < self.batches.len());
            let child_known = meal.child < self.children.len();
            if !child_known || !batches_known || !(earliest..=*last).contains(&meal.day) {
                return wrong(format!(
                    "the settled meal “{}” of {} names a child, a day or a batch that is not there",
                    meal.meal,
                    words::day(meal.day)
                ));
            }
        }
        Ok(())
    }

    /// Index of a day.
    pub(crate) fn day_index(&self, day: Date) -> Option<usize> {
        self.days.iter().position(|other| *other == day)
    }

    /// The food groups of dietary diversity towards which a serving counts.
    pub(crate) fn groups_of(&self, serving: &Serving) -> BTreeSet<DietGroup> {
        let foods = serving.foods.iter();
        foods
            .filter_map(|food| self.groups.get(&food.id).copied())
            .collect()
    }

    /// Whether two batches of a recipe differ in their foods or in the size of their cubes, so that
    /// the name of the recipe alone is ambiguous.
    pub fn is_ambiguous(&self, recipe: &str) -> bool {
        let mut foods = self
            .batches
            .iter()
            .filter(|batch| batch.recipe == recipe)
            .map(|batch| (foods_of(&batch.cube), batch.size));
        let first = foods.next();
        foods.any(|other| Some(&other) != first.as_ref())
    }
}

/// The ids of the foods in a serving.
pub(crate) fn foods_of(serving: &Serving) -> BTreeSet<&FoodId> {
    serving.foods.iter().map(|food| &food.id).collect()
}

/// The iron of a serving in mg, as far as it is known.
pub(crate) fn iron_of(serving: &Serving) -> f64 {
    serving.total(NutrientId::IRON).known.unwrap_or(0.0)
}

impl Eater {
    /// The meals of a day that a plan fills.
    pub(crate) fn meals_needed(&self, day: Date) -> usize {
        let need = self.days.get(&day).or_else(|| self.days.values().next());
        let needed = need.map_or(usize::MAX, |need| *need.meals.end() as usize);
        needed.min(self.meals.len())
    }

    /// Whether a dish of these foods is one to choose from until a day: its foods are known, or one
    /// is new that may come by then. A dish of several new foods cannot be introduced.
    pub(crate) fn may_choose<'f>(
        &self,
        foods: impl IntoIterator<Item = &'f FoodId>,
        until: Date,
    ) -> bool {
        let new = foods.into_iter().filter(|food| !self.known.contains(*food));
        match new.count() {
            0 => true,
            1 => self.new_from.is_none_or(|free| free <= until),
            _ => false,
        }
    }

    fn validate(&self, days: &[Date]) -> Result<(), RequestError> {
        if self.meals.len() > MOST_MEALS {
            return Err(RequestError(format!(
                "{} meals a day for “{}”; at most {MOST_MEALS} can be planned",
                self.meals.len(),
                self.name
            )));
        }
        let holds = |need: &Need| {
            *need.cubes.start() >= 1 && !need.cubes.is_empty() && *need.cubes.end() <= MOST_CUBES
        };
        if days.iter().all(|day| self.days.get(day).is_some_and(holds)) {
            return Ok(());
        }
        Err(RequestError(format!(
            "the days of “{}” do not each say what they need: meals, and 1 to {MOST_CUBES} cubes a meal",
            self.name
        )))
    }
}

#[cfg(test)]
mod tests {
    use super::super::kitchen::{SQUASH, batch, cube, day, request};
    use super::*;

    #[test]
    fn a_request_that_does_not_hold_together_is_refused() {
        let sound = request(3, vec![batch("squash", 9, cube(&[SQUASH], 0.2))]);
        assert_eq!(sound.validate(), Ok(()));
        let refused = |change: fn(&mut Request)| {
            let mut request = sound.clone();
            change(&mut request);
            request.validate().unwrap_err().to_string()
        };
        assert!(refused(|one| one.days.clear()).contains("not for 0"));
        assert!(refused(|one| one.days[2] = day(5)).contains("follow one another"));
        assert!(refused(|one| one.children[0].days.clear()).contains("“Wren”"));
        let too_large = |one: &mut Request| {
            for need in one.children[0].days.values_mut() {
                need.cubes = 2..=50;
            }
        };
        assert!(refused(too_large).contains("1 to 20 cubes"));
        assert!(refused(|one| one.children[0].meals = vec!["a".into(); 7]).contains("7 meals"));
        let settled = |one: &mut Request| {
            let meal = "lunch".into();
            one.fixed.push(FixedMeal {
                day: day(0),
                child: 4,
                meal,
                parts: Vec::new(),
            });
        };
        assert!(refused(settled).contains("settled meal “lunch”"));
    }
}
