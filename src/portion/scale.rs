//! The target to which a batch is scaled, and rounding to what a kitchen scale shows.

use data_import::FoodId;

use crate::quantity::Mass;

/// The target to which a batch is scaled.
#[derive(Debug, Clone, PartialEq)]
pub enum Target {
    /// As the recipe is written.
    AsWritten,
    /// Exactly a number of full trays.
    Trays(u32),
    /// Exactly a number of cubes.
    Cubes(u32),
    /// Exactly a number of servings.
    Servings(u32),
    /// Exactly one pack of an ingredient, as purchased.
    UseUp {
        /// The ingredient.
        food: FoodId,
        /// The mass of the pack.
        pack: Mass,
    },
}

/// How amounts are rounded to the kitchen scale.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rounding {
    /// As they are written: nothing is rounded.
    Exact,
    /// Rounded up, so that the trays are really full.
    Up,
    /// Rounded to the nearest step, so that a pack is not exceeded by more than half a step.
    Nearest,
}

/// The step of a kitchen scale in grams (common practice, no source).
const STEP_GRAMS: f64 = 1.0;

/// The mass that a kitchen scale shows. A mass above zero is never rounded to zero.
pub fn on_the_scale(mass: Mass, rounding: Rounding) -> Mass {
    let steps = mass.grams() / STEP_GRAMS;
    let rounded = match rounding {
        Rounding::Exact => return mass,
        Rounding::Up => (steps - 1e-9).ceil(),
        Rounding::Nearest => steps.round(),
    };
    let least = if steps > 0.0 { 1.0 } else { 0.0 };
    Mass::from_grams(rounded.max(least) * STEP_GRAMS)
}

impl Target {
    /// How amounts are rounded for this target.
    pub fn rounding(&self) -> Rounding {
        match self {
            Self::AsWritten => Rounding::Exact,
            Self::UseUp { .. } => Rounding::Nearest,
            Self::Trays(_) | Self::Cubes(_) | Self::Servings(_) => Rounding::Up,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_are_rounded_to_whole_grams() {
        let grams = |mass: f64, rounding| on_the_scale(Mass::from_grams(mass), rounding).grams();
        assert_eq!(grams(803.2, Rounding::Up), 804.0);
        assert_eq!(grams(804.0, Rounding::Up), 804.0);
        assert_eq!(grams(803.2, Rounding::Nearest), 803.0);
        assert_eq!(grams(803.2, Rounding::Exact), 803.2);
        assert_eq!(grams(0.2, Rounding::Nearest), 1.0);
        assert_eq!(grams(0.0, Rounding::Up), 0.0);
    }
}
