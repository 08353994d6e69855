//! What is in a planned meal, as far as its cubes are known.

use std::collections::BTreeMap;

use data_import::FoodId;

use crate::cooking::Method;
use crate::nutrition::ServedFood;
use crate::planning::agenda::{AgendaMeal, AgendaPart};
use crate::planning::facts::Facts;
use crate::planning::supply::Origin;
use crate::quantity::Mass;

/// Every food of a meal, each once.
pub(super) fn foods_of(facts: &Facts<'_>, meal: &AgendaMeal) -> BTreeMap<FoodId, ServedFood> {
    let mut foods = BTreeMap::new();
    let mut add = |food: &ServedFood| {
        foods.entry(food.id.clone()).or_insert_with(|| food.clone());
    };
    for part in &meal.parts {
        match part {
            AgendaPart::Cubes(pick, taken) => {
                for (lot, _) in &taken.parts {
                    let cube = match lot.origin {
                        Origin::Batch(id) => facts.cubes.get(&id),
                        Origin::Cooking(_) => facts.dishes.get(&lot.name).map(|dish| &dish.cube),
                    };
                    cube.into_iter()
                        .flat_map(|cube| &cube.foods)
                        .for_each(&mut add);
                }
                // Cubes that are not there yet hold what the recipe says.
                if taken.short > 0
                    && let Some(dish) = facts.dishes.get(&pick.name)
                {
                    dish.cube.foods.iter().for_each(&mut add);
                }
            }
            AgendaPart::Food(id, mass) => {
                if let Some((food, allergens)) = facts.foods.get(id) {
                    add(&ServedFood {
                        id: id.clone(),
                        name: food.name.clone(),
                        edible: Some(*mass),
                        iron: None,
                        allergens: allergens.clone(),
                        method: Some(Method::None),
                    });
                }
            }
        }
    }
    foods
}

/// The mass of a meal, as far as its cubes are known.
pub(super) fn mass_of(facts: &Facts<'_>, meal: &AgendaMeal) -> Mass {
    let part = |part: &AgendaPart| match part {
        AgendaPart::Food(_, mass) => *mass,
        AgendaPart::Cubes(pick, taken) => {
            let dish = |name: &str| facts.dishes.get(name).map(|dish| dish.cube.mass);
            let lots = taken.parts.iter().map(|(lot, cubes)| {
                let each = match lot.origin {
                    Origin::Batch(id) => facts.cubes.get(&id).map(|cube| cube.mass),
                    Origin::Cooking(_) => dish(&lot.name),
                };
                each.unwrap_or(Mass::ZERO) * f64::from(*cubes)
            });
            let lacking = dish(&pick.name).unwrap_or(Mass::ZERO) * f64::from(taken.short);
            lots.sum::<Mass>() + lacking
        }
    };
    meal.parts.iter().map(part).sum()
}
