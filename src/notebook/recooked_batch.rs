//! Correcting a batch that is calculated again, and what is on record of its making.

use data_import::{Food, FoodId};
use jiff::civil::Date;
use rusqlite::params;

use super::cubes;
use super::error::BookError;
use super::history::{self, Corrected};
use super::larder::food_id;
use super::store::Store;
use crate::portion::Cubes;
use crate::quantity::Mass;
use crate::recipe::{Batch, CubeMade};
use crate::safety::AllergenTable;

/// A batch that was calculated again.
#[derive(Debug)]
pub struct Recooked<'a> {
    /// The batch as it really was.
    pub batch: &'a Batch,
    /// Mass of a cube that fills its well.
    pub full: Mass,
    /// The allergens that the names of foods give away.
    pub table: &'a AllergenTable,
}

impl Store {
    /// Corrects what is in a batch of the same number of cubes.
    pub fn recook(
        &mut self,
        number: i64,
        recooked: &Recooked<'_>,
        today: Date,
    ) -> Result<Corrected, BookError> {
        self.write(|transaction| {
            let target = history::target(transaction, number)?;
            history::rewrite(transaction, number, target, today, |_| {
                let allergens = |food: &Food| recooked.table.of(food).map(String::from).collect();
                let (tray, counted, cubes): (String, bool, u32) = transaction.query_row(
                    "SELECT tray, counted, cubes FROM batch WHERE entry = ?1",
                    [target],
                    |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
                )?;
                let puree = recooked.batch.masses.puree;
                let filled = Cubes::of(puree, recooked.full).filled(cubes, counted);
                let made = CubeMade {
                    mass: filled.each,
                    tray: &tray,
                    counted: filled.counted.then_some(cubes),
                };
                let cube = recooked.batch.cube(made, allergens);
                transaction.execute(
                    "UPDATE batch SET cube_g = ?2, liquid_g = ?3, counted = ?4, puree_g = ?5, full_g = ?6 \
                     WHERE entry = ?1",
                    params![
                        target,
                        cube.mass.grams(),
                        cube.liquid.map(Mass::grams),
                        filled.counted,
                        puree.grams(),
                        recooked.full.grams()
                    ],
                )?;
                transaction.execute("DELETE FROM batch_food WHERE batch = ?1", [target])?;
                transaction.execute("DELETE FROM batch_nutrient WHERE batch = ?1", [target])?;
                cubes::write(transaction, target, recooked.batch, (&cube, made))?;
                Ok(())
            })
        })
    }

    /// The mass of a cube of a batch that fills its well; `None` where it is not on record.
    pub fn full_cube(&self, batch: i64) -> Result<Option<Mass>, BookError> {
        self.read(|connection| {
            let sql = "SELECT full_g FROM batch WHERE entry = ?1";
            let full: Option<f64> = connection.query_row(sql, [batch], |row| row.get(0))?;
            Ok(full.map(Mass::from_grams))
        })
    }

    /// The mass of a whole batch; `None` where it is not on record.
    pub fn whole_batch(&self, batch: i64) -> Result<Option<Mass>, BookError> {
        self.read(|connection| {
            let sql = "SELECT puree_g FROM batch WHERE entry = ?1";
            let whole: Option<f64> = connection.query_row(sql, [batch], |row| row.get(0))?;
            Ok(whole.map(Mass::from_grams))
        })
    }

    /// The foods of a batch with their masses as bought.
    pub fn purchased(&self, batch: i64) -> Result<Vec<(FoodId, Mass)>, BookError> {
        let sql = "SELECT food, purchased_g FROM batch_food WHERE batch = ?1";
        self.rows(sql, [batch], |row| {
            Ok((food_id(row, 0)?, Mass::from_grams(row.get(1)?)))
        })
    }
}
