//! Nutrient identities, reference intakes, energy, and what is served.

mod bowl;
mod class_rules;
mod complementary;
mod daily_values;
mod day;
mod diversity;
pub mod energy;
pub mod indicators;
mod milk;
pub mod reading;
mod reference;
mod serving;
mod total;
mod traits;
pub mod vitamin_c;
pub mod week;

pub use bowl::{Bound, Bowl};
pub use complementary::{Complementary, Needs};
pub use daily_values::DailyValues;
pub use data_import::{Nutrient, NutrientId, nutrients};
pub use day::{Day, Meal, Milk};
pub use diversity::{DietGroup, GroupTable, Grouping};
pub use indicators::{IndicatorResult, Indicators};
pub use milk::{BreastMilk, feeds_of_sides};
pub use reference::{AgeBand, AgeMonths, Intake, IntakeKind, IntakeTable, SOLIDS_FROM, Upper};
pub use serving::{ServedFood, Serving, Source, joined_wordings, total_of, wordings};
pub use total::Total;
pub use traits::{DairyForm, FoodTraits, TraitTable, Traits};
pub use week::{Week, WeekTables};
