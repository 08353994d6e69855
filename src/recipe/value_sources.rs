//! Where the values of the foods of a recipe come from, and how far they may be off.

use std::borrow::Cow;
use std::collections::BTreeMap;

use data_import::{Error, Food, FoodId, NutrientId, Origin, Provenance};

use super::Kitchen;
use crate::uncertainty::{FoodSpreads, SpreadTable};

/// Where the values of the foods of a recipe come from.
pub(super) struct ValueSources {
    read: BTreeMap<FoodId, Vec<Provenance>>,
    spreads: SpreadTable,
}

impl ValueSources {
    /// Reads the provenance of these foods, all at once.
    pub(super) fn of(kitchen: &Kitchen<'_>, foods: &[FoodId]) -> Result<Self, Error> {
        Ok(Self {
            read: kitchen.foods.provenance_of(foods)?,
            spreads: SpreadTable::builtin()?,
        })
    }

    /// The provenance of a food of the recipe, or of what is left when its can is drained.
    fn provenance(
        &self,
        kitchen: &Kitchen<'_>,
        food: &FoodId,
    ) -> Result<Cow<'_, [Provenance]>, Error> {
        match self.read.get(food) {
            Some(read) => Ok(read.into()),
            None => Ok(kitchen.foods.provenance(food)?.into()),
        }
    }

    /// How the value of each nutrient of a food came to be.
    pub(super) fn origins(
        &self,
        kitchen: &Kitchen<'_>,
        food: &FoodId,
    ) -> Result<BTreeMap<NutrientId, Origin>, Error> {
        let provenance = self.provenance(kitchen, food)?;
        let origins = provenance
            .iter()
            .map(|value| (value.nutrient, value.origin));
        Ok(origins.collect())
    }

    /// How far the values of a food may be off.
    pub(super) fn spreads(&self, kitchen: &Kitchen<'_>, food: &Food) -> Result<FoodSpreads, Error> {
        self.spreads
            .of_food(food, &self.provenance(kitchen, &food.id)?)
    }
}
