//! `food_nutrient.csv`: the values, by far the longest file.

use std::collections::BTreeMap;

use super::meanings::Meanings;
use super::origins::Origins;
use super::places::{Found, Places};
use super::{FOOD_NUTRIENT, Pens, Reading, Wanted};
use crate::error::Error;
use crate::import::counted;
use crate::import::gather::{Gather, Recorder, Value};
use crate::import::table::{self, Row};

const COLUMNS: Wanted = Wanted {
    required: &["fdc_id", "nutrient_id", "amount"],
    optional: &["data_points", "derivation_id", "standard_error"],
};
/// No amount in 100 g is as large as this, in any unit (judgement).
const ABSURD: f64 = 1e12;

/// What one thread counts.
#[derive(Debug, Default)]
struct Count {
    blank: usize,
    unknown_foods: usize,
    unknown_nutrients: BTreeMap<u32, usize>,
    /// Values beyond 100 g in 100 g, and the line of the first.
    too_much: usize,
    first: Option<u64>,
}

impl Count {
    fn add(&mut self, other: Self) {
        self.blank += other.blank;
        self.unknown_foods += other.unknown_foods;
        self.too_much += other.too_much;
        self.first = self.first.into_iter().chain(other.first).min();
        for (nutrient, count) in other.unknown_nutrients {
            *self.unknown_nutrients.entry(nutrient).or_default() += count;
        }
    }

    fn warnings(&self, meanings: &Meanings) -> Vec<String> {
        let mut warnings = Vec::new();
        if self.blank > 0 {
            let one = "row of food_nutrient.csv has no amount";
            let many = "rows of food_nutrient.csv have no amount";
            warnings.push(counted(self.blank, one, many));
        }
        if self.unknown_foods > 0 {
            let one = "row of food_nutrient.csv is of a food that is not in food.csv";
            let many = "rows of food_nutrient.csv are of foods that are not in food.csv";
            warnings.push(counted(self.unknown_foods, one, many));
        }
        if let Some(line) = self.first {
            let one = "value of more than 100 g in 100 g was left out";
            let many = "values of more than 100 g in 100 g were left out";
            let counted = counted(self.too_much, one, many);
            warnings.push(format!("{counted}, the first in {FOOD_NUTRIENT}:{line}"));
        }
        if !self.unknown_nutrients.is_empty() {
            let names = self.unknown_nutrients.keys().map(|id| meanings.name(*id));
            let names = names.collect::<Vec<_>>().join("; ");
            let one = "value of nutrients that are not kept was left out";
            let many = "values of nutrients that are not kept were left out";
            let counted = counted(self.unknown_nutrients.values().sum(), one, many);
            warnings.push(format!("{counted}: {names}"));
        }
        warnings
    }
}

/// What one thread has at hand.
struct State<'g, 's> {
    recorders: Pens<'g, 's>,
    count: Count,
}

/// Reads the values.
pub(super) fn read(
    reading: &mut Reading<'_, '_>,
    places: &Places,
    meanings: &Meanings,
    origins: &Origins,
    gathers: &[Gather<'_>],
) -> Result<(), Error> {
    let make = || State {
        recorders: Pens::new(gathers),
        count: Count::default(),
    };
    let find = |id: Option<u32>| id.map(|id| places.find(id));
    let row = |state: &mut State<'_, '_>, row: &Row<'_>, found: Option<Found>| {
        let found = match found {
            Some(found) => found,
            None => match row.whole(0)? {
                Some(id) => places.find(id),
                None => return Err(row.wrong(0, "a value without a food")),
            },
        };
        let at = match found {
            Found::Food(at) => at,
            Found::Other => return Ok(()),
            Found::Unknown => {
                state.count.unknown_foods += 1;
                return Ok(());
            }
        };
        match state.recorders.of(at.source) {
            Some(recorder) => value(row, meanings, origins, &mut state.count, recorder, at.food),
            None => Ok(()),
        }
    };
    let input = reading.input(FOOD_NUTRIENT)?;
    let (states, digest) = table::read_keyed(input, &COLUMNS, make, find, row)?;
    reading.files.push(digest);
    let mut total = Count::default();
    for state in states {
        state.recorders.finish()?;
        total.add(state.count);
    }
    reading.warnings.extend(total.warnings(meanings));
    Ok(())
}

/// Writes the value of a row down, unless it is one to leave out.
#[inline]
fn value(
    row: &Row<'_>,
    meanings: &Meanings,
    origins: &Origins,
    count: &mut Count,
    recorder: &mut Recorder<'_, '_>,
    food: u32,
) -> Result<(), Error> {
    let Some(number) = row.whole(1)? else {
        return Err(row.wrong(1, "a value without a nutrient"));
    };
    let Some((amount, written)) = row.written(2)? else {
        count.blank += 1;
        return Ok(());
    };
    if amount > ABSURD {
        let written = String::from_utf8_lossy(row.raw(2));
        return Err(row.wrong(2, &format!("“{written}” is not an amount in 100 g")));
    }
    let Some(meaning) = meanings.get(number) else {
        *count.unknown_nutrients.entry(number).or_default() += 1;
        return Ok(());
    };
    let amount = amount * meaning.factor;
    if amount > meaning.most {
        count.too_much += 1;
        if count.first.is_none() {
            count.first = Some(row.line());
        }
        return Ok(());
    }
    let value = Value {
        nutrient: meaning.place,
        amount,
        written: written.filter(|_| meaning.is_same()),
        data_points: row.whole(3)?,
        standard_error: row.number(5)?,
        mark: origins.get(row.whole(4)?),
    };
    recorder.value(food, &value)
}
