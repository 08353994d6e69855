//! A cache opened for reading.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use polars::prelude::{DataFrame, PolarsResult};

use super::columns::FOOD_COLUMNS;
use super::decode;
use super::folder::Folder;
use super::sorted::SortedTable;
use crate::error::Error;
use crate::food::{Food, FoodId, FoodName};
use crate::manifest::Manifest;
use crate::nutrient::{Nutrient, nutrients};

/// The foods of a dataset: the one built into the program, or those of a cache folder.
#[derive(Debug)]
pub struct FoodTable {
    manifest: Manifest,
    foods: SortedTable,
    measures: SortedTable,
    nutrients: Vec<&'static Nutrient>,
}

impl FoodTable {
    /// Opens the dataset built into the program.
    pub fn builtin() -> Result<Self, Error> {
        let file = |name| Path::new("built-in").join(name);
        let manifest = serde_json::from_slice(include_bytes!("../../builtin/manifest.json"))
            .map_err(|source| Error::corrupt(&file("manifest.json"), &source))?;
        Self::new(
            manifest,
            (
                file("foods.parquet"),
                include_bytes!("../../builtin/foods.parquet").into(),
            ),
            (
                file("measures.parquet"),
                include_bytes!("../../builtin/measures.parquet").into(),
            ),
        )
    }

    /// Opens a cache folder. Its files are checked against the digests of its manifest, so that
    /// damage is found here and not in the figures.
    pub fn open(dir: &Path) -> Result<Self, Error> {
        let folder = Folder::new(dir);
        let manifest = folder.manifest()?;
        match Self::of(&folder, manifest.clone()) {
            // An import may have come between the manifest and its files.
            Err(error) => match folder.manifest()? {
                newer if newer != manifest => Self::of(&folder, newer),
                _ => Err(error),
            },
            opened => opened,
        }
    }

    fn of(folder: &Folder, manifest: Manifest) -> Result<Self, Error> {
        let foods = folder.read(&manifest.foods)?;
        let measures = folder.read(&manifest.measures)?;
        Self::new(manifest, foods, measures)
    }

    fn new(
        manifest: Manifest,
        (foods_path, foods): (PathBuf, Cow<'static, [u8]>),
        (measures_path, measures): (PathBuf, Cow<'static, [u8]>),
    ) -> Result<Self, Error> {
        let foods = SortedTable::open(foods_path, foods)?;
        let measures = SortedTable::open(measures_path, measures)?;
        let nutrients = nutrient_columns(&foods)?;
        Ok(Self {
            manifest,
            foods,
            measures,
            nutrients,
        })
    }

    /// What the cache holds, and where it came from.
    pub fn manifest(&self) -> &Manifest {
        &self.manifest
    }

    /// The foods with these ids, in the same order; `None` where there is no such food.
    pub fn foods(&self, ids: &[FoodId]) -> Result<Vec<Option<Food>>, Error> {
        let wanted = ids.iter().map(FoodId::as_str).collect::<BTreeSet<_>>();
        let found = self.join(
            &self.foods.find(&wanted)?,
            &self.measures.find(&wanted)?,
            |id| wanted.contains(id),
        )?;
        Ok(ids.iter().map(|id| found.get(id).cloned()).collect())
    }

    /// Names and ids of all foods, by id.
    pub fn names(&self) -> Result<Vec<FoodName>, Error> {
        let frames = self.foods.all(Some(&decode::NAME_COLUMNS))?;
        let names = frames
            .iter()
            .map(decode::names)
            .collect::<PolarsResult<Vec<_>>>();
        let names = names.map_err(|source| self.foods.corrupt(&source))?;
        Ok(names.into_iter().flatten().collect())
    }

    /// All foods, by id.
    pub fn all(&self) -> Result<Vec<Food>, Error> {
        let found = self.join(&self.foods.all(None)?, &self.measures.all(None)?, |_| true)?;
        Ok(found.into_values().collect())
    }

    fn join(
        &self,
        foods: &[DataFrame],
        measures: &[DataFrame],
        wanted: impl Fn(&str) -> bool,
    ) -> Result<BTreeMap<FoodId, Food>, Error> {
        let mut found = BTreeMap::new();
        for frame in foods {
            let foods = decode::foods(frame, &self.nutrients, &wanted);
            let foods = foods.map_err(|source| self.foods.corrupt(&source))?;
            found.extend(foods.into_iter().map(|food| (food.id.clone(), food)));
        }
        for frame in measures {
            let rows = decode::measures(frame).map_err(|source| self.measures.corrupt(&source))?;
            for (id, measure) in rows {
                if let Some(food) = found.get_mut(&id) {
                    food.measures.push(measure);
                }
            }
        }
        Ok(found)
    }
}

/// The nutrients of a table of foods: all its columns but those of the food itself.
fn nutrient_columns(foods: &SortedTable) -> Result<Vec<&'static Nutrient>, Error> {
    let known = nutrients()?;
    let columns = foods
        .column_names()
        .filter(|name| !FOOD_COLUMNS.contains(name));
    let nutrient = |name| {
        let found = known.iter().find(|nutrient| nutrient.tag == name);
        found.ok_or_else(|| {
            foods.corrupt(&format!("it has a column `{name}`, which is no nutrient"))
        })
    };
    columns.map(nutrient).collect()
}
