//! The foods of a run, each as a method cooks it: from the table that an earlier run kept, or else
//! prepared when it is first asked for.

use data_import::Food;

use super::BulkError;
use super::food::{LentFood, PreparedFood};
use super::food_preparer::{FoodPlace, FoodPreparer};
use super::kept_foods::KeptFoods;
use crate::cooking::Method;
use crate::recipe::PreparedIngredient;
use crate::uncertainty::FoodSpreads;

/// Foods by their ids, each by the ways to cook it.
#[derive(Debug)]
pub(super) enum PreparedFoods<'a> {
    /// All foods of the dataset, from a table that was kept.
    Kept(KeptFoods),
    /// Those that were asked for.
    Fresh(Box<FoodPreparer<'a>>),
}

impl PreparedFoods<'_> {
    /// Looks up the foods with these ids, so that they are read together; gives for each what is there.
    pub(super) fn look_up<'b>(
        &mut self,
        ids: impl Iterator<Item = &'b str>,
    ) -> Result<Vec<Option<FoodPlace>>, BulkError> {
        match self {
            Self::Kept(kept) => Ok(ids.map(|id| kept.look_up(id)).collect()),
            Self::Fresh(preparer) => preparer.look_up(ids),
        }
    }

    /// A food that was looked up, cooked by a method.
    pub(super) fn prepared(
        &mut self,
        food: FoodPlace,
        method: Method,
    ) -> Result<PreparedFood, BulkError> {
        let place = self.place(food, method)?;
        Ok(self.get(place)?.kept())
    }

    /// The place of a food that was looked up, cooked by a method.
    pub(super) fn place(&mut self, food: FoodPlace, method: Method) -> Result<u32, BulkError> {
        match self {
            Self::Kept(_) => KeptFoods::place(food, method),
            Self::Fresh(preparer) => preparer.place(food, method),
        }
    }

    /// The food at a place.
    pub(super) fn get(&self, place: u32) -> Result<LentFood<'_>, BulkError> {
        match self {
            Self::Kept(kept) => kept.get(place),
            Self::Fresh(preparer) => preparer.get(place).map(PreparedFood::lent),
        }
    }

    /// A gram of a food that was looked up, with how far its values may be off, which no table
    /// keeps; `None` where there is no such food or method.
    ///
    /// Errors: a table of the program does not read.
    pub(super) fn unsure(
        &self,
        id: &str,
        method: &str,
        own_yield: Option<f64>,
    ) -> Result<Option<PreparedIngredient>, BulkError> {
        match self {
            Self::Kept(_) => Ok(None),
            Self::Fresh(preparer) => preparer.unsure(id, method, own_yield),
        }
    }

    /// A food that was looked up, to be poured in.
    pub(super) fn unsure_water(&self, id: &str) -> Option<(Food, FoodSpreads)> {
        match self {
            Self::Kept(_) => None,
            Self::Fresh(preparer) => preparer.unsure_water(id),
        }
    }
}
