//! What people read: one value per report, rendered as text or as JSON.

mod batch;
mod card;
mod food;
mod icalendar;
mod kitchen_card;
mod kitchen_steps;
mod label_sheet;
mod labels;
mod mix;
mod mix_json;
mod number;
mod paper;
mod plan;
mod plan_calendar;
mod plan_json;
mod shop;
mod sources;
mod text;
mod week;

pub use batch::{BatchReport, BatchView, Figures, Priced};
pub use card::Card;
pub use food::{FoodPage, FoodReport, LabelEntry};
pub use icalendar::{DayEvent, calendar};
pub use kitchen_card::KitchenCard;
pub use label_sheet::LabelSheet;
pub use labels::{Label, LabelPages};
pub use mix::{Added, MixPage};
pub use mix_json::MixReport;
pub use number::{amount, decimals, kitchen_mass, percent};
pub use paper::Paper;
pub use plan::{PlanPage, short_name, spoken_day};
pub use plan_calendar::events;
pub use plan_json::{FindingReport, PlanReport};
pub use shop::{ShopPage, ShopReport};
pub use text::{Look, Page, Sheet};
pub use week::{WeekPage, WeekReport, WeekView};
