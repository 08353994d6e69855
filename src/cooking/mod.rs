//! States of foods, methods, yields, nutrient retention, solids and fat that leave.

mod can;
mod class;
mod method;
mod practice;
mod preparation;
mod retention;
mod solids;
mod state;
mod tables;
mod yields;

pub use can::CanRow;
pub use class::{ClassTable, FoodClass};
pub use method::{Method, UnknownMethod};
pub use practice::{Practice, PracticeTable};
pub use preparation::{Preparation, Stated, dry_share};
pub use retention::{Retention, RetentionRow, is_fully_retained};
pub use state::{State, UnknownState};
pub use tables::CookingTables;
pub use yields::{MeltedFat, WEIGHED_SPREAD, Yield, YieldBasis};
