//! Volume.

use super::{Mass, linear_quantity, unit};

/// A volume; a number leaves it only by naming a unit.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Volume(f64);

linear_quantity!(Volume);

impl Volume {
    /// No volume.
    pub const ZERO: Self = Self(0.0);

    /// A volume in millilitres.
    pub const fn from_millilitres(millilitres: f64) -> Self {
        Self(millilitres)
    }

    /// The volume in millilitres.
    pub const fn millilitres(self) -> f64 {
        self.0
    }

    /// The volume in US fluid ounces (29.5735295625 ml, NIST Handbook 44 appendix C).
    pub fn fluid_ounces(self) -> f64 {
        self.0 / unit::MILLILITRES_PER_FLUID_OUNCE
    }

    /// The mass of this volume at a density in g/ml.
    pub fn at_density(self, grams_per_millilitre: f64) -> Mass {
        Mass::from_grams(self.0 * grams_per_millilitre)
    }
}
