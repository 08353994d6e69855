//! What the dataset's nutrients are called here.

use std::collections::BTreeMap;

use super::{NUTRIENT, Reading, Wanted};
use crate::error::Error;
use crate::import::assemble::Fallback;
use crate::nutrient::{Nutrient, NutrientId as N, all_nutrients, places};

const COLUMNS: Wanted = Wanted {
    required: &["id", "unit_name", "nutrient_nbr"],
    optional: &["name"],
};
/// Nutrient ids begin here; below are nutrient numbers, which some releases write in their place.
const FIRST_ID: u32 = 1001;
/// Every id is below this.
const MOST: usize = 10_000;

/// A nutrient of the dataset.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Meaning {
    /// Its place in the table of all nutrients.
    pub(super) place: u16,
    /// Amounts times this are in the unit used here.
    pub(super) factor: f64,
    /// The amount that weighs 100 g, in the unit used here.
    pub(super) most: f64,
}

impl Meaning {
    /// Whether amounts are in the unit used here.
    #[inline]
    pub(super) fn is_same(&self) -> bool {
        self.factor.to_bits() == 1_f64.to_bits()
    }
}

/// The nutrients by the number in the column `nutrient_id`.
#[derive(Debug)]
pub(super) struct Meanings {
    by_number: Vec<Option<Meaning>>,
    names: BTreeMap<u32, String>,
}

impl Meanings {
    /// Reads `nutrient.csv`.
    pub(super) fn read(reading: &mut Reading<'_, '_>) -> Result<Self, Error> {
        let known = all_nutrients()?;
        let places = places()?;
        let mut meanings = Self {
            by_number: vec![None; MOST],
            names: BTreeMap::new(),
        };
        reading.rows(NUTRIENT, &COLUMNS, |row| {
            let Some(id) = row.whole(0)? else {
                return Err(row.wrong(0, "the id is blank"));
            };
            let (unit, number) = (row.text(1)?, row.text(2)?);
            meanings.names.insert(id, row.text(3)?.into_owned());
            // A number with a point, or none: the nutrient goes by its id.
            let number = number.parse::<u16>().ok();
            let number = number.or_else(|| u16::try_from(id).ok());
            let place = number.and_then(|number| places.get(&N::new(number)));
            let meaning = place.and_then(|place| meaning(known, *place, &unit));
            if let Some(slot) = meanings.by_number.get_mut(id as usize) {
                *slot = meaning;
            }
            // The same nutrient by its number.
            let slot = number
                .map(usize::from)
                .filter(|number| *number < FIRST_ID as usize);
            if let Some(slot) = slot.and_then(|slot| meanings.by_number.get_mut(slot)) {
                *slot = slot.or(meaning);
            }
            Ok(())
        })?;
        Ok(meanings)
    }

    /// The nutrient with this id or number.
    #[inline]
    pub(super) fn get(&self, number: u32) -> Option<&Meaning> {
        self.by_number.get(number as usize).and_then(Option::as_ref)
    }

    /// What the dataset calls it.
    pub(super) fn name(&self, number: u32) -> String {
        match self.names.get(&number) {
            Some(name) => format!("{name} ({number})"),
            None => number.to_string(),
        }
    }
}

fn meaning(known: &[Nutrient], place: u16, unit: &str) -> Option<Meaning> {
    let nutrient = known.get(usize::from(place))?;
    Some(Meaning {
        place,
        factor: factor(unit, &nutrient.unit)?,
        most: crate::import::plausible::most(&nutrient.unit),
    })
}

/// How many of `to` one `from` is; `None` if they do not measure the same.
/// Source of the prefixes: NIST Special Publication 330 (2019), table 7.
fn factor(from: &str, to: &str) -> Option<f64> {
    let micrograms = |unit: &str| match unit.to_ascii_lowercase().as_str() {
        "g" => Some(1e6),
        "mg" => Some(1e3),
        "ug" | "µg" | "mcg" => Some(1.0),
        _ => None,
    };
    if from.eq_ignore_ascii_case(to) {
        return Some(1.0);
    }
    Some(micrograms(from)? / micrograms(to)?)
}

/// What stands in for a nutrient that a food lacks, the best first.
///
/// Energy: by specific Atwater factors before general ones, as in the dataset's energy under its own number.
/// Vitamin D: 1 µg is 40 IU. Fat: the documentation of the USDA National Nutrient Database for
/// Standard Reference, Release 28, uses 298 for 204 as it is (derivation code NR). Energy in kJ:
/// 1 kcal is 4.184 kJ (NIST Special Publication 811, appendix B.8, thermochemical calorie).
pub(super) fn fallbacks() -> Result<Vec<Fallback>, Error> {
    let places = places()?;
    let place = |id: N| places.get(&id).copied().ok_or(Error::Nutrient { id });
    let table = [
        (N::ENERGY, N::new(958), 1.0),
        (N::ENERGY, N::new(957), 1.0),
        (N::ENERGY, N::new(268), 1.0 / 4.184),
        (N::FIBRE, N::new(293), 1.0),
        (N::SUGARS, N::new(1063), 1.0),
        (N::FAT, N::new(298), 1.0),
        (N::VITAMIN_D, N::VITAMIN_D_IU, 1.0 / 40.0),
        (N::VITAMIN_D_IU, N::VITAMIN_D, 40.0),
    ];
    let fallback = |(target, from, factor)| {
        Ok(Fallback {
            target: place(target)?,
            from: place(from)?,
            factor,
        })
    };
    table.into_iter().map(fallback).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_of_mass_are_converted_and_others_are_not() {
        for (from, to, expected) in [
            ("G", "g", Some(1.0)),
            ("UG", "µg", Some(1.0)),
            ("MG", "µg", Some(1e3)),
            ("UG", "mg", Some(1e-3)),
            ("IU", "IU", Some(1.0)),
            ("kJ", "kcal", None),
            ("IU", "µg", None),
        ] {
            assert_eq!(factor(from, to), expected, "{from} {to}");
        }
    }
}
