//! The command line as a user meets it: whole output, exit code, files.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
#![allow(
    clippy::float_cmp,
    reason = "figures of the JSON are compared to the last digit"
)]

mod batch;
mod book_data;
mod bulk;
mod combine;
mod data;
mod demo;
#[cfg(target_os = "linux")]
mod disk;
mod errors;
mod figures;
mod foods;
#[cfg(unix)]
mod interrupted;
mod json;
mod layers;
mod lines;
mod own;
mod print;
mod readme;
mod recipe_names;
mod save;
mod shell;
mod support;
mod typed;
mod visit;
mod words;
