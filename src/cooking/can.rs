//! Cans whose food the dataset lists with its liquid and drained.

use std::collections::HashMap;

use data_import::{Error, FoodId, reference};
use serde::Deserialize;

/// The drained row of a can.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct CanRow {
    /// The food as it is drained.
    pub drained: FoodId,
    /// The share of the drained food in the whole contents, 0 to 1.
    pub share: f64,
    /// The source of the share.
    pub source: String,
}

impl CanRow {
    /// The drained row of a food that is listed with the liquid of its can.
    pub fn of(food: &FoodId) -> Result<Option<Self>, Error> {
        let key = [food.as_str()];
        reference::row("drained-cans.csv", reference::DRAINED_CANS, &key)
    }

    /// The food with the liquid of its can, of which `drained` is what is left.
    pub fn whole(drained: &FoodId) -> Result<Option<FoodId>, Error> {
        let rows: Vec<(FoodId, FoodId, f64, String)> =
            reference::rows("drained-cans.csv", reference::DRAINED_CANS)?;
        let row = rows.into_iter().find(|row| row.1 == *drained);
        Ok(row.map(|row| row.0))
    }

    /// All rows, by the food with its liquid.
    pub(super) fn all() -> Result<HashMap<FoodId, Self>, Error> {
        #[derive(Deserialize)]
        struct WholeCan {
            food: FoodId,
            drained: FoodId,
            share: f64,
            source: String,
        }
        let rows: Vec<WholeCan> = reference::rows("drained-cans.csv", reference::DRAINED_CANS)?;
        let can = |row: WholeCan| {
            let can = Self {
                drained: row.drained,
                share: row.share,
                source: row.source,
            };
            (row.food, can)
        };
        Ok(rows.into_iter().map(can).collect())
    }
}
