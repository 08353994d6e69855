//! Trayful: batch cooking for babies, from a recipe to cubes, trays, energy and nutrients.
//!
//! The library calculates; it never prints, never reads the clock or the environment, and never
//! exits. Dependencies run one way: `cli`, `web` -> `report` -> `household` -> `planning` -> `notebook` -> `combine` -> `recipe`, `safety` -> `spoken` ->
//! `nutrition` -> `cooking` -> `food`, `uncertainty`; `buying` -> `cost`, `portion` -> `quantity`; and the crate `data-import` below all. Mistakes in what a person wrote
//! (`problem`), names in part (`names`), days (`day`) and whole files (`whole_file`) serve every layer.

#![cfg_attr(
    test,
    allow(clippy::float_cmp, reason = "exact products are compared exactly")
)]

pub mod bulk;
pub mod buying;
pub mod combine;
pub mod cooking;
pub mod cost;
pub mod day;
pub mod food;
pub mod household;
pub mod names;
pub mod next_step;
pub mod notebook;
pub mod nutrition;
pub mod planning;
pub mod portion;
pub mod problem;
pub mod quantity;
pub mod recipe;
pub mod report;
pub mod safety;
pub mod spoken;
mod strict_toml;
pub mod uncertainty;
pub mod web;
pub mod whole_file;
pub mod words;
