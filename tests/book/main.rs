//! A household's book: what a parent reads, that nothing is ever lost, and that the sums hold.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
#![allow(
    clippy::float_cmp,
    reason = "hand-worked figures are compared to the last digit"
)]

mod advice;
mod ages;
mod asked;
mod bowl;
mod buying;
mod calendar;
mod children;
mod corrections;
mod damage;
mod days;
mod gaps;
mod half_cubes;
mod history;
mod household;
mod json;
mod later;
mod loss;
mod meals;
mod money;
mod names;
mod objections;
mod one_line;
mod pace;
mod parent;
mod pasted;
mod plan;
mod proposal;
mod reactions;
mod record;
mod recount;
mod slips;
mod spellings;
mod sums;
#[path = "../cli/support.rs"]
#[allow(dead_code, reason = "shared with the tests of the command line")]
mod support;
mod tastes;
mod typed;
mod verbs;
mod week;
mod weeks;
