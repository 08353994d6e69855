//! A day of one child, as it was eaten or as it is planned.

use data_import::NutrientId;
use jiff::civil::Date;

use crate::uncertainty::IntervalPart;

use super::{AgeMonths, ServedFood, Serving, Source, Total};

/// A day of one child.
#[derive(Debug, Clone, PartialEq)]
pub struct Day {
    /// The date.
    pub date: Date,
    /// Age on that day.
    pub age: AgeMonths,
    /// Every milk of the day; `None` where no milk is on record, empty where the record says that
    /// there was none.
    pub milk: Option<Vec<Milk>>,
    /// The meals, in their order.
    pub meals: Vec<Meal>,
    /// Whether fewer meals are on record than usual, so that some may be missing.
    pub partial: bool,
    /// The supplements of the day: the amount of each nutrient, in the unit of the nutrient table.
    pub supplements: Vec<(NutrientId, f64)>,
}

/// One milk of a day.
#[derive(Debug, Clone, PartialEq)]
pub struct Milk {
    /// The amount drunk, with its nutrients.
    pub serving: Serving,
    /// Whether the milk is breast milk; otherwise it is formula or another milk.
    pub breast: bool,
    /// Feeds, where they were counted.
    pub feeds: Option<u32>,
    /// The sentence that names the source of an estimated amount; `None` where it was measured.
    pub estimate: Option<String>,
}

/// One meal.
#[derive(Debug, Clone, PartialEq)]
pub struct Meal {
    /// The name of the meal in the household; empty where it was not stated.
    pub name: String,
    /// The servings as they were served.
    pub servings: Vec<Serving>,
    /// The share of the servings that was eaten, 0 to 1; 1 for a meal that is planned.
    pub share: f64,
    /// Whether the share is an estimate of this program, because some was eaten and nobody said how
    /// much.
    pub estimated: bool,
}

impl Meal {
    /// The amount of a nutrient that was eaten, from one source or from all.
    pub fn total(&self, nutrient: NutrientId, source: Option<Source>) -> Total {
        let mut sum = Total::default();
        for serving in &self.servings {
            if source.is_none_or(|source| source == serving.source) {
                sum.add(&serving.total(nutrient).times(self.share));
            }
        }
        sum
    }

    /// The parts of the servings in the interval of a nutrient; `meal` distinguishes meals.
    fn interval_parts(
        &self,
        nutrient: NutrientId,
        meal: usize,
    ) -> impl Iterator<Item = IntervalPart<'_>> {
        self.servings.iter().map(move |serving| IntervalPart {
            meal,
            share: self.share,
            estimated: self.estimated,
            ..serving.interval_part(nutrient)
        })
    }
}

/// The parts of some days in the interval of a nutrient.
pub(crate) fn interval_parts<'a>(
    days: impl IntoIterator<Item = &'a Day>,
    nutrient: NutrientId,
) -> Vec<IntervalPart<'a>> {
    let (mut parts, mut meals) = (Vec::new(), 0);
    for day in days {
        let milk = day.milk.iter().flatten();
        parts.extend(milk.map(|milk| milk.serving.interval_part(nutrient)));
        for meal in &day.meals {
            meals += 1;
            parts.extend(meal.interval_parts(nutrient, meals));
        }
    }
    parts
}

impl Day {
    /// The foods that were eaten at meals, and drunk in a milk other than breast milk.
    pub fn foods_had(&self) -> impl Iterator<Item = &ServedFood> {
        let eaten = self.meals.iter().filter(|meal| meal.share > 0.0);
        let eaten = eaten.flat_map(|meal| &meal.servings);
        let drunk = self.milk.iter().flatten().filter(|milk| !milk.breast);
        let all = eaten.chain(drunk.map(|milk| &milk.serving));
        all.flat_map(|serving| &serving.foods)
    }

    /// Whether any of the milk is an estimate, by feeds or by age.
    pub fn milk_is_estimated(&self) -> bool {
        let mut milks = self.milk.iter().flatten();
        milks.any(|milk| milk.estimate.is_some())
    }

    /// The amount of a nutrient that was given as a supplement.
    pub fn supplement(&self, nutrient: NutrientId) -> f64 {
        let of_it = self.supplements.iter().filter(|(id, _)| *id == nutrient);
        of_it.map(|(_, amount)| amount).sum()
    }

    /// The amount of a nutrient from one source, or from all food and milk.
    pub fn total(&self, nutrient: NutrientId, source: Option<Source>) -> Total {
        let mut sum = Total::default();
        for meal in &self.meals {
            sum.add(&meal.total(nutrient, source));
        }
        for milk in self.milk.iter().flatten() {
            if source.is_none_or(|source| source == milk.serving.source) {
                sum.add(&milk.serving.total(nutrient));
            }
        }
        sum
    }
}
