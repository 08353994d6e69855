//! The rules by which every plan is judged, whoever made it, in whole meals, cubes and days.

mod aims;
mod dishes;
mod foods;
pub mod table;

pub use table::{Rule, RuleKind};

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::{CubeSize, Eater};
use crate::nutrition::{ServedFood, Serving};
use crate::safety::Waiting;
use data_import::FoodId;

/// Meals of some days, as the rules see them.
#[derive(Debug)]
pub(crate) struct PlannedWeek<'a> {
    /// The children.
    pub(crate) eaters: &'a [Eater],
    /// The meals, by child, day and the order of the day's meals; those of the seven days before
    /// count too.
    pub(crate) meals: Vec<MealOfWeek<'a>>,
    /// The household's rule of waiting between new foods.
    pub(crate) waiting: Waiting,
    /// Whether the meals are checked by the judge as well, which then reports sums.
    pub(crate) judged: bool,
    /// The number of dishes of known foods to choose from, by child.
    pub(crate) choice: Vec<usize>,
}

/// A meal that was eaten or is planned.
#[derive(Debug)]
pub(crate) struct MealOfWeek<'a> {
    pub(crate) day: Date,
    /// Index of the child.
    pub(crate) child: usize,
    /// The name of the meal.
    pub(crate) name: &'a str,
    /// The position among the meals of the day.
    pub(crate) place: usize,
    /// The recipes of its cubes, by name, with their titles.
    pub(crate) dishes: BTreeMap<&'a str, &'a str>,
    /// The parts of the meal.
    pub(crate) parts: Vec<PartOfMeal>,
    /// Whether the meal is planned, and still to come.
    pub(crate) planned: bool,
}

/// A part of a meal.
#[derive(Debug)]
pub(crate) struct PartOfMeal {
    /// The whole part, as it is served.
    pub(crate) serving: Serving,
    /// The number of cubes; 0 for other food.
    pub(crate) cubes: u32,
    /// The size of one.
    pub(crate) size: CubeSize,
}

/// A rule that a plan breaks, with the day, child and meal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Broken {
    /// The rule that is broken.
    pub rule: Rule,
    /// The day.
    pub day: Date,
    /// Index of the child.
    pub child: usize,
    /// The meal, where the violation is one of a meal.
    pub meal: Option<String>,
    /// The violation as a sentence.
    pub words: String,
}

impl<'a> PlannedWeek<'a> {
    /// Puts the meals into their order.
    pub(crate) fn sorted(mut self) -> Self {
        self.meals
            .sort_by_key(|meal| (meal.child, meal.day, meal.place));
        self
    }

    /// The meals of a child, in their order.
    fn of(&self, child: usize) -> Vec<&MealOfWeek<'a>> {
        let meals = self.meals.iter();
        meals.filter(|meal| meal.child == child).collect()
    }

    /// Every rule that the planned meals break.
    pub(crate) fn broken(&self) -> Vec<Broken> {
        let mut all = Vec::new();
        for child in 0..self.eaters.len() {
            all.extend(dishes::too_often(self, child));
            all.extend(dishes::in_a_row(self, child));
            all.extend(dishes::too_large(self, child));
            all.extend(foods::too_soon(self, child));
            all.extend(foods::too_much_at_first(self, child));
            all.extend(foods::too_early_again(self, child));
            all.extend(foods::offered_too_often(self, child));
            all.extend(foods::past_a_limit(self, child));
        }
        all
    }

    /// The planned meals that bring a child a major allergen for the first time: day, meal, and the
    /// cubes with a food that brings it.
    pub(crate) fn first_allergens(&self, child: usize) -> Vec<FirstAllergen<'a>> {
        foods::first_allergens(self, child)
    }

    /// The first tastes that the planned meals bring a child, by day: food, its name, and the meal.
    pub(crate) fn first_tastes(&self, child: usize) -> BTreeMap<Date, FirstTastes> {
        foods::first_tastes(self, child)
    }
}

/// A meal with a major allergen that the child does not know yet.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct FirstAllergen<'a> {
    pub(crate) day: Date,
    pub(crate) meal: &'a str,
    /// The cubes with a food that brings it.
    pub(crate) cubes: u32,
    /// Grams with such a food that are no cubes.
    pub(crate) grams: f64,
    /// The food, by its name.
    pub(crate) food: String,
}

/// First tastes of a day.
pub(crate) type FirstTastes = BTreeMap<FoodId, FirstTaste>;

/// The first taste of a food.
#[derive(Debug)]
pub(crate) struct FirstTaste {
    /// The name of the food.
    pub(crate) food: String,
    /// The meal in which it comes.
    pub(crate) meal: String,
    /// Whether the household waits after it.
    pub(crate) waited_after: bool,
    /// Whether the meal is planned, and still to come.
    pub(crate) planned: bool,
}

impl MealOfWeek<'_> {
    /// The number of cubes.
    pub(crate) fn cubes(&self) -> u32 {
        self.parts.iter().map(|part| part.cubes).sum()
    }

    /// The same in cubes of the first tray.
    pub(crate) fn usual_cubes(&self) -> f64 {
        let parts = self.parts.iter();
        parts.map(|part| part.size.times(part.cubes)).sum()
    }

    /// Whether its cubes are of another size than those of the first tray.
    pub(crate) fn has_other_cubes(&self) -> bool {
        let mut parts = self.parts.iter();
        parts.any(|part| part.cubes > 0 && part.size != CubeSize::USUAL)
    }

    /// The servings of the meal.
    pub(crate) fn servings(&self) -> impl Iterator<Item = &Serving> {
        self.parts.iter().map(|part| &part.serving)
    }

    /// The foods of the meal.
    fn foods(&self) -> impl Iterator<Item = &ServedFood> {
        self.servings().flat_map(|serving| &serving.foods)
    }

    fn broken(&self, rule: Rule, words: String) -> Broken {
        Broken {
            rule,
            day: self.day,
            child: self.child,
            meal: Some(self.name.to_string()),
            words,
        }
    }
}
