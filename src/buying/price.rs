//! Usual prices in shops of the USA: `us-prices.csv`. They are never added to money that was paid.

use data_import::{Error, FoodId, reference};
use serde::{Deserialize, Serialize};

use super::rows_about;
use crate::cost::Money;
use crate::quantity::Mass;
use crate::words::{joined, lower};

/// The usual price of a food in shops of the USA in 2022.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct UsPrice {
    /// The item of the source.
    pub called: String,
    /// The form of the food: fresh, frozen, dried, canned.
    pub form: String,
    /// Dollars for a kilogram as bought.
    pub usd_per_kg: Money,
}

#[derive(Debug, Deserialize)]
struct PriceRow {
    foods: String,
    called: String,
    form: String,
    usd_per_kg: String,
}

/// A kilogram.
const KILOGRAM: Mass = Mass::from_grams(1000.0);

impl UsPrice {
    /// Where the prices come from.
    pub const SOURCE: &'static str =
        "USDA Economic Research Service, Fruit and Vegetable Prices, 2022";
    /// The mark of every figure that is calculated from a usual price.
    pub const MARK: &'static str = "US average 2022, not your shop";
    /// The currency of a book for which the prices are shown.
    pub const CURRENCY: &'static str = "USD";

    /// The usual price of a food; `None` where the table has none.
    ///
    /// Errors: the table cannot be read.
    pub fn of(food: &FoodId) -> Result<Option<Self>, Error> {
        Ok(Self::with_other_forms(food)?.into_iter().next())
    }

    /// The price of a food, and those of the same food in other forms, such as frozen.
    ///
    /// Errors: the table cannot be read.
    pub fn with_other_forms(food: &FoodId) -> Result<Vec<Self>, Error> {
        let table = ("us-prices.csv", reference::US_PRICES);
        let own = rows_about(table, food, |row: &PriceRow| &row.foods)?;
        let Some(own) = own.into_iter().next() else {
            return Ok(Vec::new());
        };
        let alike: Vec<PriceRow> = reference::rows_with(table.0, table.1, &own.called)?;
        let same = |row: &&PriceRow| row.called == own.called && row.form != own.form;
        let priced = std::iter::once(&own).chain(alike.iter().filter(same));
        Ok(priced.filter_map(Self::read).collect())
    }

    fn read(row: &PriceRow) -> Option<Self> {
        Some(Self {
            called: row.called.clone(),
            form: row.form.clone(),
            usd_per_kg: row.usd_per_kg.parse().ok()?,
        })
    }

    /// The usual price of a mass as bought.
    pub fn of_mass(&self, bought: Mass) -> Option<Money> {
        self.usd_per_kg.share(bought, KILOGRAM)
    }

    /// `fresh 6.80 USD a kg`.
    pub fn in_words(&self) -> String {
        format!("{} {} USD a kg", self.form, self.usd_per_kg.shown())
    }
}

/// The cost at usual prices of foods whose own price is not known.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct UsualCost {
    /// The sum for the foods with a usual price, USD.
    pub amount: Money,
    /// Ids of the foods with a usual price.
    pub foods: Vec<String>,
    /// Ids of the foods without a usual price.
    pub missing: Vec<String>,
    /// Names of the foods without a usual price.
    #[serde(skip)]
    pub missing_names: Vec<String>,
    /// The kind of price.
    pub mark: &'static str,
    /// Where the prices come from.
    pub source: &'static str,
}

impl UsualCost {
    /// `about 2.10 USD (US average 2022, not your shop)`, with the foods that have no usual price.
    pub fn in_words(&self) -> String {
        let first = |name: &String| lower(name.split(',').next().unwrap_or(name));
        let without = match self.missing_names.as_slice() {
            [] => String::new(),
            missing => format!("; none for {}", joined(missing.iter().map(first), ", ")),
        };
        format!(
            "about {} {} ({}{without})",
            self.amount.shown(),
            UsPrice::CURRENCY,
            UsPrice::MARK
        )
    }

    /// The sum of the usual prices alone, without the list of foods that have none: `about 2.10 USD
    /// (US average 2022, not your shop)`.
    pub fn in_short(&self) -> String {
        let (amount, currency) = (self.amount.shown(), UsPrice::CURRENCY);
        let bound = if self.missing.is_empty() {
            "about"
        } else {
            "more than"
        };
        format!("{bound} {amount} {currency} ({})", UsPrice::MARK)
    }

    /// Adds up masses of foods, each with its name, as bought at the usual prices; `None` where no
    /// food has one.
    ///
    /// Errors: the table cannot be read.
    pub fn of<'a>(
        bought: impl IntoIterator<Item = (&'a FoodId, &'a str, Mass)>,
    ) -> Result<Option<Self>, Error> {
        let (mut amount, mut foods) = (Money::ZERO, Vec::new());
        let (mut missing, mut missing_names) = (Vec::new(), Vec::new());
        for (food, name, mass) in bought {
            match UsPrice::of(food)?.and_then(|price| price.of_mass(mass)) {
                Some(part) => {
                    amount = amount + part;
                    foods.push(food.to_string());
                }
                None => {
                    missing.push(food.to_string());
                    missing_names.push(name.to_string());
                }
            }
        }
        Ok((!foods.is_empty()).then_some(Self {
            amount,
            foods,
            missing,
            missing_names,
            mark: UsPrice::MARK,
            source: UsPrice::SOURCE,
        }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn id(text: &str) -> FoodId {
        text.parse().unwrap()
    }

    /// USDA ERS, Fruit and Vegetable Prices 2022: broccoli heads 6.795 USD a kg (3.0822 a pound),
    /// frozen 5.172; butternut squash 2.798.
    #[test]
    fn fresh_and_frozen_stand_side_by_side() {
        let prices = UsPrice::with_other_forms(&id("11090")).unwrap();
        let shown: Vec<_> = prices.iter().map(UsPrice::in_words).collect();
        assert_eq!(shown, ["fresh 6.80 USD a kg", "frozen 5.17 USD a kg"]);
        let frozen = UsPrice::with_other_forms(&id("11092")).unwrap();
        assert_eq!(frozen[0].form, "frozen");
    }

    /// By hand: 0.6 kg at 2.798 are 1.6788; olive oil has no row, so it stands apart and is not
    /// free.
    #[test]
    fn what_has_no_usual_price_is_named_and_never_free() {
        let (squash, oil) = (id("11485"), id("04053"));
        let masses = [
            (&squash, "Squash", Mass::from_grams(600.0)),
            (&oil, "Oil, olive", Mass::from_grams(10.0)),
        ];
        let cost = UsualCost::of(masses).unwrap().unwrap();
        assert_eq!(cost.amount.to_string(), "1.6788");
        assert_eq!(
            (cost.foods, cost.missing),
            (vec!["11485".to_string()], vec!["04053".to_string()])
        );
        assert_eq!(
            UsualCost::of([(&oil, "Oil, olive", Mass::from_grams(10.0))]).unwrap(),
            None
        );
    }

    #[test]
    fn every_price_is_a_price() {
        let rows: Vec<PriceRow> = reference::rows("us-prices.csv", reference::US_PRICES).unwrap();
        assert!(rows.len() > 100);
        for row in &rows {
            assert!(UsPrice::read(row).is_some(), "{row:?}");
        }
    }
}
