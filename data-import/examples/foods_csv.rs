//! Writes the built-in foods to standard output as CSV: id, name, refuse, then every nutrient by
//! its tag; an empty cell is a missing value.

use std::error::Error;
use std::io;

use data_import::{FoodTable, nutrients};

fn main() -> Result<(), Box<dyn Error>> {
    let known = nutrients()?;
    let mut csv = csv::Writer::from_writer(io::stdout().lock());
    let fixed = ["id", "name", "refuse_percent"].map(String::from);
    csv.write_record(
        fixed
            .into_iter()
            .chain(known.iter().map(|one| one.tag.clone())),
    )?;
    let cell = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
    for food in FoodTable::builtin()?.all()? {
        let values = known.iter().map(|one| cell(food.composition.get(one.id)));
        let fixed = [food.id.to_string(), food.name, cell(food.refuse_percent)];
        csv.write_record(fixed.into_iter().chain(values))?;
    }
    csv.flush()?;
    Ok(())
}
