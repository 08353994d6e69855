//! Density of a purée by its constituents.
//!
//! Choi, Y. and Okos, M. R. (1986), "Effects of temperature and composition on the thermal
//! properties of foods", in Food Engineering and Process Applications, vol. 1: polynomials in
//! degrees Celsius, valid from -40 to 150. Water at 20 degrees comes to 995.74 kg/m3 by its
//! polynomial, where 998.2 is true: the method is good to about 0.3 % for pure water.

use data_import::{Food, NutrientId};

use super::water_by_difference;

/// Room temperature, at which purées are weighed and spooned, in degrees Celsius (common practice,
/// no source).
pub const ROOM_CELSIUS: f64 = 20.0;

/// Mass shares of the constituents that make up a food; any unit, the sum is taken as the whole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Constituents {
    /// Water.
    pub water: f64,
    /// Protein.
    pub protein: f64,
    /// Fat.
    pub fat: f64,
    /// Available carbohydrate: by difference, less fibre.
    pub carbohydrate: f64,
    /// Dietary fibre.
    pub fibre: f64,
    /// Ash.
    pub ash: f64,
}

impl Constituents {
    /// Takes the amounts of a food or a batch, each in grams of the same whole; `None` where an
    /// amount other than fibre and ash is not known. These two are small: without a value of its own
    /// fibre counts with the starch, and ash is left to the other parts.
    pub fn of(amount: impl Fn(NutrientId) -> Option<f64>) -> Option<Self> {
        let fibre = amount(NutrientId::FIBRE).unwrap_or(0.0);
        Some(Self {
            water: amount(NutrientId::WATER)?,
            protein: amount(NutrientId::PROTEIN)?,
            fat: amount(NutrientId::FAT)?,
            carbohydrate: (amount(NutrientId::CARBOHYDRATE)? - fibre).max(0.0),
            fibre,
            ash: amount(NutrientId::ASH).unwrap_or(0.0),
        })
    }

    /// Takes the values of a food; water that is not known is estimated by difference. `None` where
    /// that cannot be done.
    pub fn of_food(food: &Food) -> Option<Self> {
        Self::of(|nutrient| match nutrient {
            NutrientId::WATER => {
                let known = food.composition.get(nutrient);
                known.or_else(|| water_by_difference(food))
            }
            _ => food.composition.get(nutrient),
        })
    }

    /// Density in g/ml at a temperature in degrees Celsius: `1/rho = sum of x_j / rho_j`, the
    /// shares normalised to 1. `None` where there is nothing at all.
    pub fn density(&self, celsius: f64) -> Option<f64> {
        let t = celsius;
        let parts = [
            (self.water, 997.18 + 3.1439e-3 * t - 3.7574e-3 * t * t),
            (self.protein, 1329.9 - 0.5184 * t),
            (self.fat, 925.59 - 0.41757 * t),
            (self.carbohydrate, 1599.1 - 0.31046 * t),
            (self.fibre, 1311.5 - 0.36589 * t),
            (self.ash, 2423.8 - 0.28063 * t),
        ];
        let whole: f64 = parts.iter().map(|(share, _)| share).sum();
        let volume: f64 = parts.iter().map(|(share, density)| share / density).sum();
        (whole > 0.0 && volume > 0.0).then(|| whole / volume / 1000.0)
    }
}
