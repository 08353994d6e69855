//! What people read: one value per report, rendered as text or as JSON.

mod batch;
mod card;
pub mod chart;
mod food;
mod kitchen_card;
mod kitchen_steps;
mod label_sheet;
mod labels;
mod number;
mod paper;
mod proposal;
mod sources;
mod text;
mod visit;
mod week;

pub use batch::{BatchReport, BatchView, Figures, Priced};
pub use card::Card;
pub use food::{FoodPage, FoodReport, LabelEntry};
pub use kitchen_card::KitchenCard;
pub use label_sheet::LabelSheet;
pub use labels::{Label, LabelPages};
pub use number::{amount, decimals, kitchen_mass, percent};
pub use paper::Paper;
pub use proposal::{ProposalReport, no_plan};
pub use text::{Look, Page, Sheet};
pub use visit::{VisitPage, VisitReport, VisitView};
pub use week::{WeekPage, WeekReport, WeekView};
