//! The rooms: the handlers of the pages, which read the book, fill a template, and answer.

mod at_hand;
mod bowl;
pub(super) mod catch_up;
pub(super) mod cook;
pub(super) mod discard;
pub(super) mod doctors_answer;
pub(super) mod food;
pub(super) mod food_search;
pub(super) mod foods;
pub(super) mod freezer;
pub(super) mod history;
pub(super) mod household;
pub(super) mod import;
mod meal_form;
pub(super) mod mix;
pub(super) mod money;
pub(super) mod more;
pub(super) mod pair;
mod phrases;
mod planned_meal;
pub(super) mod print;
pub(super) mod serve;
pub(super) mod start;
mod stops;
pub(super) mod tastes;
pub(super) mod today;
pub(super) mod undo;
pub(super) mod visit;
pub(super) mod week;

pub(super) use cook::opened::FormerText;
pub(super) use week::WeekDraft;
