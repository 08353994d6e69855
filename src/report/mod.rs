//! What people read: one value per report, rendered as text or as JSON.

mod batch;
mod batch_preview;
mod card;
mod cell;
pub mod chart;
mod command;
mod cooking_next;
mod entries;
mod food;
mod freezer;
mod icalendar;
mod kitchen_card;
mod kitchen_steps;
mod label_sheet;
mod labels;
mod meal;
mod mix;
mod mix_json;
mod money;
mod money_json;
mod number;
mod objections;
mod paper;
mod plan;
mod plan_calendar;
mod plan_change;
mod plan_json;
mod proposal;
mod proposal_why;
mod recorded;
mod shop;
mod sources;
mod tastes;
mod text;
mod visit;
mod week;

pub use batch::{BatchReport, BatchView, Figures, Priced};
pub use batch_preview::{NutrientRow, OutRow, PreviewReport};
pub use card::Card;
pub use command::with_command;
pub use cooking_next::CookNextReport;
pub use entries::{DiscardReport, PurchaseReport, UndoReport};
pub use food::{FoodPage, FoodReport, LabelEntry};
pub use freezer::{FreezerReport, PaceReport, counted_cubes};
pub use icalendar::{DayEvent, calendar};
pub use kitchen_card::KitchenCard;
pub use label_sheet::LabelSheet;
pub use labels::{Label, LabelPages};
pub use meal::held;
pub use mix::{Added, MixPage, OneMore};
pub use mix_json::MixReport;
pub use money::{MoneyWords, money_or_dash};
pub use money_json::MoneyReport;
pub use number::{amount, decimals, kitchen_mass, percent};
pub use objections::{ObjectionLine, WATCH, capital, objection_lines, objection_list};
pub use paper::Paper;
pub use plan::{PlanPage, short_name, spoken_day, thawing, to_thaw};
pub use plan_calendar::{cooking_in_words, events, part_in_words};
pub use plan_change::{finding_line, plan_change, plan_warnings, planned_list};
pub use plan_json::{FindingReport, PlanReport};
pub use proposal::{CookingReport, ProposalReport};
pub use recorded::{FreezeReport, MilkLine, MilkReport, ServeReport, WrittenReport};
pub use shop::{CUPBOARD, ShopPage, ShopReport};
pub use tastes::{
    ALLERGENS, AgainLine, AllergenLine, CLEARANCE, OpenLine, ReactionLine, TasteLine, TasteReport,
};
pub use text::{Look, Page, Sheet};
pub use visit::{VisitPage, VisitReport, VisitView};
pub use week::{
    AboveUpper, NUTRIENT_COLUMNS, ONLY_A_RECORD, WeekPage, WeekReport, WeekView,
    above_upper_levels, iron_at_a_glance, nutrient_rows, on_record, reading, week_bars,
};
