//! The ticked items of a shopping list. A tick holds the mass that was bought, less what was cooked
//! or eaten of it since, so that it does not cover a need that has grown or is new.

use std::collections::BTreeMap;

use data_import::FoodId;
use jiff::civil::Date;
use rusqlite::params;

use super::error::BookError;
use super::store::Store;
use crate::quantity::Mass;

/// The mass left of each food that was ticked off on a list whose days overlap those from ?1 to ?2.
const LEFT: &str = "
SELECT what, sum(remaining) FROM (
  SELECT what, grams
    - coalesce((SELECT sum(purchased_g) FROM batch_food WHERE food = what AND batch > after), 0)
    - coalesce((SELECT sum(feeding_food.grams) FROM feeding_food JOIN food ON food.id = feeding_food.food
                WHERE food.food = what AND feeding > after), 0) AS remaining
  FROM tick WHERE first <= ?2 AND last >= ?1)
GROUP BY what";

impl Store {
    /// Ticks a food off the list of some days, with the mass that was bought. It replaces a former
    /// tick of a list whose days overlap these, and ticks of past lists are deleted.
    ///
    /// Errors: the record cannot be written.
    pub fn tick(
        &mut self,
        food: &FoodId,
        days: (Date, Date),
        (bought, today): (Mass, Date),
    ) -> Result<(), BookError> {
        self.untick(food, days)?;
        let (first, last) = (days.0.to_string(), days.1.to_string());
        self.write(|transaction| {
            transaction.execute("DELETE FROM tick WHERE last < ?1", [today.to_string()])?;
            let sql = "INSERT OR REPLACE INTO tick (first, what, last, grams, after)
                       SELECT ?1, ?2, ?3, ?4, coalesce(max(id), 0) FROM entry";
            let values = params![first, food.as_str(), last, bought.grams()];
            transaction.execute(sql, values)?;
            Ok(())
        })
    }

    /// Removes the tick of a food.
    ///
    /// Errors: the record cannot be written.
    pub fn untick(&mut self, food: &FoodId, days: (Date, Date)) -> Result<(), BookError> {
        let (first, last) = (days.0.to_string(), days.1.to_string());
        self.write(|transaction| {
            let sql = "DELETE FROM tick WHERE what = ?1 AND first <= ?3 AND last >= ?2";
            transaction.execute(sql, [food.as_str(), &first, &last])?;
            Ok(())
        })
    }

    /// The masses left of the foods that were ticked off the list of some days.
    ///
    /// Errors: the record cannot be read.
    pub fn ticked(&self, days: (Date, Date)) -> Result<BTreeMap<FoodId, Mass>, BookError> {
        let days = [days.0.to_string(), days.1.to_string()];
        let rows: Vec<_> = self.rows(LEFT, days, |row| Ok((row.get(0)?, row.get(1)?)))?;
        let left = |(food, grams): (String, f64)| {
            let food = food.parse::<FoodId>().map_err(BookError::from)?;
            Ok((food, Mass::from_grams(grams.max(0.0))))
        };
        rows.into_iter().map(left).collect()
    }
}
