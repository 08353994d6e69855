//! All foods there are to cook with: those of a dataset, and the household's own.

use std::collections::BTreeMap;
use std::sync::Arc;

use data_import::own::LabelFood;
use data_import::{Error, Food, FoodId, FoodTable, Provenance};

use super::own::OwnShelf;
use crate::problem::Problem;

/// A food table and, where there is one, a file of own foods.
#[derive(Debug)]
pub struct Pantry {
    table: Arc<FoodTable>,
    own: Option<OwnShelf>,
    at_hand: BTreeMap<FoodId, Food>,
}

impl From<FoodTable> for Pantry {
    /// A pantry without own foods.
    fn from(table: FoodTable) -> Self {
        Self::new(table, None)
    }
}

impl Pantry {
    /// A table, which others may be using too, and own foods.
    pub fn new(table: impl Into<Arc<FoodTable>>, own: Option<OwnShelf>) -> Self {
        Self {
            table: table.into(),
            own,
            at_hand: BTreeMap::new(),
        }
    }

    /// Keeps the foods of these recipes at hand: the table is then read once for all of them.
    pub fn laid_out_for(mut self, ids: &[FoodId]) -> Result<Self, Error> {
        let foods = self.foods(ids)?.into_iter().flatten();
        self.at_hand = foods.map(|food| (food.id.clone(), food)).collect();
        Ok(self)
    }

    /// The foods with these ids, in the same order; `None` where there is no such food.
    pub fn foods(&self, ids: &[FoodId]) -> Result<Vec<Option<Food>>, Error> {
        let bought = |id: &&FoodId| !id.is_own() && !self.at_hand.contains_key(*id);
        let asked: Vec<_> = ids.iter().filter(bought).cloned().collect();
        let mut found = self.table.foods(&asked)?.into_iter();
        let food = |id: &FoodId| {
            if id.is_own() {
                self.label(id).map(|own| own.food.clone())
            } else if let Some(food) = self.at_hand.get(id) {
                Some(food.clone())
            } else {
                found.next().flatten()
            }
        };
        Ok(ids.iter().map(food).collect())
    }

    /// Where the values of a food come from; empty where the dataset does not say.
    pub fn provenance(&self, id: &FoodId) -> Result<Vec<Provenance>, Error> {
        let says = self
            .table
            .sources()
            .iter()
            .any(|source| source.tables.provenance.is_some());
        if id.is_own() || !says {
            return Ok(Vec::new());
        }
        self.table.provenance(id)
    }

    /// What the label of an own food says; `None` for any other food.
    pub fn label(&self, id: &FoodId) -> Option<&LabelFood> {
        self.own.as_ref()?.foods().get(id)
    }

    /// What is odd about the labels of these foods, with the places in the file.
    pub fn warnings<'a>(&self, ids: impl IntoIterator<Item = &'a FoodId>) -> Vec<Problem> {
        let Some(own) = &self.own else {
            return Vec::new();
        };
        let labels = ids.into_iter().filter_map(|id| own.foods().get(id));
        labels.flat_map(|label| own.warnings(label)).collect()
    }
}
