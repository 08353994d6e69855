//! Energy: what a food gives, what a child needs, and how dense a purée should be.

use data_import::{Composition, EnergyFactors, NutrientId};

use super::AgeMonths;
use crate::quantity::Mass;

/// Energy in kcal per 100 g by specific Atwater factors: protein, fat and carbohydrate by
/// difference (fibre included), each times its factor (USDA SR28 documentation; USDA Agriculture
/// Handbook 74, 1973). `None` where one of the three has no value.
pub fn atwater(composition: &Composition, factors: EnergyFactors) -> Option<f64> {
    let protein = composition.get(NutrientId::PROTEIN)?;
    let fat = composition.get(NutrientId::FAT)?;
    let carbohydrate = composition.get(NutrientId::CARBOHYDRATE)?;
    Some(protein * factors.protein + fat * factors.fat + carbohydrate * factors.carbohydrate)
}

/// Estimated energy requirement in kcal a day: (89 x weight in kg - 100) plus the energy of
/// growth (IOM, Dietary Reference Intakes for Energy, 2002/2005). `None` from three years on.
pub fn requirement(age: AgeMonths, weight: Mass) -> Option<f64> {
    let growth = match age.0 {
        0..=3 => 175.0,
        4..=6 => 56.0,
        7..=12 => 22.0,
        13..=35 => 20.0,
        _ => return None,
    };
    Some(89.0 * weight.grams() / 1000.0 - 100.0 + growth)
}

/// The least energy density in kcal/g of complementary food at three meals a day beside an
/// average intake of breast milk (WHO 1998 review, as tabled in WHO Regional Publications,
/// European Series 87, table 12). `None` outside 6 to 23 months.
pub fn least_density(age: AgeMonths) -> Option<f64> {
    match age.0 {
        6..=8 => Some(0.6),
        9..=11 => Some(0.8),
        12..=23 => Some(1.0),
        _ => None,
    }
}

/// Where [`least_density`] comes from.
pub const LEAST_DENSITY_SOURCE: &str = "WHO Regional Publications, European Series 87, table 12 \
     (three meals a day beside average breast milk)";
