//! What the scale shows after cooking: yield factors, each with where it comes from.

use std::collections::HashMap;

use data_import::{Error, FoodId, reference};
use serde::Deserialize;

use super::{FoodClass, Method};

/// Where a yield factor comes from, best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum YieldBasis {
    /// The cooked food was weighed.
    Weighed,
    /// The recipe states the factor.
    Stated,
    /// Nothing was cooked.
    Uncooked,
    /// A published table of cooking yields.
    Published,
    /// The dry matter of a raw and a cooked row of the dataset.
    Derived,
    /// A kitchen estimate for the class, from memory.
    Estimate,
}

impl YieldBasis {
    /// The word for it in tables and JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Weighed => "weighed",
            Self::Stated => "stated",
            Self::Uncooked => "uncooked",
            Self::Published => "published",
            Self::Derived => "derived",
            Self::Estimate => "estimate",
        }
    }

    /// Whether the figure is flagged as an estimate wherever it is shown.
    pub fn is_estimated(self) -> bool {
        matches!(self, Self::Derived | Self::Estimate)
    }
}

/// A yield factor: cooked mass / edible raw mass.
#[derive(Debug, Clone, PartialEq)]
pub struct Yield {
    /// The factor.
    pub factor: f64,
    /// What kind of figure it is.
    pub basis: YieldBasis,
    /// The publication, the pair of ids, or "kitchen estimate, from memory".
    pub source: String,
}

/// The tables of yields: by food and method, then by class and method.
#[derive(Debug)]
pub struct YieldTable {
    foods: HashMap<(String, String), FoodRow>,
    classes: HashMap<(String, String), ClassRow>,
}

#[derive(Debug, Deserialize)]
struct FoodRow {
    food: String,
    method: String,
    #[serde(rename = "yield")]
    factor: f64,
    kind: String,
    source: String,
}

#[derive(Debug, Deserialize)]
struct ClassRow {
    class: String,
    method: String,
    #[serde(rename = "yield")]
    factor: f64,
    source: String,
}

impl YieldTable {
    /// Reads the built-in tables.
    pub fn builtin() -> Result<Self, Error> {
        let foods: Vec<FoodRow> = reference::rows("yields.csv", reference::YIELDS)?;
        let classes: Vec<ClassRow> = reference::rows("class-yields.csv", reference::CLASS_YIELDS)?;
        Ok(Self {
            foods: foods
                .into_iter()
                .map(|row| ((row.food.clone(), row.method.clone()), row))
                .collect(),
            classes: classes
                .into_iter()
                .map(|row| ((row.class.clone(), row.method.clone()), row))
                .collect(),
        })
    }

    /// The yield of a raw food by a method; `None` where neither the food nor its class has one.
    pub fn find(&self, food: &FoodId, class: &FoodClass, method: Method) -> Option<Yield> {
        if method == Method::None {
            return Some(Yield {
                factor: 1.0,
                basis: YieldBasis::Uncooked,
                source: "not cooked".into(),
            });
        }
        let word = method.word().to_string();
        if let Some(row) = self.foods.get(&(food.to_string(), word.clone())) {
            let basis = match row.kind.as_str() {
                "published" => YieldBasis::Published,
                _ => YieldBasis::Derived,
            };
            return Some(Yield {
                factor: row.factor,
                basis,
                source: row.source.clone(),
            });
        }
        self.classes.get(&(class.0.clone(), word)).map(|row| Yield {
            factor: row.factor,
            basis: YieldBasis::Estimate,
            source: row.source.clone(),
        })
    }
}
