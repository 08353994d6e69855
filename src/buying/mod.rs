//! Figures for the shop: how long a bought food keeps, when it is in season, residues counted in
//! samples of it, and its usual price.
//!
//! Each comes from an open table of `data-import/data`, with its source; a food without a row has
//! no figure, which is never zero.

mod price;
mod residues;
mod season;
mod storage;
mod trimmed;

pub use price::{UsPrice, UsualCost};
pub use residues::{ORGANIC_SAID, RESIDUE_SAID, Residues, WASHING_SAID};
pub use season::{Country, Season};
pub use storage::{Keeping, Storage};
pub use trimmed::TrimmedGoods;

use data_import::{Error, FoodId, reference};
use serde::de::DeserializeOwned;

/// All that is known for buying a food.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BuyingFacts {
    /// How long the food keeps.
    pub storage: Option<Storage>,
    /// When the food is in season, by country.
    pub seasons: Vec<Season>,
    /// Residues counted in samples of the food.
    pub residues: Vec<Residues>,
    /// The usual price of the food in the USA, followed by those of its other forms.
    pub us_prices: Vec<UsPrice>,
    /// The share of the food that is eaten as shops sell it, where they trim it and the dataset
    /// counts the refuse of the whole plant.
    pub trimmed: Option<TrimmedGoods>,
}

impl BuyingFacts {
    /// Looks a food up in all tables.
    ///
    /// Errors: a table of the program cannot be read.
    pub fn of(food: &FoodId) -> Result<Self, Error> {
        Ok(Self {
            storage: Storage::of(food)?,
            seasons: Season::of(food)?,
            residues: Residues::of(food)?,
            us_prices: UsPrice::with_other_forms(food)?,
            trimmed: TrimmedGoods::of(food)?,
        })
    }

    /// Keeps what concerns a household: the season of its country, and prices in its currency.
    #[must_use]
    pub fn for_household(mut self, country: Option<Country>, currency: &str) -> Self {
        self.seasons
            .retain(|season| Some(season.country) == country);
        if currency != UsPrice::CURRENCY {
            self.us_prices.clear();
        }
        self
    }
}

/// The rows of a table that are about a food: its `foods` are ids joined by `|`.
fn rows_about<T: DeserializeOwned>(
    table: (&str, &str),
    food: &FoodId,
    foods: impl Fn(&T) -> &str,
) -> Result<Vec<T>, Error> {
    let mut rows: Vec<T> = reference::rows_with(table.0, table.1, food.as_str())?;
    rows.retain(|row| foods(row).split('|').any(|id| id == food.as_str()));
    Ok(rows)
}
