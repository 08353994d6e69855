//! Where a value comes from: how many analyses it rests on, and whether it was measured at all.
//!
//! The codes of the datasets are grouped in `data/origins.csv`.

use std::fmt;
use std::str::FromStr;
use std::sync::OnceLock;

use serde::{Deserialize, Serialize};

use crate::error::Error;
use crate::nutrient::NutrientId;
use crate::reference;

const TABLE: &str = include_str!("../data/origins.csv");

/// Where a value comes from, in one word.
#[derive(
    Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(rename_all = "lowercase")]
pub enum Origin {
    /// Analysed in a laboratory.
    Measured,
    /// Calculated from other values, other foods or a recipe.
    Calculated,
    /// Assumed, such as no fibre in meat.
    Assumed,
    /// Declared on a label, or calculated from one.
    Label,
    /// The dataset does not say.
    #[default]
    #[serde(rename = "not known")]
    NotKnown,
}

impl Origin {
    /// All of them; the place of each is its code in the files of an import.
    pub(crate) const ALL: [Self; 5] = [
        Self::Measured,
        Self::Calculated,
        Self::Assumed,
        Self::Label,
        Self::NotKnown,
    ];

    /// The word the cache and the output use.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::Calculated => "calculated",
            Self::Assumed => "assumed",
            Self::Label => "label",
            Self::NotKnown => "not known",
        }
    }

    /// What a derivation code and a source code say together; the derivation counts first.
    pub(crate) fn of(derivation: &str, source: &str) -> Result<Self, Error> {
        let codes = codes()?;
        let find = |kind, code: &str| {
            codes
                .iter()
                .find(|row| row.kind == kind && row.code == code)
                .map(|row| row.origin)
        };
        let label = derivation.starts_with("LC").then_some(Self::Label);
        Ok(find(Kind::Derivation, derivation)
            .or(label)
            .or_else(|| find(Kind::Source, source))
            .unwrap_or_default())
    }
}

impl fmt::Display for Origin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}

impl FromStr for Origin {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self, Error> {
        let found = Self::ALL.into_iter().find(|one| one.as_str() == text);
        found.ok_or_else(|| Error::Origin {
            text: text.to_owned(),
        })
    }
}

/// Where one value of one food comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Provenance {
    /// The nutrient.
    pub nutrient: NutrientId,
    /// Number of analyses the value rests on; 0 where it was not analysed, `None` if not given.
    pub data_points: Option<u32>,
    /// Standard error of the mean, in the nutrient's unit; `None` if not given.
    pub standard_error: Option<f64>,
    /// Whether it was measured, calculated, assumed, or declared on a label.
    pub origin: Origin,
    /// The dataset's derivation code; empty if not given.
    pub derivation: String,
    /// The dataset's source code; empty if not given.
    pub source_code: String,
    /// The nutrient under which the dataset has the value, where it is another one: energy by
    /// specific Atwater factors, fibre by another method, vitamin D in the other unit.
    pub taken_from: Option<NutrientId>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Kind {
    Derivation,
    Source,
}

#[derive(Debug, Deserialize)]
struct Code {
    kind: Kind,
    code: String,
    origin: Origin,
}

fn codes() -> Result<&'static [Code], Error> {
    static CODES: OnceLock<Vec<Code>> = OnceLock::new();
    if let Some(known) = CODES.get() {
        return Ok(known);
    }
    let read = reference::rows("origins.csv", TABLE)?;
    Ok(CODES.get_or_init(|| read))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_grouped() {
        assert_eq!(codes().unwrap().len(), 55 + 10);
        for (derivation, source, origin) in [
            ("A", "1", Origin::Measured),
            ("", "1", Origin::Measured),
            ("NC", "4", Origin::Calculated),
            ("Z", "7", Origin::Assumed),
            ("LC", "8", Origin::Label),
            ("LCCS", "", Origin::Label),
            ("", "", Origin::NotKnown),
        ] {
            assert_eq!(Origin::of(derivation, source).unwrap(), origin);
            assert_eq!(origin.as_str().parse::<Origin>().unwrap(), origin);
        }
        assert!("guessed".parse::<Origin>().is_err());
    }
}
