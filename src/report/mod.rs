//! Reports: a value for each page, rendered as text, HTML, CSV or JSON.

mod batch;
mod batch_answer;
mod batch_cost;
mod batch_density;
mod batch_figures;
mod batch_ingredient;
mod batch_liquid;
mod batch_words;
mod card;
mod cell;
pub mod chart;
mod combine;
mod combine_json;
mod combine_list;
mod cooking_next;
mod entries;
mod food;
mod food_facts;
mod food_page;
mod freezer;
mod gap;
mod household;
mod icalendar;
mod ingredient_words;
mod interval;
mod kitchen_card;
mod kitchen_steps;
mod label_sheet;
mod labels;
mod log;
mod meal;
mod milk_breaks;
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
mod shop_files;
mod shop_json;
mod shop_sentences;
mod sources;
mod supplements;
mod tastes;
mod text;
mod visit;
mod week;

pub use batch::{BatchReport, BatchTables, BatchView};
pub use batch_cost::{Priced, cost_remark};
pub use batch_figures::Figures;
pub use card::Card;
pub use combine::CombinePage;
pub use combine_json::CombineReport;
pub use combine_list::candidate_list;
pub use cooking_next::CookNextReport;
pub use entries::{DiscardReport, PurchaseReport};
pub use food::{FoodReport, LabelEntry};
pub use food_facts::{COOKERY_SAID, LackEntry, lack};
pub use food_page::FoodPage;
pub use freezer::{FreezerReport, PaceReport};
pub use gap::{GapReport, gap_meal_words};
pub use household::{
    before_birth, child_facts, device_words, dose_words, doubted, doubted_birth, jar_words,
    kilograms, measured, milk_a_day, milks_in_short, rules_words, tray_words,
};
pub use icalendar::{DayEvent, calendar};
pub use kitchen_card::{KitchenCard, NoCard};
pub use label_sheet::LabelSheet;
pub use labels::{Label, LabelPages};
pub use log::{
    ChangeReport, LogLine, LogReport, UndoReport, eaten_words, entry_words, heading, undone_words,
};
pub use meal::{HALF_IS_GONE, held, how_it_went};
pub use mix::{Added, MixPage, OneMore};
pub use mix_json::MixReport;
pub use money::MoneyWords;
pub use money_json::MoneyReport;
pub use number::{amount, amount_of, decimals, kitchen_mass, percent};
pub use objections::{ObjectionLine, STOP, objection_lines, objection_list, watch_the_child};
pub use paper::Paper;
pub use plan::{PlanPage, short_name, spoken_day, thawing, to_thaw};
pub use plan_calendar::{cooking_in_words, events, is_stopped, part_in_words};
pub use plan_change::{finding_line, plan_change, plan_warnings, planned_list};
pub use plan_json::{FindingReport, PlanReport};
pub use proposal::{ProposalReport, ProposedCooking, ProposedMeal};
pub use recorded::{FreezeReport, MilkLine, MilkReport, ServeReport, WrittenReport};
pub use shop::{CUPBOARD, RESIDUES_SAID, ShopPage};
pub use shop_json::ShopReport;
pub use shop_sentences::short_of;
pub use supplements::SUPPLEMENT_COUNTS;
pub use tastes::{ALLERGENS, AgainLine, CLEARANCE, KNOWN_COUNTS, TasteReport};
pub use text::{Look, Page, wrapped};
pub use visit::{VisitPage, VisitReport};
pub use week::{
    AboveUpper, ONLY_A_RECORD, WeekPage, WeekReport, WeekView, above_upper_levels,
    iron_at_a_glance, iron_by_day, nutrient_columns, nutrient_rows, on_record, reaction_lines,
    reading, week_bars,
};
