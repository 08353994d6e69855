//! The amount of a nutrient by source: milk, purées, other food, supplements.

use data_import::NutrientId;

use crate::nutrition::{Day, SOLIDS_FROM, ServedFood, Source, Total, Traits};

/// The amount of a nutrient on a day or an average day, by source, in the nutrient's unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Parts {
    /// From breast milk and formula.
    pub milk: Total,
    /// From cubes.
    pub puree: Total,
    /// From ready-made food and food from the table.
    pub other: Total,
    /// From supplements.
    pub supplement: f64,
    /// From infant formula, which counts in the three parts above as well.
    pub formula: Total,
    /// Whether milk is on record; where it is not, everything is a lower bound.
    pub milk_on_record: bool,
    /// Whether food is on record; a day without a meal on record is not a day without food.
    pub food_on_record: bool,
}

impl Parts {
    /// Zero, to which days are added.
    pub(super) fn nothing() -> Self {
        Self {
            milk: Total::default(),
            puree: Total::default(),
            other: Total::default(),
            supplement: 0.0,
            formula: Total::default(),
            milk_on_record: true,
            food_on_record: true,
        }
    }

    /// The amount of a nutrient on a day.
    pub(super) fn of(day: &Day, nutrient: NutrientId, traits: &Traits) -> Self {
        let from = |source| day.total(nutrient, Some(source));
        Self {
            milk: from(Source::Milk),
            puree: from(Source::Puree),
            other: from(Source::Other),
            supplement: day.supplement(nutrient),
            formula: from_formula(day, nutrient, traits),
            milk_on_record: day.milk.is_some(),
            food_on_record: food_on_record(day),
        }
    }

    pub(super) fn add(&mut self, other: &Self) {
        self.milk.add(&other.milk);
        self.puree.add(&other.puree);
        self.other.add(&other.other);
        self.supplement += other.supplement;
        self.formula.add(&other.formula);
        self.milk_on_record &= other.milk_on_record;
        self.food_on_record &= other.food_on_record;
    }

    pub(super) fn times(&self, factor: f64) -> Self {
        Self {
            milk: self.milk.times(factor),
            puree: self.puree.times(factor),
            other: self.other.times(factor),
            supplement: self.supplement * factor,
            formula: self.formula.times(factor),
            milk_on_record: self.milk_on_record,
            food_on_record: self.food_on_record,
        }
    }

    /// The total of food alone, without milk and supplements.
    pub fn food(&self) -> Total {
        let mut sum = self.puree.clone();
        sum.add(&self.other);
        sum
    }

    /// The total of all sources.
    pub fn total(&self) -> Total {
        let mut sum = self.milk.clone();
        sum.add(&self.puree);
        sum.add(&self.other);
        if self.supplement > 0.0 {
            sum.known = Some(sum.known.unwrap_or(0.0) + self.supplement);
        }
        sum
    }

    /// Whether the total is complete, and not a lower bound.
    pub fn complete(&self) -> bool {
        self.milk_on_record && self.food_on_record && self.total().complete()
    }

    /// The amount from milk; `None` where milk is not on record, or nothing is known of it.
    pub fn from_milk(&self) -> Option<f64> {
        had(&self.milk).filter(|_| self.milk_on_record || self.milk.known.is_some())
    }

    /// The amount of a total of food, `None` where no food is on record, or nothing is known of it.
    pub fn from_food(&self, food: &Total) -> Option<f64> {
        had(food).filter(|_| self.food_on_record)
    }

    /// The amount from everything, a lower bound unless complete; `None` where nothing is known.
    pub fn amount(&self) -> Option<f64> {
        let known = self.milk_on_record || self.food_on_record;
        had(&self.total()).filter(|_| known)
    }
}

/// The amount of a nutrient on a day from servings of nothing but infant formula.
fn from_formula(day: &Day, nutrient: NutrientId, traits: &Traits) -> Total {
    let is_formula = |food: &ServedFood| traits.get(&food.id).is_some_and(|traits| traits.formula);
    let milk = day.milk.iter().flatten().map(|milk| (&milk.serving, 1.0));
    let meals = day.meals.iter();
    let eaten = meals.flat_map(|meal| meal.servings.iter().map(|serving| (serving, meal.share)));
    let mut sum = Total::default();
    for (serving, share) in milk.chain(eaten) {
        if serving.foods.iter().all(is_formula) {
            sum.add(&serving.total(nutrient).times(share));
        }
    }
    sum
}

/// Whether the food of a day is on record: a meal, or none before solids are due.
pub(super) fn food_on_record(day: &Day) -> bool {
    !day.meals.is_empty() || (day.age < SOLIDS_FROM && day.milk.is_some())
}

/// The amount of a total: 0 where nothing was eaten, `None` where nothing is known of what was.
pub fn had(total: &Total) -> Option<f64> {
    total.known.or(total.complete().then_some(0.0))
}
