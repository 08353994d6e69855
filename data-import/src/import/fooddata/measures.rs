//! `food_portion.csv`: household measures.

use std::collections::BTreeMap;

use super::places::Places;
use super::{Pens, Reading, Wanted};
use crate::error::Error;
use crate::import::gather::Gather;
use crate::import::table::{self, Row};
use crate::measure::Measure;

const PORTION: &str = "food_portion.csv";
const PORTION_COLUMNS: Wanted = Wanted {
    required: &["id", "fdc_id", "gram_weight"],
    optional: &[
        "amount",
        "measure_unit_id",
        "portion_description",
        "modifier",
    ],
};
const UNIT: &str = "measure_unit.csv";
const UNIT_COLUMNS: Wanted = Wanted::all(&["id", "name"]);
/// The unit that stands for none: the words are in the modifier or the description.
const UNDETERMINED: &str = "undetermined";

/// Reads the measures.
pub(super) fn read(
    reading: &mut Reading<'_, '_>,
    places: &Places,
    gathers: &[Gather<'_>],
) -> Result<(), Error> {
    let units = units(reading)?;
    let Some(input) = reading.optional(PORTION, "foods have no household measures")? else {
        return Ok(());
    };
    let make = || (Pens::new(gathers), 0_usize);
    let row = |(recorders, without): &mut (Pens<'_, '_>, usize), row: &Row<'_>| {
        let Some(at) = row.whole(1)?.and_then(|id| places.food(id)) else {
            return Ok(());
        };
        match (measure(row, &units)?, recorders.of(at.source)) {
            (Some(measure), Some(recorder)) => {
                recorder.measure(at.food, row.whole(0)?.unwrap_or(u32::MAX), &measure)
            }
            _ => {
                *without += 1;
                Ok(())
            }
        }
    };
    let (states, digest) = table::read(input, &PORTION_COLUMNS, make, row)?;
    reading.files.push(digest);
    let mut without = 0;
    for (recorders, count) in states {
        recorders.finish()?;
        without += count;
    }
    reading.warn(
        without,
        "household measure has no weight or no name",
        "household measures have no weight or no name",
    );
    Ok(())
}

fn units(reading: &mut Reading<'_, '_>) -> Result<BTreeMap<u32, String>, Error> {
    let mut units = BTreeMap::new();
    let cost = "household measures go by their descriptions";
    reading.optional_rows((UNIT, cost), &UNIT_COLUMNS, |row| {
        if let Some(id) = row.whole(0)? {
            units.insert(id, row.text(1)?.into_owned());
        }
        Ok(())
    })?;
    Ok(units)
}

fn measure(row: &Row<'_>, units: &BTreeMap<u32, String>) -> Result<Option<Measure>, Error> {
    let grams = row.number(2)?.filter(|grams| *grams > 0.0);
    let amount = row.number(3)?.filter(|amount| *amount > 0.0);
    let unit = row.whole(4)?.and_then(|id| units.get(&id));
    let unit = unit.map_or("", String::as_str);
    let (description, modifier) = (row.text(5)?, row.text(6)?);
    Ok(grams.and_then(|grams| named(unit, amount, &description, &modifier, grams)))
}

/// Puts a measure together; `None` where nothing says what it is.
fn named(
    unit: &str,
    amount: Option<f64>,
    description: &str,
    modifier: &str,
    grams: f64,
) -> Option<Measure> {
    // Survey foods have a code here.
    let is_code = |text: &&str| !text.is_empty() && !text.bytes().all(|b| b.is_ascii_digit());
    let modifier = Some(modifier).filter(is_code);
    let description = Some(description)
        .filter(|text| !text.is_empty() && !text.eq_ignore_ascii_case("quantity not specified"));
    let unit = Some(unit).filter(|unit| !unit.is_empty() && *unit != UNDETERMINED);
    let Some(unit) = unit else {
        // `1 cup, cooked` has its amount in its words; `cup, cooked` has it in the other column.
        return match (description, modifier) {
            (Some(words), _) => Some(Measure::parse(words, grams)),
            (None, Some(words)) => Some(Measure {
                amount: amount.unwrap_or(1.0),
                unit: words.to_owned(),
                grams,
            }),
            (None, None) => None,
        };
    };
    let words = [Some(unit), description, modifier];
    let words = words.into_iter().flatten().collect::<Vec<_>>();
    Some(Measure {
        amount: amount.unwrap_or(1.0),
        unit: words.join(", "),
        grams,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn measures_are_named_by_what_there_is() {
        for (unit, amount, description, modifier, label) in [
            ("tablespoon", Some(2.0), "", "", Some("2 tablespoon")),
            ("cup", Some(1.0), "", "cubes", Some("1 cup, cubes")),
            (
                "undetermined",
                Some(1.0),
                "",
                "cup, cubes",
                Some("1 cup, cubes"),
            ),
            ("", None, "1 cup, cooked", "61602", Some("1 cup, cooked")),
            (
                "undetermined",
                None,
                "Quantity not specified",
                "90000",
                None,
            ),
            ("", Some(3.0), "", "", None),
        ] {
            let found = named(unit, amount, description, modifier, 10.0);
            let found = found.map(|measure| measure.label());
            assert_eq!(found.as_deref(), label);
        }
    }
}
