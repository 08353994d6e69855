//! A request for a purée: the base, the nutrient, the limits, the foods to take or to leave out.

use std::collections::{BTreeMap, BTreeSet};

use data_import::{Error, FoodId, Nutrient, NutrientId};
use rust_decimal::Decimal;

use crate::cost::Money;
use crate::nutrition::{AgeMonths, IntakeTable, SOLIDS_FROM};
use crate::portion::Tray;

/// The most foods that are added.
pub(super) const MOST_ADDED: usize = 4;
/// The most answers that are given.
pub(super) const MOST_ANSWERS: usize = 5;

/// The least energy of a purée, kcal in a gram; a thinner one fills a small stomach with water
/// (judgement, from the energy density of breast milk).
pub const LEAST_ENERGY: f64 = 0.6;

/// A request for a purée.
#[derive(Debug, Clone)]
pub struct CombineRequest {
    /// The child's age; `None` where no rule of age is to hold.
    pub age: Option<AgeMonths>,
    /// The nutrient of which there is to be most.
    pub nutrient: &'static Nutrient,
    /// The amount of the nutrient that a serving has to bring, in the nutrient's unit.
    pub at_least: Option<f64>,
    /// Which answer is the best.
    pub prefer: Prefer,
    /// The serving; `None` for the usual one.
    pub serving: Option<ServingSize>,
    /// The purée that is added to, as raw foods.
    pub base: Option<Base>,
    /// Foods that have to be in it.
    pub must: Vec<FoodId>,
    /// The least number of foods that are added.
    pub add_at_least: usize,
    /// The largest number of foods that are added.
    pub add_at_most: usize,
    /// Foods that the child knows; `None` where that does not matter.
    pub known: Option<BTreeSet<FoodId>>,
    /// How many foods may be new to the child.
    pub new_at_most: Option<usize>,
    /// Allergens, roles, families or foods that stay out.
    pub without: Vec<String>,
    /// The only foods that may be added.
    pub only: Option<BTreeSet<FoodId>>,
    /// Whether foods may be proposed that are not sold everywhere.
    pub unusual: bool,
    /// The limits.
    pub limits: Limits,
    /// Prices; `None` where money does not matter.
    pub prices: Option<BTreeMap<FoodId, Price>>,
    /// Whether only foods are proposed that old cookery books have together.
    pub cooked_together: bool,
    /// The number of answers.
    pub answers: usize,
    /// Foods that are left out for another reason, which is counted: the judge speaks against them.
    pub barred: BTreeSet<FoodId>,
}

impl CombineRequest {
    /// A request for the most of a nutrient, with the usual limits.
    pub fn for_most(nutrient: &'static Nutrient) -> Self {
        Self {
            age: None,
            nutrient,
            at_least: None,
            prefer: Prefer::Most,
            serving: None,
            base: None,
            must: Vec::new(),
            add_at_least: 0,
            add_at_most: 3,
            known: None,
            new_at_most: None,
            without: Vec::new(),
            only: None,
            unusual: false,
            limits: Limits::default(),
            prices: None,
            cooked_together: false,
            answers: MOST_ANSWERS,
            barred: BTreeSet::new(),
        }
    }

    /// How many new foods may be in it; `None` where it is not known which are new, or does not
    /// matter.
    pub fn most_new(&self) -> Option<usize> {
        self.known.as_ref().and(self.new_at_most)
    }

    /// The serving that is meant.
    pub fn serving_size(&self) -> ServingSize {
        self.serving.unwrap_or_default()
    }

    /// The most sodium of a serving, mg; `None` for no limit. Without one in the request it is a
    /// fifth of the adequate intake at the age.
    ///
    /// Errors: the table of intakes cannot be read.
    pub fn sodium_mg(&self) -> Result<Option<f64>, Error> {
        match self.limits.sodium {
            Sodium::OfAge => {}
            Sodium::AtMost(most) => return Ok(Some(most)),
            Sodium::Unlimited => return Ok(None),
        }
        let table = IntakeTable::builtin()?;
        let intake = |age| table.intake(NutrientId::SODIUM, age);
        let intake = self.age.and_then(intake).or_else(|| intake(SOLIDS_FROM));
        Ok(intake.map(|intake| intake.amount * SHARE_OF_A_DAY))
    }

    /// Whether money counts, and no price is known.
    pub fn needs_prices_but_has_none(&self) -> bool {
        self.prices.is_none() && (self.limits.cost.is_some() || self.prefer == Prefer::Cheapest)
    }

    /// Whether a food that has no price cannot be used.
    pub fn needs_prices(&self) -> bool {
        self.prices.is_some() && (self.limits.cost.is_some() || self.prefer == Prefer::Cheapest)
    }
}

/// Which answer is the best.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Prefer {
    /// The one with most of the nutrient.
    Most,
    /// The one that costs least.
    Cheapest,
    /// The one with the fewest new foods, then the fewest foods, then most of the nutrient.
    FewestNew,
}

/// A serving: cubes of a tray.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ServingSize {
    /// The number of cubes.
    pub cubes: u32,
    /// The volume of one well to the brim, in millilitres.
    pub well_ml: f64,
    /// The share of a well that is filled, above 0 and at most 1.
    pub fill: f64,
}

impl Default for ServingSize {
    fn default() -> Self {
        Self::of(2, &Tray::usual())
    }
}

impl ServingSize {
    /// A serving of a number of cubes of a tray.
    pub fn of(cubes: u32, tray: &Tray) -> Self {
        Self {
            cubes,
            well_ml: tray.well.millilitres(),
            fill: tray.fill,
        }
    }

    /// The volume of the serving in millilitres.
    pub fn millilitres(&self) -> f64 {
        f64::from(self.cubes) * self.well_ml * self.fill
    }
}

/// The purée that is added to.
#[derive(Debug, Clone)]
pub struct Base {
    /// The foods, each with its trimmed raw mass in grams.
    pub foods: Vec<(FoodId, f64)>,
    /// The least share of the base in the mass of the new purée, 0 to 1.
    pub min_share: f64,
}

/// The least share of a base where the request names none (judgement).
pub const BASE_SHARE: f64 = 0.5;

/// The limits that a purée has to keep.
#[derive(Debug, Clone, PartialEq)]
pub struct Limits {
    /// Least energy, kcal in a gram as it is served.
    pub energy_kcal_per_g: Option<f64>,
    /// Least dry matter, as a share of the mass, 0 to 1: not thinner.
    pub dry_matter_min: f64,
    /// Most dry matter, as a share of the mass, 0 to 1: not thicker.
    pub dry_matter_max: f64,
    /// Most sodium of a serving.
    pub sodium: Sodium,
    /// Most retinol of a serving, as a share of a day's upper level, 600 µg; 1 is all of it.
    pub retinol_share: Option<f64>,
    /// Most of foods that are rich in nitrate, as a share of the mass, 0 to 1.
    pub nitrate_share: Option<f64>,
    /// The highest cost of a serving, in the currency of the request.
    pub cost: Option<Money>,
    /// Least vitamin C beside iron, in molecules for each atom.
    pub vitamin_c_to_iron: Option<f64>,
}

impl Limits {
    /// The limits that may be any figure from 0 up, as floats; the shares of dry matter and nitrate
    /// are left out.
    pub(super) fn figures(&self) -> [Option<f64>; 5] {
        use rust_decimal::prelude::ToPrimitive as _;
        let sodium = match self.sodium {
            Sodium::AtMost(most) => Some(most),
            Sodium::OfAge | Sodium::Unlimited => None,
        };
        let cost = self.cost.and_then(|cost| cost.amount().to_f64());
        [
            self.energy_kcal_per_g,
            sodium,
            self.retinol_share,
            cost,
            self.vitamin_c_to_iron,
        ]
    }
}

/// The share of a day's intake that a serving may bring: that of one of five meals (judgement).
const SHARE_OF_A_DAY: f64 = 0.2;

/// Most sodium of a serving.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sodium {
    /// A fifth of the adequate intake of a day at the child's age, or at 6 to 11 months where the
    /// age is not known or beyond the table.
    OfAge,
    /// An amount in mg.
    AtMost(f64),
    /// No limit.
    Unlimited,
}

impl Default for Limits {
    /// A purée that falls off the spoon neither as water nor as a lump, little salt, and half a
    /// day's upper level of retinol (judgement).
    fn default() -> Self {
        Self {
            energy_kcal_per_g: None,
            dry_matter_min: 0.10,
            dry_matter_max: 0.25,
            sodium: Sodium::OfAge,
            retinol_share: Some(0.5),
            nitrate_share: None,
            cost: None,
            vitamin_c_to_iron: None,
        }
    }
}

/// A price of a food.
#[derive(Debug, Clone, Copy, PartialEq, serde::Deserialize)]
pub struct Price {
    /// The price of a kilogram, in the currency of the request.
    #[serde(deserialize_with = "super::ask_json::decimal")]
    pub per_kg: Decimal,
    /// Whether the kilogram is as bought or trimmed.
    #[serde(default)]
    pub basis: PriceBasis,
}

/// The mass to which a price refers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PriceBasis {
    /// As bought, refuse included.
    #[default]
    Purchased,
    /// Trimmed.
    Edible,
}
