//! The mass after cooking, and the fat that melts out: each figure with its source.

use data_import::{Error, reference};
use serde::Deserialize;

use super::{FoodClass, Method};

/// The sources of a yield factor, best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum YieldBasis {
    /// The cooked food was weighed.
    Weighed,
    /// The recipe states the factor.
    Stated,
    /// The food was not cooked.
    Uncooked,
    /// The food was cooked before, and is warmed.
    Warmed,
    /// Published for the food, mass against mass.
    Published,
    /// The protein of a raw and a cooked row of the dataset, none of which leaves meat or fish.
    Protein,
    /// The dry matter of a raw and a cooked row, for dry goods that take up all water.
    DryMatter,
    /// Derived from a raw and a cooked row, for food that is not drained.
    Derived,
    /// Published for the class of the food.
    Class,
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
            Self::Warmed => "warmed",
            Self::Published => "published",
            Self::Protein => "protein",
            Self::DryMatter => "dry-matter",
            Self::Derived => "derived",
            Self::Class => "class",
            Self::Estimate => "estimate",
        }
    }

    /// The kind of figure, in words.
    pub fn kind(self) -> &'static str {
        match self {
            Self::Weighed => "weighed",
            Self::Stated => "stated",
            Self::Uncooked => "not cooked",
            Self::Warmed => "warmed",
            Self::Published => "a published figure",
            Self::Protein => "worked out from protein",
            Self::DryMatter | Self::Derived => "worked out from dry matter",
            Self::Class => "a published figure for foods like it",
            Self::Estimate => "an estimate",
        }
    }

    /// Whether the figure is flagged as an estimate wherever it is shown: it was not measured for
    /// this very food.
    pub fn is_estimated(self) -> bool {
        matches!(
            self,
            Self::Protein | Self::DryMatter | Self::Derived | Self::Class | Self::Estimate
        )
    }

    /// Whether this program chose the figure, and not the household.
    pub fn is_our_own(self) -> bool {
        !matches!(self, Self::Weighed | Self::Stated)
    }
}

/// How far a mass on the scale after cooking may be off, relative to it (judgement).
pub const WEIGHED_SPREAD: f64 = 0.003;

/// A yield factor: cooked mass / edible raw mass.
#[derive(Debug, Clone, PartialEq)]
pub struct Yield {
    /// The factor.
    pub factor: f64,
    /// The kind of figure.
    pub basis: YieldBasis,
    /// The least and the largest plausible factor, where they are known.
    pub range: Option<(f64, f64)>,
    /// The publication, the pair of ids, or "kitchen estimate, from memory".
    pub source: String,
}

/// Fat that melts out of a food.
#[derive(Debug, Clone, PartialEq)]
pub struct MeltedFat {
    /// Grams out of 100 g of the raw food.
    pub per_100_g: f64,
    /// `published`, `scaled` from a published figure, or the id of the cooked food that was
    /// compared.
    pub from: String,
}

/// The figures of one food and one method.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct CookingFigures {
    pub(super) yield_factor: Yield,
    /// The fat that melts out; `None` where no figure is known.
    pub(super) melted: Option<MeltedFat>,
}

#[derive(Debug, Clone, Deserialize)]
pub(super) struct YieldRow {
    pub(super) food: String,
    methods: String,
    #[serde(rename = "yield")]
    factor: f64,
    kind: String,
    fat_lost: Option<f64>,
    fat_from: String,
    source: String,
}

#[derive(Debug, Deserialize)]
struct ClassRow {
    #[serde(rename = "yield")]
    factor: f64,
    kind: String,
    low: Option<f64>,
    high: Option<f64>,
    source: String,
}

/// Classes of meat and fish, whose kitchen estimates are good to a tenth; others to a fifth
/// (judgement).
const MEAT_AND_FISH: [&str; 18] = [
    "bacon",
    "beef",
    "beef-ground",
    "chicken",
    "finfish-fatty",
    "finfish-lean",
    "game",
    "lamb",
    "lamb-ground",
    "liver",
    "organ-meats",
    "pork",
    "pork-cured",
    "pork-ground",
    "poultry-other",
    "shellfish",
    "turkey",
    "veal",
];

impl YieldRow {
    /// Whether the row is about a method.
    pub(super) fn is_of(&self, method: Method) -> bool {
        self.methods.split('|').any(|word| word == method.word())
    }
}

impl From<YieldRow> for CookingFigures {
    fn from(row: YieldRow) -> Self {
        let basis = match row.kind.as_str() {
            "published" => YieldBasis::Published,
            "protein" => YieldBasis::Protein,
            "dry-matter" => YieldBasis::DryMatter,
            _ => YieldBasis::Derived,
        };
        let from = row.fat_from;
        Self {
            yield_factor: Yield {
                factor: row.factor,
                basis,
                range: None,
                source: row.source,
            },
            melted: row.fat_lost.map(|per_100_g| MeltedFat { per_100_g, from }),
        }
    }
}

impl Yield {
    /// How far the factor may be off, relative to it (one standard deviation): a weighed and a
    /// stated one by judgement, the others by what raw and cooked rows of the dataset need.
    pub fn spread(&self, class: &FoodClass) -> f64 {
        let is_flesh = MEAT_AND_FISH.contains(&class.0.as_str());
        match self.basis {
            YieldBasis::Uncooked | YieldBasis::Warmed => 0.0,
            YieldBasis::Weighed => WEIGHED_SPREAD,
            YieldBasis::Stated => 0.05,
            YieldBasis::Published => 0.07,
            YieldBasis::Protein => 0.10,
            YieldBasis::Class | YieldBasis::Estimate if is_flesh => 0.10,
            YieldBasis::DryMatter | YieldBasis::Derived | YieldBasis::Class => 0.15,
            YieldBasis::Estimate => 0.20,
        }
    }

    /// The figure of a class, published or estimated; `None` where there is none.
    pub fn of_class(class: &FoodClass, method: Method) -> Result<Option<Self>, Error> {
        let key = [class.0.as_str(), method.word()];
        let row: Option<ClassRow> =
            reference::row("class-yields.csv", reference::CLASS_YIELDS, &key)?;
        Ok(row.map(|row| {
            let published = row.kind == "published";
            let doubt = if MEAT_AND_FISH.contains(&class.0.as_str()) {
                0.1
            } else {
                0.2
            };
            let usual = (row.factor * (1.0 - doubt), row.factor * (1.0 + doubt));
            Self {
                factor: row.factor,
                basis: if published {
                    YieldBasis::Class
                } else {
                    YieldBasis::Estimate
                },
                range: row
                    .low
                    .zip(row.high)
                    .or_else(|| (!published).then_some(usual)),
                source: row.source,
            }
        }))
    }
}
