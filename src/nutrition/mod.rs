//! Nutrient identities, reference intakes, energy, and what is served.

mod day;
mod diversity;
pub mod energy;
mod milk;
mod reference;
mod serving;
mod total;

pub use data_import::{Nutrient, NutrientId, nutrients};
pub use day::{Day, Meal, Milk};
pub use diversity::{DietGroup, GroupTable, Grouping};
pub use milk::BreastMilk;
pub use reference::{AgeBand, AgeMonths, Intake, IntakeKind, IntakeTable, Upper};
pub use serving::{ServedFood, Serving, Source, total_of};
pub use total::Total;
