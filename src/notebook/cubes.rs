//! The composition of a cube of a batch, as it is served, from the record.

use std::collections::BTreeMap;

use data_import::{FoodId, NutrientId};
use rusqlite::{Connection, Transaction, params};

use super::freezer::BatchFood;
use super::larder::{food_id, unread};
use super::store::Store;
use super::{BookError, cube_doubts};
use crate::cooking::Method;
use crate::nutrition::{ServedFood, Serving, Source, Total};
use crate::quantity::Mass;
use crate::recipe::{Batch, CubeMade};

impl Store {
    /// One cube of each of these batches as it is served. Batches that are not on record are left
    /// out.
    pub fn cubes(&self, batches: &[i64]) -> Result<BTreeMap<i64, Serving>, BookError> {
        self.read(|connection| cubes(connection, batches))
    }
}

/// Records what is in a cube, as frozen and as served.
pub(super) fn write(
    transaction: &Transaction<'_>,
    id: i64,
    batch: &Batch,
    (cube, made): (&Serving, CubeMade<'_>),
) -> rusqlite::Result<()> {
    write_foods(transaction, id, batch, cube)?;
    let mut insert = transaction.prepare(
        "INSERT INTO batch_nutrient (batch, number, frozen, served, missing) \
         VALUES (?1, ?2, ?3, ?4, ?5)",
    )?;
    let share = cube.mass / batch.masses.puree;
    for total in &batch.nutrients {
        let served = cube.total(total.nutrient.id);
        insert.execute(params![
            id,
            total.nutrient.id.number(),
            total.batch.known.map(|known| known * share),
            served.known,
            joined(&served.missing),
        ])?;
    }
    cube_doubts::write(transaction, id, cube, |counted| {
        batch.doubts(CubeMade { counted, ..made })
    })
}

fn write_foods(
    transaction: &Transaction<'_>,
    id: i64,
    batch: &Batch,
    cube: &Serving,
) -> rusqlite::Result<()> {
    let mut insert = transaction.prepare(
        "INSERT INTO batch_food (batch, food, name, purchased_g, allergens, edible_g, iron_mg, \
         method, typed) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
    )?;
    for food in &cube.foods {
        let of_it = batch.prepared.ingredients.iter();
        let of_it = of_it.filter(|ingredient| ingredient.food.id == food.id);
        let purchased: Mass = of_it
            .map(crate::recipe::PreparedIngredient::purchased)
            .sum();
        insert.execute(params![
            id,
            food.id.as_str(),
            food.name,
            purchased.grams(),
            food.allergens.join("|"),
            food.edible.map(Mass::grams),
            food.iron,
            food.method.map(Method::word),
            food.typed,
        ])?;
    }
    Ok(())
}

/// One cube of each of these batches as it is served.
pub(super) fn cubes(
    connection: &Connection,
    batches: &[i64],
) -> rusqlite::Result<BTreeMap<i64, Serving>> {
    let mut head =
        connection.prepare("SELECT title, cube_g, liquid_g FROM batch WHERE entry = ?1")?;
    let mut values = connection
        .prepare("SELECT number, served, missing FROM batch_nutrient WHERE batch = ?1")?;
    let mut foods = connection.prepare(
        "SELECT food, name, allergens, method, edible_g, iron_mg, typed FROM batch_food \
         WHERE batch = ?1",
    )?;
    let mut cubes = BTreeMap::new();
    for id in batches {
        let nutrients = values.query_map([id], |row| {
            let missing: String = row.get(2)?;
            let total = Total {
                known: row.get(1)?,
                missing: parted(&missing)?,
            };
            Ok((NutrientId::new(row.get(0)?), total))
        })?;
        let nutrients = nutrients.collect::<Result<_, _>>()?;
        let foods = foods.query_map([id], |row| {
            let food = BatchFood::read(row, 0)?;
            let edible: Option<f64> = row.get(4)?;
            Ok(ServedFood {
                id: food_id(row, 0)?,
                name: food.name,
                edible: edible.map(Mass::from_grams),
                iron: row.get(5)?,
                allergens: food.allergens,
                method: food.method,
                typed: row.get(6)?,
            })
        })?;
        let foods = foods.collect::<Result<_, _>>()?;
        let mut found = head.query_map([id], |row| {
            let liquid: Option<f64> = row.get(2)?;
            Ok((row.get(0)?, Mass::from_grams(row.get(1)?), liquid))
        })?;
        if let Some((what, mass, liquid)) = found.next().transpose()? {
            let cube = Serving {
                source: Source::Puree,
                what,
                mass,
                foods,
                liquid: liquid.map(Mass::from_grams),
                portion: cube_doubts::read(connection, *id, &nutrients)?,
                nutrients,
            };
            cubes.insert(*id, cube);
        }
    }
    Ok(cubes)
}

fn joined(foods: &[FoodId]) -> String {
    let ids: Vec<_> = foods.iter().map(FoodId::as_str).collect();
    ids.join(" ")
}

fn parted(cell: &str) -> rusqlite::Result<Vec<FoodId>> {
    let ids = cell.split_whitespace().map(str::parse);
    ids.collect::<Result<_, _>>().map_err(unread)
}
