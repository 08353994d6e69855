//! What the scale shows after cooking: yield factors, each with where it comes from.

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

#[derive(Debug, Deserialize)]
struct YieldRow {
    #[serde(rename = "yield")]
    factor: f64,
    kind: String,
    source: String,
}

#[derive(Debug, Deserialize)]
struct ClassRow {
    #[serde(rename = "yield")]
    factor: f64,
    source: String,
}

impl Yield {
    /// The yield of a raw food by a method: its own in `yields.csv`, else its class's estimate in
    /// `class-yields.csv`; `None` where there is neither.
    pub fn find(food: &FoodId, class: &FoodClass, method: Method) -> Result<Option<Self>, Error> {
        if method == Method::None {
            return Ok(Some(Self {
                factor: 1.0,
                basis: YieldBasis::Uncooked,
                source: "not cooked".into(),
            }));
        }
        let key = [food.as_str(), method.word()];
        let own: Option<YieldRow> = reference::row("yields.csv", reference::YIELDS, &key)?;
        if let Some(YieldRow {
            factor,
            kind,
            source,
        }) = own
        {
            let basis = match kind.as_str() {
                "published" => YieldBasis::Published,
                _ => YieldBasis::Derived,
            };
            return Ok(Some(Self {
                factor,
                basis,
                source,
            }));
        }
        let key = [class.0.as_str(), method.word()];
        let of_class: Option<ClassRow> =
            reference::row("class-yields.csv", reference::CLASS_YIELDS, &key)?;
        Ok(of_class.map(|ClassRow { factor, source }| Self {
            factor,
            basis: YieldBasis::Estimate,
            source,
        }))
    }
}
