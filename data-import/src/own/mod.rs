//! Own foods: what a household copies off a label, from CSV text to foods.
//!
//! Nothing here touches a file: text goes in, foods and findings come out. A [`Finding`] says
//! where in the text it was found, so that the caller can show the place.

mod add;
mod barcode;
mod basis;
mod cells;
mod checks;
mod columns;
mod compose;
mod declared;
mod entry;
mod finding;
mod food;
mod remarks;
mod template;

pub use add::with_added;
pub use checks::ENERGY_SHARE;
pub use compose::SALT_PER_SODIUM;
pub use finding::Finding;
pub use food::{LabelFood, OwnFoods, Remark};
pub use template::template;
