//! Methods, yields, nutrient retention and the cooking liquid.

mod class;
mod method;
mod practice;
mod retention;
mod yields;

pub use class::{ClassTable, FoodClass};
pub use method::{Method, UnknownMethod};
pub use practice::{Practice, PracticeTable};
pub use retention::{Retention, RetentionRow, is_fully_retained};
pub use yields::{Yield, YieldBasis};
