//! How the cubes of recipes were taken, counted from the meals on record.

use std::collections::BTreeMap;

use serde::Serialize;

use super::BookError;
use super::feeding::How;
use super::store::Store;

/// The numbers of meals with cubes of a recipe, by how they went.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct Takings {
    /// Meals in which they were eaten.
    pub taken: u32,
    /// Meals in which some was eaten.
    pub some: u32,
    /// Meals in which they were refused.
    pub refused: u32,
}

impl Takings {
    /// The number of all meals.
    pub fn meals(&self) -> u32 {
        self.taken + self.some + self.refused
    }

    /// `eaten 5 times, some of it once, not eaten twice`; empty where it was never given.
    pub fn in_words(&self) -> String {
        let all = [
            (How::Taken, self.taken),
            (How::Some, self.some),
            (How::Refused, self.refused),
        ];
        let given = all.iter().filter(|(_, times)| *times > 0);
        let given = given.map(|(how, times)| {
            let times = match times {
                1 => "once".to_string(),
                2 => "twice".to_string(),
                more => format!("{more} times"),
            };
            format!("{} {times}", how.shown())
        });
        given.collect::<Vec<_>>().join(", ")
    }
}

impl Store {
    /// How the cubes of each recipe were taken, by the name of the recipe, over all children and
    /// all of the record.
    pub fn takings(&self) -> Result<BTreeMap<String, Takings>, BookError> {
        self.read(|connection| {
            let mut select = connection.prepare_cached(
                "SELECT batch.name, feeding.how, count(DISTINCT feeding.entry) FROM feeding_part \
                 JOIN feeding ON feeding.entry = feeding_part.feeding \
                 JOIN batch ON batch.entry = feeding_part.batch GROUP BY 1, 2",
            )?;
            let mut takings: BTreeMap<String, Takings> = BTreeMap::new();
            let mut rows = select.query([])?;
            while let Some(row) = rows.next()? {
                let (name, how): (String, String) = (row.get(0)?, row.get(1)?);
                let of_recipe = takings.entry(name).or_default();
                match How::from_word(&how) {
                    How::Taken => of_recipe.taken = row.get(2)?,
                    How::Some => of_recipe.some = row.get(2)?,
                    How::Refused => of_recipe.refused = row.get(2)?,
                }
            }
            Ok(takings)
        })
    }
}
