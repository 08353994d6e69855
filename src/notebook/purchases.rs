//! Purchases, and the cost of a batch at the prices of its day. A price keeps the currency in which
//! it was paid; only prices in the currency of the book are added up.

use std::collections::BTreeMap;

use jiff::civil::Date;
use rusqlite::Connection;

use super::error::BookError;
use super::freezer::FrozenBatch;
use super::sql::parsed;
use super::store::Store;
use crate::cost::{BatchCost, Money};
use crate::quantity::Mass;
use crate::recipe::Batch;

/// A food bought.
#[derive(Debug, Clone, PartialEq)]
pub struct Purchase {
    /// The day.
    pub day: Date,
    /// Id of the food.
    pub food: String,
    /// The name of the food.
    pub name: String,
    /// Mass as bought.
    pub mass: Mass,
    /// The price that was paid.
    pub price: Money,
    /// The shop; empty where it was not recorded.
    pub store: String,
}

impl Purchase {
    /// The price of 100 g as bought.
    pub fn per_100_g(&self) -> Option<Money> {
        self.price.share(Mass::from_grams(100.0), self.mass)
    }
}

impl Store {
    /// The record of a book with this currency; it is written down for the purchases of which the
    /// record does not say in what they were paid.
    pub(super) fn of_currency(mut self, currency: &str) -> Result<Self, BookError> {
        currency.clone_into(&mut self.currency);
        let is_unsaid = self.read(|connection| {
            let sql = "SELECT EXISTS (SELECT 1 FROM purchase WHERE currency = '')";
            connection.query_row(sql, [], |row| row.get::<_, bool>(0))
        })?;
        if is_unsaid && self.copied_for().is_none() {
            self.write(|transaction| {
                let sql = "UPDATE purchase SET currency = ?1 WHERE currency = ''";
                transaction.execute(sql, [currency])?;
                Ok(())
            })?;
        }
        Ok(self)
    }

    /// The number of purchases in each other currency than that of the book.
    pub fn purchases_in_other_money(&self) -> Result<BTreeMap<String, u32>, BookError> {
        self.read(|connection| {
            let sql = "SELECT currency, count(*) FROM purchase \
                       WHERE currency NOT IN ('', ?1) GROUP BY currency";
            let mut select = connection.prepare(sql)?;
            let counted =
                select.query_map([&self.currency], |row| Ok((row.get(0)?, row.get(1)?)))?;
            counted.collect()
        })
    }

    /// Records a purchase, paid in the currency of the book; returns the number of the entry.
    pub fn buy(&mut self, purchase: &Purchase) -> Result<i64, BookError> {
        let currency = self.currency.clone();
        self.write_entry(
            purchase.day,
            "purchase",
            &[
                ("food", &purchase.food),
                ("name", &purchase.name),
                ("grams", &purchase.mass.grams()),
                ("price", &purchase.price.to_string()),
                ("store", &purchase.store),
                ("currency", &currency),
            ],
        )
    }

    /// The price of a food in force on a day: that of the last purchase up to then, else of the
    /// first after.
    pub fn price(&self, food: &str, day: Date) -> Result<Option<Purchase>, BookError> {
        self.read(|connection| {
            let prices = Prices::read(connection, &self.currency)?;
            Ok(prices.on(food, day).cloned())
        })
    }

    /// Whether any purchase is on record.
    pub fn has_purchases(&self) -> Result<bool, BookError> {
        self.read(|connection| {
            let sql = "SELECT EXISTS (SELECT 1 FROM purchase)";
            connection.query_row(sql, [], |row| row.get(0))
        })
    }

    /// The cost of a batch at the prices of a day. The mass as bought is charged, refuse included.
    pub fn cost_of(&self, batch: &Batch, day: Date) -> Result<BatchCost, BookError> {
        self.read(|connection| Ok(Prices::read(connection, &self.currency)?.of_recipe(batch, day)))
    }
}

/// Every purchase in one currency by food, in the order of their days.
#[derive(Debug, Default)]
pub(super) struct Prices(BTreeMap<String, Vec<Purchase>>);

impl Prices {
    pub(super) fn read(connection: &Connection, currency: &str) -> rusqlite::Result<Self> {
        let mut prices = Self::default();
        let mut select = connection.prepare_cached(
            "SELECT entry.day, food, name, grams, price, store FROM purchase \
             JOIN entry ON entry.id = purchase.entry \
             WHERE ?1 = '' OR currency IN ('', ?1) ORDER BY entry.day, entry.id",
        )?;
        let mut rows = select.query([currency])?;
        while let Some(row) = rows.next()? {
            let purchase = Purchase {
                day: parsed(row, 0)?,
                food: row.get(1)?,
                name: row.get(2)?,
                mass: Mass::from_grams(row.get(3)?),
                price: parsed(row, 4)?,
                store: row.get(5)?,
            };
            let of_food = prices.0.entry(purchase.food.clone()).or_default();
            of_food.push(purchase);
        }
        Ok(prices)
    }

    /// The price in force on a day: that of the last purchase up to then, else of the first after.
    fn on(&self, food: &str, day: Date) -> Option<&Purchase> {
        let all = self.0.get(food)?;
        let before = all.partition_point(|purchase| purchase.day <= day);
        all.get(before.saturating_sub(1))
    }

    /// Adds the cost of a mass as bought.
    fn add(&self, cost: &mut BatchCost, (food, mass): (&str, Mass), day: Date) {
        let known = self.on(food, day);
        match known.and_then(|bought| bought.price.share(mass, bought.mass)) {
            Some(part) => cost.known = Some(cost.known.map_or(part, |known| known + part)),
            None => cost.unpriced.push(food.to_string()),
        }
    }

    /// The cost of each of these batches at the prices of its day; their foods are read at once.
    pub(super) fn of_batches(
        &self,
        connection: &Connection,
        days: &BTreeMap<i64, Date>,
    ) -> rusqlite::Result<BTreeMap<i64, BatchCost>> {
        let mut costs: BTreeMap<i64, BatchCost> = BTreeMap::new();
        let sql = "SELECT batch, food, purchased_g FROM batch_food ORDER BY batch, food";
        let mut select = connection.prepare(sql)?;
        let mut rows = select.query([])?;
        while let Some(row) = rows.next()? {
            let batch = row.get(0)?;
            if let Some(day) = days.get(&batch) {
                let food = row.get_ref(1)?.as_str()?;
                let mass = Mass::from_grams(row.get(2)?);
                self.add(costs.entry(batch).or_default(), (food, mass), *day);
            }
        }
        Ok(costs)
    }

    /// The cost of a batch that is calculated, at the prices of a day.
    fn of_recipe(&self, batch: &Batch, day: Date) -> BatchCost {
        let mut cost = BatchCost::default();
        // Tap water is taken to cost nothing.
        let charged = batch.prepared.ingredients.iter();
        for ingredient in charged.filter(|ingredient| ingredient.class.0 != "water") {
            let bought = (ingredient.food.id.as_str(), ingredient.purchased());
            self.add(&mut cost, bought, day);
        }
        cost.unpriced.sort();
        cost.unpriced.dedup();
        cost
    }

    /// The cost of a batch at the prices of its day, as far as they are known by now.
    pub(super) fn of_batch(
        &self,
        connection: &Connection,
        batch: i64,
        day: Date,
    ) -> rusqlite::Result<BatchCost> {
        let mut cost = BatchCost::default();
        let mut select = connection.prepare_cached(
            "SELECT food, purchased_g FROM batch_food WHERE batch = ?1 ORDER BY food",
        )?;
        let mut rows = select.query([batch])?;
        while let Some(row) = rows.next()? {
            let food: String = row.get(0)?;
            self.add(&mut cost, (&food, Mass::from_grams(row.get(1)?)), day);
        }
        Ok(cost)
    }
}

/// Fills in the cost of the cubes of each batch, at the prices that are known by now: a purchase
/// that is recorded late counts, and so does a correction of one.
pub(super) fn priced<'a>(
    (connection, currency): (&Connection, &str),
    batches: impl Iterator<Item = &'a mut FrozenBatch>,
) -> rusqlite::Result<()> {
    let batches: Vec<&mut FrozenBatch> = batches.collect();
    let days = batches.iter().map(|batch| (batch.id, batch.day)).collect();
    let mut costs = Prices::read(connection, currency)?.of_batches(connection, &days)?;
    for batch in batches {
        let cost = costs.remove(&batch.id).unwrap_or_default();
        batch.cost = match batch.puree {
            Some(puree) => cost.of_frozen(batch.frozen(), batch.cube, puree),
            None => cost,
        };
    }
    Ok(())
}
