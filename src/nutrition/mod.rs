//! Nutrient identities, reference intakes, and energy.

pub mod energy;
mod reference;

pub use data_import::{Nutrient, NutrientId, nutrients};
pub use reference::{AgeBand, AgeMonths, Intake, IntakeKind, IntakeTable, Upper};
