//! Trayful: batch cooking for babies, from a recipe to cubes, trays, energy and nutrients.
//!
//! The library calculates; it never prints, never reads the clock or the environment, and never
//! exits: callers pass dates and paths in. Dependencies run one way, from the top of this list to
//! its end, and the crate `data-import` is below all:
//!
//! - [`web`]: the kitchen page in a browser
//! - [`report`]: values for each page, rendered as text, HTML, CSV or JSON
//! - [`household`]: what a household does with its book: freeze, serve, catch up, plan, cook next
//! - [`planning`]: plans of meals and cooking: proposed, checked, compared with their outcome
//! - [`notebook`]: the book: its settings and its record, every entry of which can be corrected
//! - [`bulk`]: many recipes at once, from Parquet to Parquet
//! - [`combine`]: what to put into a purée, worked out exactly
//! - [`recipe`]: from a recipe file to a calculated batch
//! - [`safety`]: what a child may be given, and what to watch for
//! - [`spoken`]: what a parent means by "600 g courgette roasted"
//! - [`nutrition`]: totals of servings, days and weeks compared with reference intakes
//! - [`buying`]: how bought food keeps, its season, usual price, residues counted in samples
//! - [`cooking`]: states of foods, yields, retention, methods
//! - [`uncertainty`]: how far a figure may be off, by causes that err together
//! - [`food`]: the foods, their household measures, and the search for them
//! - [`cost`]: money, and a batch compared with the jar
//! - [`portion`]: density, trays, cubes, scaling
//! - [`quantity`]: masses, volumes, and the amounts people write
//! - [`day`]: which day is meant by "last friday"
//! - [`names`]: names in part, and the nearest to a misspelling
//! - `strict_toml`: TOML of which every key is known
//! - [`whole_file`]: writing a file completely or not at all
//! - [`problem`]: what is wrong with something a person wrote: place and hint
//! - `spelling`: how many edits lie between two words
//! - [`next_step`]: what to do next, as a value
//! - [`words`]: counts, lists, days and quotations in sentences

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
mod spelling;
pub mod spoken;
mod strict_toml;
pub mod uncertainty;
pub mod web;
pub mod whole_file;
pub mod words;
