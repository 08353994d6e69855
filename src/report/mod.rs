//! What people read: one value per report, rendered as text or as JSON.

mod batch;
mod card;
mod food;
mod kitchen_card;
mod kitchen_steps;
mod label_sheet;
mod labels;
mod meal;
mod number;
mod paper;
mod sources;
mod tastes;
mod text;
mod week;
mod week_page;

pub use batch::{BatchReport, BatchView, Figures, Priced};
pub use card::Card;
pub use food::{FoodPage, FoodReport, LabelEntry};
pub use kitchen_card::KitchenCard;
pub use label_sheet::LabelSheet;
pub use labels::{Label, LabelPages};
pub use meal::held;
pub use number::{amount, decimals, kitchen_mass, percent};
pub use paper::Paper;
pub use tastes::TasteReport;
pub use text::{Look, Page, Sheet};
pub use week::{WeekReport, WeekView};
pub use week_page::WeekPage;
