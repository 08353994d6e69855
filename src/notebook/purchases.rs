//! Purchases, and what a batch costs at the prices of its day.

use jiff::civil::Date;
use rusqlite::{Connection, OptionalExtension as _, params};

use super::error::BookError;
use super::freezer::parsed;
use super::store::{Store, new_entry};
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
    /// Records a purchase; gives its number.
    pub fn buy(&mut self, purchase: &Purchase) -> Result<i64, BookError> {
        self.write(|transaction| {
            let id = new_entry(transaction, purchase.day, "purchase")?;
            transaction.execute(
                "INSERT INTO purchase (entry, food, name, grams, price, store) \
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
                params![
                    id,
                    purchase.food,
                    purchase.name,
                    purchase.mass.grams(),
                    purchase.price.to_string(),
                    purchase.store,
                ],
            )?;
            Ok(id)
        })
    }

    /// The price of a food in force on a day: the last purchase up to then, else the first after.
    pub fn price(&self, food: &str, day: Date) -> Result<Option<Purchase>, BookError> {
        self.read(|connection| price(connection, food, day))
    }

    /// The cost of a batch at the prices of a day. The mass as bought is charged, refuse included.
    pub fn cost_of(&self, batch: &Batch, day: Date) -> Result<BatchCost, BookError> {
        self.read(|connection| cost_of(connection, batch, day))
    }
}

fn price(connection: &Connection, food: &str, day: Date) -> rusqlite::Result<Option<Purchase>> {
    connection
        .prepare(
            "SELECT entry.day, food, name, grams, price, store FROM purchase \
             JOIN entry ON entry.id = purchase.entry WHERE food = ?1 \
             ORDER BY entry.day > ?2, \
                      CASE WHEN entry.day <= ?2 THEN entry.day END DESC, entry.day, \
                      CASE WHEN entry.day <= ?2 THEN -entry.id ELSE entry.id END LIMIT 1",
        )?
        .query_row(params![food, day.to_string()], |row| {
            Ok(Purchase {
                day: parsed(row, 0)?,
                food: row.get(1)?,
                name: row.get(2)?,
                mass: Mass::from_grams(row.get(3)?),
                price: parsed(row, 4)?,
                store: row.get(5)?,
            })
        })
        .optional()
}

/// Tap water costs nothing here.
pub(super) fn cost_of(
    connection: &Connection,
    batch: &Batch,
    day: Date,
) -> rusqlite::Result<BatchCost> {
    let mut cost = BatchCost::default();
    for one in &batch.prepared.ingredients {
        if one.class.0 == "water" {
            continue;
        }
        let known = price(connection, one.food.id.as_str(), day)?;
        match known.and_then(|bought| bought.price.share(one.purchased(), bought.mass)) {
            Some(part) => cost.known = Some(cost.known.map_or(part, |known| known + part)),
            None => cost.unpriced.push(one.food.id.to_string()),
        }
    }
    cost.unpriced.sort();
    cost.unpriced.dedup();
    Ok(cost)
}
