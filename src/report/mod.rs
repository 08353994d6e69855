//! What people read: one value per report, rendered as text or as JSON.

mod batch;
mod card;
mod food;
mod number;
mod text;

pub use batch::{BatchReport, BatchView, Figures};
pub use card::Card;
pub use food::{FoodPage, FoodReport, LabelEntry};
pub use number::{decimals, kitchen_mass, percent};
pub use text::{Look, Page, Sheet};
