//! The freezer: batches as they were calculated, what is left of them, and what was thrown away.

use std::collections::{BTreeMap, BTreeSet};

use data_import::Food;
use jiff::civil::Date;
use rusqlite::{Connection, Row, params};

use super::cubes;
use super::error::BookError;
use super::purchases::{Prices, priced};
use super::sql::{self, optional, parsed};
use super::store::{Store, new_entry};
use super::take_cubes::take_whole;
use crate::cooking::Method;
use crate::cost::{BatchCost, Comparison, ReadyMade};
use crate::portion::{Cubes, Filled};
use crate::quantity::Mass;
use crate::recipe::{Batch, CubeMade};
use crate::safety::AllergenTable;

/// A batch on its way into the freezer.
#[derive(Debug)]
pub struct NewBatch<'a> {
    /// The day it was cooked and frozen.
    pub day: Date,
    /// Name of the recipe, as its file is called.
    pub name: &'a str,
    /// The calculated batch.
    pub batch: &'a Batch,
    /// Name of the tray.
    pub tray: &'a str,
    /// Cubes that went in.
    pub cubes: u32,
    /// Whether the household stated the number; otherwise it is as many as the batch fills.
    pub told: bool,
    /// Mass of a cube that fills its well.
    pub full: Mass,
    /// The last day it is to be eaten.
    pub use_by: Date,
    /// The dataset from which the figures come, with its release.
    pub dataset: &'a str,
}

impl NewBatch<'_> {
    /// The cubes as they were filled.
    pub fn filled(&self) -> Filled {
        Cubes::of(self.batch.masses.puree, self.full).filled(self.cubes, self.told)
    }
}

/// A batch as it lies in the freezer, with the figures of the day it was made.
#[derive(Debug, Clone, PartialEq)]
pub struct FrozenBatch {
    /// The number of the batch.
    pub id: i64,
    /// The day it was made.
    pub day: Date,
    /// Name of the recipe.
    pub name: String,
    /// Title of the recipe.
    pub title: String,
    /// Cubes that went in.
    pub cubes: u32,
    /// Mass of one cube.
    pub cube: Mass,
    /// The mass of the whole batch; `None` where it is not on record.
    pub puree: Option<Mass>,
    /// The last day it is to be eaten.
    pub use_by: Date,
    /// The dataset from which its figures come.
    pub dataset: String,
    /// The cost of the cubes that were frozen.
    pub cost: BatchCost,
}

impl FrozenBatch {
    /// Mass of the cubes that were frozen.
    pub fn frozen(&self) -> Mass {
        self.cube * f64::from(self.cubes)
    }

    /// The cost of the cubes that were frozen, compared with the same mass of a ready-made food.
    pub fn beside(&self, ready_made: Option<&ReadyMade>) -> Comparison {
        Comparison {
            mass: self.frozen(),
            cost: self.cost.clone(),
            ready_made: ready_made.cloned(),
        }
    }
}

/// A food in a batch.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct BatchFood {
    /// The id of the food.
    pub id: String,
    /// The name of the food.
    pub name: String,
    /// The major allergens that its name gives away.
    pub allergens: Vec<String>,
    /// The cooking method; `None` where it is not on record.
    pub method: Option<Method>,
}

impl BatchFood {
    /// Reads id, name, allergens and method from a row, the first of them in column `at`.
    pub(super) fn read(row: &Row<'_>, at: usize) -> rusqlite::Result<Self> {
        let allergens: String = row.get(at + 2)?;
        Ok(Self {
            id: row.get(at)?,
            name: row.get(at + 1)?,
            allergens: split(&allergens).map(String::from).collect(),
            method: optional(row, at + 3)?,
        })
    }
}

/// The rest of a batch in the freezer.
#[derive(Debug, Clone, PartialEq)]
pub struct Stock {
    /// The batch.
    pub batch: FrozenBatch,
    /// Cubes left.
    pub left: u32,
}

const COLUMNS: &str = "batch.entry, entry.day, batch.name, batch.title, batch.cubes, batch.cube_g, \
                       batch.use_by, batch.dataset, batch.puree_g";

impl Store {
    /// Records a batch with its composition as it was calculated. Returns its number and the cost
    /// of its cubes at the prices of its day.
    pub fn freeze(
        &mut self,
        new: &NewBatch<'_>,
        table: &AllergenTable,
    ) -> Result<(i64, BatchCost), BookError> {
        let currency = self.currency.clone();
        self.write(|transaction| {
            let allergens = |food: &Food| table.of(food).map(String::from).collect();
            let filled = new.filled();
            let made = CubeMade {
                mass: filled.each,
                tray: new.tray,
                counted: filled.counted.then_some(new.cubes),
            };
            let cube = new.batch.cube(made, allergens);
            let id = sql::write_entry(
                transaction,
                new.day,
                "batch",
                &[
                    ("name", &new.name),
                    ("title", &new.batch.prepared.title),
                    ("tray", &new.tray),
                    ("cubes", &new.cubes),
                    ("cube_g", &filled.each.grams()),
                    ("use_by", &new.use_by.to_string()),
                    ("dataset", &new.dataset),
                    ("liquid_g", &cube.liquid.map(Mass::grams)),
                    ("counted", &filled.counted),
                    ("puree_g", &new.batch.masses.puree.grams()),
                    ("full_g", &new.full.grams()),
                ],
            )?;
            cubes::write(transaction, id, new.batch, (&cube, made))?;
            let cost = Prices::read(transaction, &currency)?.of_batch(transaction, id, new.day)?;
            let frozen = filled.each * f64::from(new.cubes);
            Ok((
                id,
                cost.of_frozen(frozen, filled.each, new.batch.masses.puree),
            ))
        })
    }

    /// The batches in the freezer, the one to be eaten first on top.
    pub fn stock(&self) -> Result<Vec<Stock>, BookError> {
        self.read(|connection| {
            let moment = connection.unchecked_transaction()?;
            let read = |moment: &Connection| {
                let mut stock = stock(moment, None)?;
                let batches = stock.iter_mut().map(|stock| &mut stock.batch);
                priced((moment, &self.currency), batches)?;
                Ok(stock)
            };
            let stock = self.kept.stocks.get_or_read(
                (&moment, self.path()),
                self.currency.clone(),
                read,
            )?;
            Ok(stock.to_vec())
        })
    }

    /// The batches as they were in the freezer at the end of a day, the one to be eaten first on top: what was frozen later was not there
    /// yet, and what was taken out later still was.
    pub fn stock_on(&self, day: Date) -> Result<Vec<Stock>, BookError> {
        let day = day.to_string();
        let is_as_now = self.read(|connection| {
            let sql = "SELECT NOT EXISTS (SELECT 1 FROM entry WHERE day > ?1 \
                       AND kind IN ('batch', 'feeding', 'discard'))";
            connection.query_row(sql, [&day], |row| row.get(0))
        })?;
        if is_as_now {
            return self.stock();
        }
        self.read(|connection| {
            let taken = |table: &str, entry: &str| {
                format!(
                    "coalesce((SELECT sum(part.cubes) FROM {table} AS part \
                     JOIN entry AS taking ON taking.id = part.{entry} \
                     WHERE part.batch = batch.entry AND taking.day <= ?1), 0)"
                )
            };
            let (eaten, thrown) = (taken("feeding_part", "feeding"), taken("discard", "entry"));
            let sql = format!(
                "SELECT * FROM (SELECT {COLUMNS}, batch.cubes - {eaten} - {thrown} AS there \
                 FROM batch JOIN entry ON entry.id = batch.entry WHERE entry.day <= ?1) \
                 WHERE there > 0 ORDER BY use_by, entry"
            );
            let mut stock: Vec<Stock> = sql::rows(connection, &sql, [&day], in_stock)?;
            priced(
                (connection, &self.currency),
                stock.iter_mut().map(|stock| &mut stock.batch),
            )?;
            Ok(stock)
        })
    }

    /// The batch of this number.
    pub fn batch(&self, id: i64) -> Result<Option<FrozenBatch>, BookError> {
        self.read(|connection| {
            let sql = format!(
                "SELECT {COLUMNS} FROM batch JOIN entry ON entry.id = batch.entry \
                 WHERE batch.entry = ?1"
            );
            let mut found: Vec<FrozenBatch> = sql::rows(connection, &sql, [id], batch)?;
            priced((connection, &self.currency), found.iter_mut())?;
            Ok(found.pop())
        })
    }

    /// The foods in the cubes that are left of a recipe (or of one batch, named `#7`).
    pub fn foods_of(&self, name: &str) -> Result<Vec<BatchFood>, BookError> {
        let sql = "SELECT DISTINCT food, batch_food.name, allergens, method FROM batch_food \
                   JOIN batch ON batch.entry = batch_food.batch \
                   JOIN stock ON stock.batch = batch.entry \
                   WHERE stock.cubes > 0 AND (batch.name = ?1 OR '#' || batch.entry = ?1)";
        self.rows(sql, [name], |row| BatchFood::read(row, 0))
    }

    /// The major allergens in a batch, each once, in alphabetical order.
    pub fn allergens_of(&self, id: i64) -> Result<Vec<String>, BookError> {
        let sql = "SELECT allergens FROM batch_food WHERE batch = ?1";
        let cells: Vec<String> = self.rows(sql, [id], |row| row.get(0))?;
        let allergens: BTreeSet<&str> = cells.iter().flat_map(|cell| split(cell)).collect();
        Ok(allergens.into_iter().map(String::from).collect())
    }

    /// Every batch on record, the first on top.
    pub fn batches(&self) -> Result<Vec<FrozenBatch>, BookError> {
        self.read(|connection| {
            let moment = connection.unchecked_transaction()?;
            let batches = &self.kept.batches;
            let read = |moment: &Connection| all_batches(moment, &self.currency);
            let key = self.currency.clone();
            let batches = batches.get_or_read((&moment, self.path()), key, read)?;
            Ok(batches.to_vec())
        })
    }

    /// The name of the recipe of a batch.
    pub fn recipe_of(&self, batch: i64) -> Result<Option<String>, BookError> {
        let sql = "SELECT name FROM batch WHERE entry = ?1";
        self.first(sql, [batch], |row| row.get(0))
    }

    /// The datasets from which these batches were calculated.
    pub fn datasets_of(&self, batches: &BTreeSet<i64>) -> Result<BTreeSet<String>, BookError> {
        self.read(|connection| {
            let mut select = connection.prepare("SELECT dataset FROM batch WHERE entry = ?1")?;
            let of = |batch: &i64| select.query_row([batch], |row| row.get(0));
            batches.iter().map(of).collect()
        })
    }

    /// Cubes that were thrown away, by the number of their batch.
    pub fn thrown_away(&self) -> Result<BTreeMap<i64, u32>, BookError> {
        let sql = "SELECT batch, sum(cubes) FROM discard GROUP BY batch";
        self.rows(sql, [], |row| Ok((row.get(0)?, row.get(1)?)))
    }

    /// Records cubes thrown away, oldest first where a recipe is named; returns the batches and
    /// cubes, and the share of the cost that goes with them.
    pub fn discard(
        &mut self,
        day: Date,
        pick: &super::Pick,
        why: &str,
    ) -> Result<Vec<(FrozenBatch, u32)>, BookError> {
        self.discard_all(day, std::slice::from_ref(pick), why)
    }

    /// Records cubes of several recipes or batches as thrown away, in one entry, or nothing;
    /// returns the batches from which they were taken.
    pub fn discard_all(
        &mut self,
        day: Date,
        picks: &[super::Pick],
        why: &str,
    ) -> Result<Vec<(FrozenBatch, u32)>, BookError> {
        let currency = self.currency.clone();
        self.write(|transaction| {
            let mut taken = Vec::new();
            for pick in picks {
                taken.extend(take_whole(transaction, pick, day)?);
            }
            let batches = taken.iter_mut().map(|(batch, _)| batch);
            priced((transaction, &currency), batches)?;
            let id = new_entry(transaction, day, "discard")?;
            for (batch, cubes) in &taken {
                transaction.execute(
                    "INSERT INTO discard (entry, batch, cubes, why) VALUES (?1, ?2, ?3, ?4)",
                    params![id, batch.id, cubes, why],
                )?;
            }
            Ok(taken)
        })
    }
}

/// The parts of a cell whose values are joined by `|`.
pub(super) fn split(cell: &str) -> impl Iterator<Item = &str> {
    cell.split('|').filter(|part| !part.is_empty())
}

/// The batches with cubes left, of one recipe or of all, the one to be eaten first on top; without
/// their cost.
pub(super) fn stock(connection: &Connection, name: Option<&str>) -> rusqlite::Result<Vec<Stock>> {
    let sql = format!(
        "SELECT {COLUMNS}, stock.cubes FROM batch JOIN entry ON entry.id = batch.entry \
         JOIN stock ON stock.batch = batch.entry \
         WHERE stock.cubes > 0 AND (?1 IS NULL OR batch.name = ?1 OR '#' || batch.entry = ?1) \
         ORDER BY batch.use_by, batch.entry"
    );
    sql::rows(connection, &sql, [name], in_stock)
}

fn all_batches(connection: &Connection, currency: &str) -> rusqlite::Result<Vec<FrozenBatch>> {
    let sql = format!(
        "SELECT {COLUMNS} FROM batch JOIN entry ON entry.id = batch.entry \
         ORDER BY entry.day, batch.entry"
    );
    let mut batches: Vec<FrozenBatch> = sql::rows(connection, &sql, [], batch)?;
    priced((connection, currency), batches.iter_mut())?;
    Ok(batches)
}

/// A batch with its cubes left in the column behind [`COLUMNS`].
fn in_stock(row: &Row<'_>) -> rusqlite::Result<Stock> {
    Ok(Stock {
        batch: batch(row)?,
        left: row.get(9)?,
    })
}

fn batch(row: &Row<'_>) -> rusqlite::Result<FrozenBatch> {
    Ok(FrozenBatch {
        id: row.get(0)?,
        day: parsed(row, 1)?,
        name: row.get(2)?,
        title: row.get(3)?,
        cubes: row.get(4)?,
        cube: Mass::from_grams(row.get(5)?),
        use_by: parsed(row, 6)?,
        dataset: row.get(7)?,
        puree: row.get::<_, Option<f64>>(8)?.map(Mass::from_grams),
        cost: BatchCost::default(),
    })
}
