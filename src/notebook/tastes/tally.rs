//! The tastes of a child, added up meal by meal.

use std::collections::{BTreeMap, HashMap};
use std::rc::Rc;

use jiff::civil::Date;

use super::Taste;
use super::meal::{BatchFoods, Moment, TastedMeal};
use crate::food::same_food;

/// The foods and allergens of the meals so far. Years of meals are of few batches, so that the
/// foods of a batch are looked up once.
pub(super) struct TasteTally<'a> {
    cooked: &'a BatchFoods,
    cleared: &'a BTreeMap<&'a str, Moment>,
    foods: Vec<Taste>,
    /// The place of each food among the tastes.
    places: HashMap<&'a str, usize>,
    allergens: BTreeMap<&'a str, (Date, Date)>,
    /// The foods and allergens of a meal of one batch alone.
    of_batch: HashMap<i64, Rc<MealFoods<'a>>>,
}

/// The foods and allergens of a meal, each once.
struct MealFoods<'a> {
    foods: Vec<usize>,
    allergens: Vec<&'a str>,
}

impl<'a> TasteTally<'a> {
    /// A tally without a meal. `cleared` has the moment of the doctor's last clearance of each
    /// food.
    pub(super) fn new(cooked: &'a BatchFoods, cleared: &'a BTreeMap<&'a str, Moment>) -> Self {
        Self {
            cooked,
            cleared,
            foods: Vec::new(),
            places: HashMap::new(),
            allergens: BTreeMap::new(),
            of_batch: HashMap::new(),
        }
    }

    /// Adds a meal; meals are added in the order of their days.
    pub(super) fn add(&mut self, meal: &'a TastedMeal) {
        let held = self.held(meal);
        let day = meal.at.day;
        for allergen in held.allergens.iter().filter(|_| meal.eaten) {
            let (_, last) = self.allergens.entry(allergen).or_insert((day, day));
            *last = day;
        }
        for place in &held.foods {
            let taste = &mut self.foods[*place];
            taste.add(meal, self.cleared.get(taste.food.as_str()));
        }
    }

    /// The foods in the order in which they were first offered, and the allergens with the first
    /// and the last day on which they were eaten.
    pub(super) fn results(self) -> (Vec<Taste>, BTreeMap<String, (Date, Date)>) {
        let allergens = self.allergens.into_iter();
        let allergens = allergens.map(|(allergen, days)| (allergen.to_string(), days));
        let mut foods = self.foods;
        // Carrots that were raw in a recipe are not a new food where boiled ones were eaten before.
        let mut first_of: HashMap<String, Date> = HashMap::new();
        for taste in &foods {
            if let Some(first) = taste.first_eaten {
                let earliest = first_of.entry(same_food(&taste.name)).or_insert(first);
                *earliest = first.min(*earliest);
            }
        }
        for taste in foods.iter_mut().filter(|taste| taste.eaten()) {
            taste.first_eaten = first_of.get(&same_food(&taste.name)).copied();
        }
        (foods, allergens.collect())
    }

    fn held(&mut self, meal: &'a TastedMeal) -> Rc<MealFoods<'a>> {
        let alone = match meal.batches.as_slice() {
            [batch] if meal.others.is_empty() => Some(*batch),
            _ => None,
        };
        if let Some(held) = alone.and_then(|batch| self.of_batch.get(&batch)) {
            return Rc::clone(held);
        }
        let foods = meal.foods(self.cooked).map(|food| {
            let place = *self.places.entry(&food.id).or_insert(self.foods.len());
            if place == self.foods.len() {
                self.foods.push(Taste::first(food, meal));
            }
            place
        });
        let held = Rc::new(MealFoods {
            foods: foods.collect(),
            allergens: meal.allergens(self.cooked).into_iter().collect(),
        });
        if let Some(batch) = alone {
            self.of_batch.insert(batch, Rc::clone(&held));
        }
        held
    }
}
