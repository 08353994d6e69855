//! Added sugar of the food of a day. Milk is left out.

use crate::nutrition::traits::ADDED_SUGARS;
use crate::nutrition::{Day, Meal, ServedFood, Total, Traits};

/// Added sugar in g as eaten. A food that may hold some without a value, or whose mass is not on
/// record, is missing.
pub(super) fn added_sugar(day: &Day, traits: &Traits) -> Total {
    let mut sum = Total::default();
    for meal in day.meals.iter().filter(|meal| meal.share > 0.0) {
        for serving in &meal.servings {
            // The label at the time counts before what the table says of the food now.
            match serving.nutrients.get(&ADDED_SUGARS) {
                Some(stated) if stated.complete() => sum.add(&stated.times(meal.share)),
                _ => {
                    for food in &serving.foods {
                        sum.add(&of_food(food, meal, traits));
                    }
                }
            }
        }
    }
    sum
}

fn of_food(food: &ServedFood, meal: &Meal, traits: &Traits) -> Total {
    let per_100_g = traits.get(&food.id).and_then(|traits| traits.added_sugar);
    let grams = match (per_100_g, food.edible) {
        (Some(0.0), _) => Some(0.0),
        (Some(per_100_g), Some(mass)) => Some(mass.grams() * per_100_g / 100.0),
        _ => None,
    };
    Total::of(&food.id, grams).times(meal.share)
}
