//! Vegetables that shops sell trimmed otherwise than the dataset counts refuse:
//! `trimmed-goods.csv`.

use data_import::{Error, FoodId, reference};
use serde::{Deserialize, Serialize};

use super::rows_about;
use crate::quantity::Mass;

/// The share of a vegetable that is eaten as shops sell it, trimmed of leaves and stalk.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TrimmedGoods {
    /// The item of the source.
    pub called: String,
    /// The share of what is bought, 0 to 1, that is eaten.
    pub share: f64,
}

#[derive(Debug, Deserialize)]
struct TrimmedRow {
    foods: String,
    called: String,
    share: f64,
}

impl TrimmedGoods {
    /// Where the shares come from.
    pub const SOURCE: &'static str =
        "USDA Economic Research Service, Fruit and Vegetable Prices, 2022";

    /// The row of a food; `None` where the table has no row for it.
    ///
    /// Errors: the table cannot be read.
    pub fn of(food: &FoodId) -> Result<Option<Self>, Error> {
        let table = ("trimmed-goods.csv", reference::TRIMMED_GOODS);
        let rows = rows_about(table, food, |row: &TrimmedRow| &row.foods)?;
        Ok(rows.into_iter().next().map(|row| Self {
            called: row.called,
            share: row.share,
        }))
    }

    /// The mass to buy for a mass that is eaten.
    pub fn bought_for(&self, eaten: Mass) -> Mass {
        eaten * (1.0 / self.share)
    }

    /// `of cauliflower heads as shops sell them 89 % is eaten`.
    pub fn in_words(&self) -> String {
        format!(
            "of {} as shops sell them {:.0} % is eaten",
            self.called,
            self.share * 100.0
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// USDA ERS, Fruit and Vegetable Prices 2022: yield factors 0.8926 of cauliflower heads and
    /// 0.73 of trimmed celery bunches, where SR28 has 61 % and 11 % refuse.
    #[test]
    fn cauliflower_is_sold_without_its_leaves() {
        let of = |id: &str| TrimmedGoods::of(&id.parse().unwrap()).unwrap();
        let cauliflower = of("11135").unwrap();
        let bought = cauliflower.bought_for(Mass::from_grams(390.0)).grams();
        approx::assert_relative_eq!(bought, 436.9, max_relative = 1e-3);
        assert_eq!(of("11143").unwrap().share, 0.73);
        assert_eq!(of("11124"), None);
        let rows: Vec<TrimmedRow> =
            reference::rows("trimmed-goods.csv", reference::TRIMMED_GOODS).unwrap();
        assert!(rows.iter().all(|row| row.share > 0.0 && row.share <= 1.0));
    }
}
