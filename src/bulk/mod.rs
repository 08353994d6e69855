//! Many recipes at once: from two tables, lines and recipes, to one row of figures for each recipe.
//! The retention of each food comes from the same code as for one batch; here it is only
//! summed, part after part, on all cores.

mod block;
mod error;
mod export;
mod fault;
mod food;
mod food_layout;
mod food_preparer;
mod id;
mod input;
mod intervals;
mod job;
mod journal;
mod kept_foods;
mod lines;
mod nutrient_columns;
mod outcome;
mod output;
mod part;
mod prepared_foods;
mod recipes;
mod rejects;
mod results;
mod run;
mod sql;
mod sums;
mod table_file;
mod template;

use crate::recipe::{DRY_SLACK, MOST_TIMES};

pub use error::BulkError;
pub use export::{ExportRequest, Exported, OptionalColumn, export};
pub use fault::Fault;
pub use results::Per;
pub use run::{BulkRequest, Done, FloatWidth, Progress, run};
pub use template::write_template;

/// Returned and added water together are no more than this, in ml.
const MOST_LIQUID: f64 = 2e5;
/// No mass and no volume of a recipe is more than this, in g or ml.
const MOST: f64 = 1e5;
/// No yield is more than this: the format of the tables fixes it. A recipe file allows half of it.
const MOST_YIELD: f64 = 20.0;
/// A serving has no more cubes than this (judgement). A recipe file allows fewer.
const MOST_CUBES: f64 = 1e4;
