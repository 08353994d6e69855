//! Foods: their identity, and what a composition dataset says about them.

use std::borrow::Borrow;
use std::fmt;
use std::str::FromStr;

use compact_str::CompactString;
use serde::{Deserialize, Serialize};

use crate::error::Error;
use crate::measure::Measure;
use crate::nutrient::NutrientId;

/// Names one food: an NDB number (five digits, SR28), an `fdc_id` (up to nine digits, FoodData
/// Central) or an id of the household's own (`own-` and a name). A copy of a number takes no memory of its own.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct FoodId(CompactString);

impl FoodId {
    /// The id as it is written.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Whether the household defined this food.
    pub fn is_own(&self) -> bool {
        self.0.starts_with("own-")
    }
}

impl FromStr for FoodId {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self, Error> {
        if is_dataset_number(text) || text.strip_prefix("own-").is_some_and(is_own_name) {
            Ok(Self(text.into()))
        } else {
            Err(Error::FoodId {
                text: text.to_owned(),
            })
        }
    }
}

fn is_dataset_number(text: &str) -> bool {
    let digits = text.bytes().all(|byte| byte.is_ascii_digit());
    digits && (text.len() == 5 || ((1..=9).contains(&text.len()) && !text.starts_with('0')))
}

fn is_own_name(name: &str) -> bool {
    (1..=60).contains(&name.len())
        && name
            .bytes()
            .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
}

impl TryFrom<String> for FoodId {
    type Error = Error;

    fn try_from(text: String) -> Result<Self, Error> {
        text.parse()
    }
}

/// So that a map by ids can be asked with a text.
impl Borrow<str> for FoodId {
    fn borrow(&self) -> &str {
        &self.0
    }
}

impl From<FoodId> for String {
    fn from(id: FoodId) -> Self {
        id.0.into()
    }
}

impl fmt::Display for FoodId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}

/// Nutrients per 100 g edible portion. A nutrient nobody measured is absent, which is not zero.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Composition(Vec<(NutrientId, f64)>);

impl Composition {
    /// A composition without any value.
    pub fn new() -> Self {
        Self::default()
    }

    /// The amount per 100 g in the nutrient's unit; `None` where there is no value.
    pub fn get(&self, id: NutrientId) -> Option<f64> {
        let place = self.0.binary_search_by_key(&id, |entry| entry.0).ok()?;
        self.0.get(place).map(|entry| entry.1)
    }

    /// Sets a value, and returns the one it replaces.
    pub fn insert(&mut self, id: NutrientId, per_100g: f64) -> Option<f64> {
        match self.0.binary_search_by_key(&id, |entry| entry.0) {
            Ok(place) => self
                .0
                .get_mut(place)
                .map(|e| std::mem::replace(&mut e.1, per_100g)),
            Err(place) => {
                self.0.insert(place, (id, per_100g));
                None
            }
        }
    }

    /// The values there are, by nutrient number.
    pub fn iter(&self) -> impl Iterator<Item = (NutrientId, f64)> + '_ {
        self.0.iter().copied()
    }

    /// How many nutrients have a value.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether no nutrient has a value.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl FromIterator<(NutrientId, f64)> for Composition {
    fn from_iter<I: IntoIterator<Item = (NutrientId, f64)>>(values: I) -> Self {
        let mut composition = Self::new();
        for (id, per_100g) in values {
            composition.insert(id, per_100g);
        }
        composition
    }
}

/// A food's own energy factors, kcal per gram (Atwater specific factors).
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct EnergyFactors {
    /// kcal per g protein.
    pub protein: f64,
    /// kcal per g fat.
    pub fat: f64,
    /// kcal per g carbohydrate.
    pub carbohydrate: f64,
}

/// What the values of a food are per.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Basis {
    /// Per 100 g, edible portion.
    #[default]
    Grams,
    /// Per 100 ml: the label of a drink. Its mass takes a density, which the label does not give.
    Millilitres,
}

impl Basis {
    /// The unit the cache writes: `g` or `ml`.
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Grams => "g",
            Self::Millilitres => "ml",
        }
    }
}

/// The serving that a label states.
#[derive(Debug, Clone, PartialEq)]
pub struct Serving {
    /// How much.
    pub size: f64,
    /// Of which unit: `g`, `ml`.
    pub unit: String,
}

/// One food of a dataset.
#[derive(Debug, Clone, PartialEq)]
pub struct Food {
    /// Its id.
    pub id: FoodId,
    /// Full description.
    pub name: String,
    /// Other names in common use; empty if none are given.
    pub common_names: String,
    /// Maker, for a branded food; else empty.
    pub manufacturer: String,
    /// Scientific name; empty if not given.
    pub scientific_name: String,
    /// Code of its food group, such as `1100`; see [`group_name`](crate::group_name).
    pub group: String,
    /// Inedible share of the food as bought, in percent; `None` where it is not known.
    pub refuse_percent: Option<f64>,
    /// What the refuse is; empty if not given.
    pub refuse_description: String,
    /// Energy factors, where the dataset gives all three.
    pub energy_factors: Option<EnergyFactors>,
    /// Protein in g for 1 g of nitrogen, where the dataset gives it.
    pub nitrogen_factor: Option<f64>,
    /// Nutrients per 100 g edible portion, or per 100 ml; see `basis`.
    pub composition: Composition,
    /// What the composition is per.
    pub basis: Basis,
    /// The serving a label states.
    pub serving: Option<Serving>,
    /// The number under the bar code (GTIN); empty if there is none.
    pub gtin: String,
    /// Household measures with their weight.
    pub measures: Vec<Measure>,
    /// The dataset it comes from, such as `USDA SR28 (2015), abbreviated`.
    pub source: String,
}

/// What a search for foods looks at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FoodName {
    /// The food's id.
    pub id: FoodId,
    /// Full description.
    pub name: String,
    /// Other names in common use; empty if none are given.
    pub common_names: String,
    /// Maker, for a branded food; else empty.
    pub manufacturer: String,
    /// Code of its food group.
    pub group: String,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_of_the_three_kinds_are_known() {
        for id in [
            "11485",
            "01001",
            "1",
            "167512",
            "123456789",
            "own-pear",
            "own-oma-2",
        ] {
            let food = id.parse::<FoodId>().unwrap();
            assert_eq!(food.to_string(), id);
            assert_eq!(food.is_own(), id.starts_with("own-"));
        }
        for text in [
            "",
            "0",
            "0101",
            "012345",
            "1234567890",
            "11485 ",
            "own-",
            "own-Pear",
            "x",
        ] {
            let error = text.parse::<FoodId>().unwrap_err();
            assert_eq!(error.to_string(), format!("“{text}” is not a food id"));
            assert!(error.hint().is_some());
        }
    }

    #[test]
    fn a_composition_keeps_its_values_by_number() {
        let (iron, water) = (NutrientId::IRON, NutrientId::WATER);
        let mut food = Composition::from_iter([(iron, 0.7), (water, 86.41)]);
        assert_eq!(
            food.iter().collect::<Vec<_>>(),
            [(water, 86.41), (iron, 0.7)]
        );
        assert_eq!(food.insert(iron, 0.0), Some(0.7));
        assert_eq!(
            (food.get(iron), food.get(NutrientId::ZINC)),
            (Some(0.0), None)
        );
        assert_eq!(food.len(), 2);
    }
}
