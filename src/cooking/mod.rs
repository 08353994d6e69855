//! Methods, yields, nutrient retention and the cooking liquid.

mod class;
mod method;
mod practice;
mod retention;
mod yields;

pub use class::{ClassTable, FoodClass};
pub use method::{Method, UnknownMethod};
pub use practice::{Practice, PracticeTable};
pub use retention::{Retention, RetentionTable, is_fully_retained};
pub use yields::{Yield, YieldBasis, YieldTable};

use data_import::Error;

/// The cooking tables, read once.
#[derive(Debug)]
pub struct CookingTables {
    /// Which class a food is cooked as.
    pub classes: ClassTable,
    /// What survives.
    pub retention: RetentionTable,
    /// What the scale shows afterwards.
    pub yields: YieldTable,
}

impl CookingTables {
    /// Reads the built-in tables.
    pub fn builtin() -> Result<Self, Error> {
        Ok(Self {
            classes: ClassTable::builtin()?,
            retention: RetentionTable::builtin()?,
            yields: YieldTable::builtin()?,
        })
    }
}
