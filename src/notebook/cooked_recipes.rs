//! The recipes that were cooked, by their batches: those with cubes left, the day on which each was
//! cooked last, and those with a food.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::BookError;
use super::sql::parsed;
use super::store::Store;

impl Store {
    /// The name and title of each recipe of which cubes are left.
    pub fn recipes_in_stock(&self) -> Result<Vec<(String, String)>, BookError> {
        let sql = "SELECT DISTINCT name, title FROM batch \
                   JOIN stock ON stock.batch = batch.entry WHERE stock.cubes > 0 ORDER BY name, title";
        self.rows(sql, [], |row| Ok((row.get(0)?, row.get(1)?)))
    }

    /// The day up to a given one on which each recipe was cooked last, by its name.
    pub fn last_cooked(&self, until: Date) -> Result<BTreeMap<String, Date>, BookError> {
        let sql = "SELECT name, max(day) FROM batch JOIN entry ON entry.id = batch.entry \
                   WHERE day <= ?1 GROUP BY name";
        self.rows(sql, [until.to_string()], |row| {
            Ok((row.get(0)?, parsed(row, 1)?))
        })
    }

    /// The names and titles of all recipes of which a batch with a food was cooked.
    pub fn recipes_with(&self, food: &str) -> Result<BTreeMap<String, String>, BookError> {
        let sql = "SELECT batch.name, batch.title FROM batch_food \
                   JOIN batch ON batch.entry = batch_food.batch WHERE food = ?1 ORDER BY batch.entry";
        self.rows(sql, [food], |row| Ok((row.get(0)?, row.get(1)?)))
    }
}
