//! Mass.

use super::{linear_quantity, unit};

/// A mass; a number leaves it only by naming a unit.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Mass(f64);

linear_quantity!(Mass);

/// Serialises a mass in grams, for a key that names the unit.
pub fn in_grams<S: serde::Serializer>(mass: &Mass, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_f64(mass.0)
}

impl Mass {
    /// Nothing on the scale.
    pub const ZERO: Self = Self(0.0);
    /// An avoirdupois ounce (28.349523125 g, NIST Handbook 44 appendix C).
    pub const OUNCE: Self = Self(unit::GRAMS_PER_OUNCE);

    /// A mass in grams.
    pub const fn from_grams(grams: f64) -> Self {
        Self(grams)
    }

    /// The mass in grams.
    pub const fn grams(self) -> f64 {
        self.0
    }

    /// The mass in avoirdupois ounces.
    pub fn ounces(self) -> f64 {
        self.0 / unit::GRAMS_PER_OUNCE
    }
}
