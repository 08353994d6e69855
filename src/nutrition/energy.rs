//! Energy of foods, and the energy requirement of a child.

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

/// A child's estimated energy requirement for a day, all food and milk together.
#[derive(Debug, Clone, PartialEq)]
pub struct Requirement {
    /// Energy, kcal a day.
    pub kcal: f64,
    /// The source of the equation.
    pub source: &'static str,
}

/// The input of the equation of 2023 besides age and weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stature {
    /// Whether the child is a girl or a boy.
    pub sex: Sex,
    /// Length from crown to heel in centimetres.
    pub centimetres: f64,
}

/// The sex of a child, where a published figure depends on it, as the equation of 2023 does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sex {
    /// A girl.
    Girl,
    /// A boy.
    Boy,
}

impl Sex {
    /// Every value with its word in `book.toml`.
    pub const WORDS: [(&'static str, Self); 2] = [("girl", Self::Girl), ("boy", Self::Boy)];

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Girl => "girl",
            Self::Boy => "boy",
        }
    }
}

impl Requirement {
    /// The requirement by age and weight: (89 x weight in kg - 100) plus the energy of growth (IOM,
    /// Dietary Reference Intakes for Energy, 2002/2005). `None` from three years on.
    pub fn of_2005(age: AgeMonths, weight: Mass) -> Option<Self> {
        let growth = match age.0 {
            0..=3 => 175.0,
            4..=6 => 56.0,
            7..=12 => 22.0,
            13..=35 => 20.0,
            _ => return None,
        };
        Some(Self {
            kcal: 89.0 * weight.grams() / 1000.0 - 100.0 + growth,
            source: "IOM Dietary Reference Intakes for Energy (2002/2005), from age and weight",
        })
    }

    /// The requirement by age, sex, length and weight (NASEM, Dietary Reference Intakes for Energy,
    /// 2023, the equations as printed by Health Canada). The growth of a boy until six months and
    /// of a girl until three is as printed there, the rest from memory. `None` from three years on.
    pub fn of_2023(age: AgeMonths, weight: Mass, stature: Stature) -> Option<Self> {
        let years = f64::from(age.0) / 12.0;
        let (length, kilograms) = (stature.centimetres, weight.grams() / 1000.0);
        let growth = match (stature.sex, age.0) {
            (_, 36..) => return None,
            (Sex::Boy, 0..=2) => 200.0,
            (Sex::Boy, 3..=5) => 50.0,
            (Sex::Girl, 0..=2) => 180.0,
            (Sex::Girl, 3..=5) => 60.0,
            (Sex::Girl, 12..) => 15.0,
            _ => 20.0,
        };
        let kcal = match stature.sex {
            Sex::Boy => -716.45 - 1.00 * years + 17.82 * length + 15.06 * kilograms,
            Sex::Girl => -69.15 + 80.0 * years + 2.65 * length + 54.15 * kilograms,
        };
        Some(Self {
            kcal: kcal + growth,
            source: "NASEM Dietary Reference Intakes for Energy (2023), from age, sex, length and \
                     weight; the growth term partly from memory",
        })
    }
}
