//! Plans as CSV files, one row for each planned serving or cooking.
//!
//! The columns are `day,child,meal,cubes,what,grams,trays,typed`. A row has one of `cubes`, `grams`
//! and `trays`: cubes of a recipe or of a batch (`#7`), grams of a food by its id, trays to be
//! cooked of a recipe (no child, no meal). A row with none of them, and without `what`, means that
//! nothing is planned for that meal, or that nothing is cooked that day. `typed` has the words for
//! a food, which may say what its entry does not (ground almonds); a file may leave it out.

mod admit;
mod read;

pub use admit::{foods, plan};
pub use read::read;

use jiff::civil::Date;

use crate::notebook::{Plan, PlannedCooking, PlannedFood, PlannedServing};
use crate::problem::{Located, Place};

/// The columns, in their order.
pub const COLUMNS: [&str; 8] = [
    "day", "child", "meal", "cubes", "what", "grams", "trays", "typed",
];
/// The columns that every file has; the words for foods came later.
const FIRST_COLUMNS: usize = 7;

/// A row that is parsed but not yet validated.
#[derive(Debug)]
pub struct PlanRow {
    line: Place,
    cells: [Located<String>; 8],
    day: Date,
    thing: Thing,
}

/// The content of a row.
#[derive(Debug)]
enum Thing {
    Serving(PlannedServing),
    Cooking(PlannedCooking),
    EmptyMeal,
    NoCooking,
}

/// Writes a plan as a file; the same plan gives the same text.
pub fn write(plan: &Plan) -> Result<String, csv::Error> {
    let mut csv = csv::Writer::from_writer(Vec::new());
    csv.write_record(COLUMNS)?;
    for (slot, parts) in &plan.meals {
        let day = slot.day.to_string();
        let mut row = |cubes: &str, what: &str, grams: &str, typed: &str| {
            let (child, meal) = (&slot.child, &slot.meal);
            csv.write_record([&day, child, meal, cubes, what, grams, "", typed])
        };
        if parts.is_empty() {
            row("", "", "", "")?;
        }
        for part in parts {
            match part {
                PlannedServing::Cubes(pick) => {
                    row(&pick.cubes.served().to_string(), &pick.name, "", "")?;
                }
                PlannedServing::Food(PlannedFood { id, mass, typed }) => {
                    row("", id.as_str(), &mass.grams().to_string(), typed)?;
                }
            }
        }
    }
    for (day, cooking) in &plan.cooking {
        let day = day.to_string();
        if cooking.is_empty() {
            csv.write_record([day.as_str(), "", "", "", "", "", "", ""])?;
        }
        for session in cooking {
            let trays = session.trays.to_string();
            csv.write_record([
                day.as_str(),
                "",
                "",
                "",
                session.recipe.as_str(),
                "",
                &trays,
                "",
            ])?;
        }
    }
    let bytes = csv.into_inner().map_err(csv::IntoInnerError::into_error)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
