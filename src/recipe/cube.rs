//! One cube of a batch, as it is served.

use data_import::{Food, NutrientId};

use super::{Batch, CubeMade, PreparedIngredient};
use crate::nutrition::{ServedFood, Serving, Source, Total};
use crate::quantity::Mass;

impl Batch {
    /// A cube as it is served: warmed, where the recipe says so. `allergens` says which of the major
    /// ones the name of a food gives away.
    pub fn cube(&self, made: CubeMade<'_>, allergens: impl Fn(&Food) -> Vec<String>) -> Serving {
        let cube = made.mass;
        let share = cube / self.masses.puree;
        let totals = self.nutrients.iter().map(|total| {
            let part = Total {
                known: total.served.map(|served| served * share),
                missing: total.batch.missing.clone(),
            };
            (total.nutrient.id, part)
        });
        let mut foods: Vec<ServedFood> = Vec::new();
        let eaten = self.prepared.ingredients.iter();
        for ingredient in eaten.filter(|ingredient| ingredient.class.0 != "water") {
            let part = self.part(ingredient, cube, &allergens);
            match foods.iter_mut().find(|food| food.id == part.id) {
                Some(food) => food.join(&part),
                None => foods.push(part),
            }
        }
        Serving {
            source: Source::Puree,
            what: self.prepared.title.clone(),
            mass: cube,
            nutrients: totals.collect(),
            foods,
            liquid: Some(self.prepared.liquid_mass() * (cube / self.blended())),
            portion: Some(self.portion(made)),
        }
    }

    /// What one ingredient brings to a cube.
    fn part(
        &self,
        ingredient: &PreparedIngredient,
        cube: Mass,
        allergens: impl Fn(&Food) -> Vec<String>,
    ) -> ServedFood {
        let edible = ingredient.edible() * (cube / self.blended());
        let (cooking, warming) =
            self.prepared
                .survival(ingredient, ingredient.kept(), NutrientId::IRON);
        let iron = ingredient.eaten().composition.get(NutrientId::IRON);
        ServedFood {
            id: ingredient.food.id.clone(),
            name: ingredient.food.name.clone(),
            edible: Some(edible),
            iron: iron.map(|iron| edible.grams() * iron / 100.0 * cooking * warming),
            allergens: allergens(&ingredient.food),
            method: Some(ingredient.method),
            typed: String::new(),
        }
    }

    /// The blended purée, before a loss.
    pub(super) fn blended(&self) -> Mass {
        let weighed = self.prepared.weighed.as_ref().map(|weighed| weighed.value);
        weighed.unwrap_or_else(|| self.prepared.expected())
    }
}
