//! The main job checked against published figures: standards, handbook tables, open datasets and
//! worked examples. Each module names its source; the tables are in `tests/data`.

#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]
#![expect(
    clippy::print_stdout,
    reason = "`-- --nocapture` shows what was measured"
)]

mod added_sugar;
mod classes;
mod combine;
mod complementary;
mod cooked_foods;
mod daily_values;
mod days;
mod density;
mod diversity;
mod energy;
mod first_foods;
mod formula;
mod indicators;
mod intakes;
mod labels;
mod measures;
mod milk;
mod packets;
mod practice;
mod recipe_vectors;
mod retention;
mod safety;
mod search;
mod spoken;
mod states;
mod support;
mod uncertainty;
mod units;
mod yields;
