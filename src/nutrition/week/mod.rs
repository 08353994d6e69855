//! A week of one child, from its days: what was eaten and drunk, compared with published figures.

mod energy;
mod iron;
mod parts;
mod sugar;
mod upper;
mod yardsticks;

use std::collections::{BTreeMap, BTreeSet};

use data_import::{Error, FoodId, NutrientId, nutrients};
use jiff::civil::Date;

use super::energy::Requirement;
use super::indicators::{Indicators, breast_fed};
use super::{AgeMonths, Complementary, DailyValues, Day, IntakeTable, Total, Traits, reading};
use crate::quantity::Mass;

pub use energy::{DayDensity, EnergyGap};
pub use iron::{FleshIron, MealIron, VitaminCBeside};
pub use parts::{Parts, had};
pub use upper::UpperWeek;
pub use yardsticks::{NutrientWeek, Yardstick, interval_of_days, mean};

/// The tables for the figures of a week.
#[derive(Debug)]
pub struct WeekTables<'a> {
    /// Reference intakes.
    pub intakes: &'a IntakeTable,
    /// Daily Values of labels.
    pub daily_values: &'a DailyValues,
    /// The needs that complementary food is to cover.
    pub complementary: &'a Complementary,
    /// The traits of the foods of these days; nothing is known of a food without traits.
    pub traits: &'a Traits,
    /// The energy the child needs on each day, where its weight is known.
    pub requirements: &'a BTreeMap<Date, Requirement>,
    /// The weight of the child by day, as far as it is known.
    pub weights: &'a BTreeMap<Date, Mass>,
}

/// The figures of some days of one child, usually seven.
#[derive(Debug, Clone, PartialEq)]
pub struct Week {
    /// The figures of each day, including days without a record.
    pub days: Vec<DayFigures>,
    /// The figures of each nutrient on an average day of those on record, in the order of the
    /// nutrient table.
    pub nutrients: Vec<NutrientWeek>,
    /// Energy from complementary food on an average day; `None` where no day has a figure.
    pub energy: Option<EnergyGap>,
    /// Iron of an average day in mg for each kg of body weight; `None` unless the weight is known
    /// on every day that counts.
    pub iron_per_kg: Option<f64>,
    /// Iron from meat, fish and poultry, a day.
    pub flesh_iron: FleshIron,
    /// Added sugar of food, g a day.
    pub added_sugar: Total,
    /// The major allergens that were eaten, or drunk in a milk other than breast milk, with the
    /// days.
    pub allergens: BTreeMap<String, BTreeSet<Date>>,
    /// The sentences on what is estimated, each once.
    pub estimates: Vec<String>,
    /// Names of the foods of these days.
    pub names: BTreeMap<FoodId, String>,
}

/// The figures of one day.
#[derive(Debug, Clone, PartialEq)]
pub struct DayFigures {
    /// The date.
    pub date: Date,
    /// Age on that day.
    pub age: AgeMonths,
    /// Whether the day counts in the averages: as many meals as usual are on record, or the child
    /// is of an age of milk alone and milk is. Milk is often recorded once for all days to come,
    /// and says nothing about the food of a day.
    pub recorded: bool,
    /// Whether the child had breast milk; `None` where milk is not on record.
    pub breast_fed: Option<bool>,
    /// The amounts of each nutrient, by source.
    pub nutrients: BTreeMap<NutrientId, Parts>,
    /// Energy from complementary food.
    pub energy: Option<EnergyGap>,
    /// The energy density of complementary food.
    pub density: Option<DayDensity>,
    /// Iron and vitamin C, meal by meal.
    pub meals: Vec<MealIron>,
    /// Iron from meat, fish and poultry.
    pub flesh_iron: FleshIron,
    /// Added sugar of food, g.
    pub added_sugar: Total,
    /// The feeding indicators.
    pub indicators: Indicators,
}

impl DayFigures {
    fn of(day: &Day, tables: &WeekTables<'_>) -> Result<Self, Error> {
        let amounts = nutrients()?
            .iter()
            .map(|nutrient| (nutrient.id, Parts::of(day, nutrient.id, tables.traits)));
        Ok(Self {
            date: day.date,
            age: day.age,
            recorded: parts::food_on_record(day) && !day.partial,
            breast_fed: breast_fed(day),
            nutrients: amounts.collect(),
            energy: EnergyGap::of(day, tables.traits, tables.complementary),
            density: DayDensity::of(day, tables.traits, tables.complementary),
            meals: day
                .meals
                .iter()
                .map(|meal| MealIron::of(meal, tables.traits))
                .collect(),
            flesh_iron: FleshIron::of(day, tables.traits),
            added_sugar: sugar::added_sugar(day, tables.traits),
            indicators: Indicators::of(day, tables.traits, tables.complementary),
        })
    }

    /// The amount of a nutrient, by source.
    pub fn parts(&self, nutrient: NutrientId) -> Option<&Parts> {
        self.nutrients.get(&nutrient)
    }
}

impl Week {
    /// The figures of these days. Days without a record are marked, and no average counts them.
    ///
    /// Errors: the table of nutrients cannot be read.
    pub fn of(days: &[Day], tables: &WeekTables<'_>) -> Result<Self, Error> {
        let figures: Vec<_> = days
            .iter()
            .map(|day| DayFigures::of(day, tables))
            .collect::<Result<_, _>>()?;
        let counted: Vec<_> = figures.iter().filter(|day| day.recorded).collect();
        let counted_days = days.iter().zip(&figures);
        let counted_days = counted_days.filter(|(_, figures)| figures.recorded);
        let counted_days: Vec<&Day> = counted_days.map(|(day, _)| day).collect();
        let share = 1.0 / counted.len().max(1) as f64;
        let sum = |part: fn(&DayFigures) -> &Total| {
            let mut sum = Total::default();
            for day in &counted {
                sum.add(part(day));
            }
            sum.times(share)
        };
        let iron = mean(&counted, NutrientId::IRON);
        let all_iron = iron.total().known.filter(|_| iron.complete());
        Ok(Self {
            nutrients: nutrients()?
                .iter()
                .map(|nutrient| NutrientWeek::of(nutrient, &counted, &counted_days, tables))
                .collect(),
            energy: EnergyGap::mean(&counted),
            iron_per_kg: iron::per_kg(iron.amount(), &counted, tables.weights),
            flesh_iron: FleshIron::beside(sum(|day| &day.flesh_iron.flesh), all_iron),
            added_sugar: sum(|day| &day.added_sugar),
            allergens: allergens(days),
            estimates: estimates(
                days.iter()
                    .filter(|day| parts::food_on_record(day) && !day.partial),
            ),
            names: names(days),
            days: figures,
        })
    }

    /// The days on record, which the averages count.
    pub fn counted(&self) -> impl Iterator<Item = &DayFigures> {
        self.days.iter().filter(|day| day.recorded)
    }

    /// The sentence on lacking references, where the child was too old for their tables on a day on
    /// record.
    pub fn why_no_reference(&self) -> Option<&'static str> {
        let oldest = self.counted().map(|day| day.age).max();
        oldest.and_then(reading::why_no_reference)
    }

    /// The figures of a nutrient over the week.
    pub fn nutrient(&self, id: NutrientId) -> Option<&NutrientWeek> {
        self.nutrients
            .iter()
            .find(|nutrient| nutrient.nutrient.id == id)
    }

    /// The name of a food of these days, or its id.
    pub fn name<'a>(&'a self, id: &'a FoodId) -> &'a str {
        self.names.get(id).map_or(id.as_str(), String::as_str)
    }
}

fn allergens(days: &[Day]) -> BTreeMap<String, BTreeSet<Date>> {
    let mut eaten: BTreeMap<String, BTreeSet<Date>> = BTreeMap::new();
    for day in days {
        for food in day.foods_had() {
            for allergen in &food.allergens {
                eaten.entry(allergen.clone()).or_default().insert(day.date);
            }
        }
    }
    eaten
}

fn estimates<'a>(days: impl Iterator<Item = &'a Day> + Clone) -> Vec<String> {
    let milk = days.clone().flat_map(|day| day.milk.iter().flatten());
    let milk = milk.filter_map(|milk| milk.estimate.as_ref());
    let mut seen = BTreeSet::new();
    let milk = milk.filter(|sentence| seen.insert(*sentence));
    let mut sentences: Vec<String> = milk.cloned().collect();
    let meals = days.flat_map(|day| &day.meals);
    let estimated = meals.filter(|meal| meal.estimated).count();
    if estimated > 0 {
        let share = if estimated == 1 {
            "one meal"
        } else {
            "some meals"
        };
        sentences.push(format!(
            "How much of {share} was eaten is an estimate ({estimated}): nobody said how much"
        ));
    }
    sentences
}

fn names(days: &[Day]) -> BTreeMap<FoodId, String> {
    let milk = days.iter().flat_map(|day| day.milk.iter().flatten());
    let milk = milk.flat_map(|milk| &milk.serving.foods);
    let meals = days.iter().flat_map(|day| &day.meals);
    let eaten = meals.flat_map(|meal| meal.servings.iter().flat_map(|serving| &serving.foods));
    let foods = milk.chain(eaten);
    foods
        .map(|food| (food.id.clone(), food.name.clone()))
        .collect()
}

#[cfg(test)]
mod tests;
