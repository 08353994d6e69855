//! All that a proposal may know.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::RangeInclusive;

use data_import::{FoodId, NutrientId};
use jiff::civil::Date;

use crate::cost::Money;
use crate::nutrition::{AgeMonths, DietGroup, Serving};

/// More days than anybody plans at once.
const MOST_DAYS: usize = 14;

/// What is to be planned, and from what.
#[derive(Debug, Clone, PartialEq)]
pub struct Request {
    /// The days, one after another, 1 to 14 of them.
    pub days: Vec<Date>,
    /// The children.
    pub children: Vec<Eater>,
    /// What is in the freezer, or will be: a cooking that is settled is a batch frozen on its day.
    pub batches: Vec<Batch>,
    /// What may be cooked.
    pub recipes: Vec<Cookable>,
    /// Meals that are settled: they are kept, and they count.
    pub fixed: Vec<FixedMeal>,
    /// Days from one first taste to the next.
    pub waiting_days: u32,
    /// Trays that can be filled on one day, of all recipes together; `None` where nothing limits them.
    pub trays_a_day: Option<u32>,
}

/// A child and what it needs.
#[derive(Debug, Clone, PartialEq)]
pub struct Eater {
    /// What the child is called.
    pub name: String,
    /// What the meals of a day are called, in their order.
    pub meals: Vec<String>,
    /// What each day needs, in the order of [`Request::days`].
    pub days: Vec<Need>,
    /// Daily reference intakes, in the nutrient's unit.
    pub targets: BTreeMap<NutrientId, Target>,
    /// Known foods, with the day of the first taste.
    pub known: BTreeMap<FoodId, Date>,
    /// Foods that are not to be served, with what was seen.
    pub excluded: BTreeMap<FoodId, String>,
    /// Foods that were refused and are worth another offer.
    pub offer_again: BTreeSet<FoodId>,
    /// Food groups a day to aim for, milk apart. Five of eight are the least for 6 to 23 months, and breast milk is one of
    /// the eight (WHO and UNICEF, Indicators for assessing infant and young child feeding practices, 2021).
    pub groups_wanted: u32,
}

/// What one day of a child needs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Need {
    /// Age on that day.
    pub age: AgeMonths,
    /// Meals a day, least and most.
    pub meals: RangeInclusive<u32>,
    /// Cubes a meal, least and most.
    pub cubes: RangeInclusive<u32>,
    /// kcal that food beside milk is to bring.
    pub energy_kcal: u32,
}

/// A daily reference intake and what milk brings of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Target {
    /// Amount a day from everything.
    pub per_day: f64,
    /// Amount a day that milk brings; what is not known of it counts as nothing, so it is a lower bound.
    pub from_milk: f64,
}

/// Cubes of one cooking.
#[derive(Debug, Clone, PartialEq)]
pub struct Batch {
    /// Number of the batch in the record.
    pub id: i64,
    /// Name of the recipe.
    pub recipe: String,
    /// Its title.
    pub title: String,
    /// Cubes left.
    pub cubes: u32,
    /// The first day on which they can be served.
    pub from: Date,
    /// The last day on which they can be served.
    pub use_by: Date,
    /// One cube as it is served.
    pub cube: Serving,
    /// Food groups of dietary diversity in it.
    pub groups: BTreeSet<DietGroup>,
    /// What a cube cost; `None` where a price is missing.
    pub cost: Option<Money>,
}

/// A recipe that may be cooked.
#[derive(Debug, Clone, PartialEq)]
pub struct Cookable {
    /// Name of the recipe.
    pub recipe: String,
    /// Its title.
    pub title: String,
    /// Days on which it may be cooked.
    pub cook_days: BTreeSet<Date>,
    /// Cubes that one tray gives.
    pub cubes_a_tray: u32,
    /// Trays that one cooking fills at most.
    pub most_trays: u32,
    /// Days that its cubes keep.
    pub freezer_days: u32,
    /// Whether its cubes can be served on the day they are cooked, or from the next.
    pub same_day: bool,
    /// One cube as it is served.
    pub cube: Serving,
    /// Food groups of dietary diversity in it.
    pub groups: BTreeSet<DietGroup>,
    /// What a tray costs; `None` where a price is missing.
    pub tray_cost: Option<Money>,
}

/// A meal that is settled.
#[derive(Debug, Clone, PartialEq)]
pub struct FixedMeal {
    /// The day.
    pub day: Date,
    /// Index of the child in [`Request::children`].
    pub child: usize,
    /// Which meal.
    pub meal: String,
    /// What it is made of.
    pub parts: Vec<FixedPart>,
}

/// One thing in a meal that is settled.
#[derive(Debug, Clone, PartialEq)]
pub struct FixedPart {
    /// Index of the batch in [`Request::batches`] and how many of its cubes; `None` for other food.
    pub cubes: Option<(usize, u32)>,
    /// All of it, as it is served.
    pub serving: Serving,
    /// Food groups of dietary diversity in it.
    pub groups: BTreeSet<DietGroup>,
}

/// Why a request cannot be understood.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct RequestError(String);

impl Request {
    /// Whether it holds together: the caller's mistakes, not the household's.
    pub fn validate(&self) -> Result<(), RequestError> {
        let wrong = |what: String| Err(RequestError(what));
        if self.days.is_empty() || self.days.len() > MOST_DAYS {
            return wrong(format!(
                "a plan is for 1 to {MOST_DAYS} days, not for {}",
                self.days.len()
            ));
        }
        if self
            .days
            .windows(2)
            .any(|two| two[0].tomorrow().ok() != Some(two[1]))
        {
            return wrong("the days of a plan follow one another".into());
        }
        for child in &self.children {
            let days_match = child.days.len() == self.days.len();
            let needs_hold = child
                .days
                .iter()
                .all(|need| *need.cubes.start() >= 1 && !need.cubes.is_empty());
            if !days_match || !needs_hold {
                return wrong(format!(
                    "the days of `{}` do not say what each of them needs",
                    child.name
                ));
            }
        }
        for meal in &self.fixed {
            let cubes = meal.parts.iter().filter_map(|part| part.cubes);
            let batches_known = cubes
                .into_iter()
                .all(|(batch, _)| batch < self.batches.len());
            if meal.child >= self.children.len() || !batches_known || !self.days.contains(&meal.day)
            {
                return wrong(format!(
                    "the settled meal `{}` of {} names a child, a day or a batch that is not there",
                    meal.meal, meal.day
                ));
            }
        }
        Ok(())
    }

    /// The weekday of a day, with the date where the plan has that weekday twice.
    pub(crate) fn day_name(&self, day: Date) -> String {
        let format = if self.days.len() > 7 {
            "%A, %-d %B"
        } else {
            "%A"
        };
        if self.days.contains(&day) {
            day.strftime(format).to_string()
        } else {
            day.strftime("%-d %B").to_string()
        }
    }

    /// Index of a day.
    pub(crate) fn day_index(&self, day: Date) -> Option<usize> {
        self.days.iter().position(|one| *one == day)
    }
}

impl Eater {
    /// The day of the last first taste on record.
    pub fn last_first(&self) -> Option<Date> {
        self.known.values().max().copied()
    }
}
