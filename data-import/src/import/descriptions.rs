//! `FOOD_DES.txt` of the USDA National Nutrient Database for Standard Reference: what its foods are.
//!
//! Layout: documentation of Release 28 (2015), "Food Description File".

use std::collections::BTreeMap;

use super::Watcher;
use super::rows::{Row, Rows};
use super::source::Source;
use crate::error::Error;
use crate::food::{Basis, Composition, EnergyFactors, Food, FoodId};
use crate::manifest::FileDigest;

pub(super) const FOOD_DES: &str = "FOOD_DES.txt";
/// The most bytes of the file; the published one has 1.4 MB.
const MOST_BYTES: u64 = 64_000_000;

/// SHA-256 of Release 28's `FOOD_DES.txt`, which tells that release from others of the same layout.
const SR28_FOOD_DES: &str = "bb2047218cdad1d830da69e760386409fde3b7afabceae604c5479f280d4fa2e";

/// What `FOOD_DES.txt` says about a food.
#[derive(Clone)]
pub(super) struct Description {
    pub(super) line: u64,
    pub(super) group: String,
    pub(super) name: String,
    pub(super) short_name: String,
    pub(super) common_names: String,
    pub(super) manufacturer: String,
    pub(super) refuse_description: String,
    pub(super) refuse_percent: Option<f64>,
    pub(super) scientific_name: String,
    pub(super) energy_factors: Option<EnergyFactors>,
    pub(super) nitrogen_factor: Option<f64>,
}

impl Description {
    /// The food without its values, its measures and its source.
    pub(super) fn food(self, id: FoodId) -> Food {
        Food {
            id,
            name: self.name,
            common_names: self.common_names,
            manufacturer: self.manufacturer,
            scientific_name: self.scientific_name,
            group: self.group,
            refuse_percent: self.refuse_percent,
            refuse_description: self.refuse_description,
            energy_factors: self.energy_factors,
            nitrogen_factor: self.nitrogen_factor,
            composition: Composition::new(),
            basis: Basis::Grams,
            serving: None,
            gtin: String::new(),
            measures: Vec::new(),
            source: String::new(),
        }
    }
}

/// The release that a `FOOD_DES.txt` is of, and how foods name it as their source.
pub(super) fn release_of(food_des: &FileDigest) -> (&'static str, &'static str) {
    if food_des.sha256 == SR28_FOOD_DES {
        ("SR28 (2015)", "USDA SR28 (2015)")
    } else {
        ("not known", "USDA SR, release not known")
    }
}

pub(super) fn read_descriptions(
    source: &mut Source,
    watcher: &mut Watcher<'_>,
) -> Result<(BTreeMap<FoodId, Description>, FileDigest), Error> {
    let mut rows = Rows::new(source.input(FOOD_DES, MOST_BYTES, watcher)?, 14);
    let mut descriptions = BTreeMap::new();
    while let Some(row) = rows.next()? {
        let id = food_id(row)?;
        if descriptions.contains_key(&id) {
            return Err(row.wrong_at(0, format!("food {id} is there a second time")));
        }
        descriptions.insert(id, description(row)?);
    }
    Ok((descriptions, rows.finish()))
}

fn description(row: Row<'_>) -> Result<Description, Error> {
    let protein = row.number(11, "protein factor")?;
    let fat = row.number(12, "fat factor")?;
    let carbohydrate = row.number(13, "carbohydrate factor")?;
    let energy_factors = match (protein, fat, carbohydrate) {
        (Some(protein), Some(fat), Some(carbohydrate)) => Some(EnergyFactors {
            protein,
            fat,
            carbohydrate,
        }),
        _ => None,
    };
    let refuse_percent = row.number(8, "refuse")?;
    if refuse_percent.is_some_and(|percent| percent > 100.0) {
        return Err(row.wrong_at(8, "refuse is more than 100 %".to_owned()));
    }
    Ok(Description {
        line: row.line(),
        group: row.text(1)?,
        name: row.text(2)?,
        short_name: row.text(3)?,
        common_names: row.text(4)?,
        manufacturer: row.text(5)?,
        refuse_description: row.text(7)?,
        refuse_percent,
        scientific_name: row.text(9)?,
        energy_factors,
        nitrogen_factor: row.number(10, "nitrogen factor")?,
    })
}

/// The NDB number, five digits, that both files have in their first column.
pub(super) fn food_id(row: Row<'_>) -> Result<FoodId, Error> {
    let text = row.text(0)?;
    let id = text
        .parse()
        .ok()
        .filter(|_| text.len() == 5 && !text.starts_with("own"));
    id.ok_or_else(|| row.wrong_at(0, format!("“{text}” is not an NDB number of five digits")))
}
