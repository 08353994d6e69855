//! How values were obtained: the dataset's derivations.

use super::{Reading, Wanted};
use crate::error::Error;
use crate::import::gather::Mark;
use crate::provenance::Origin;

const DERIVATION: &str = "food_nutrient_derivation.csv";
const COLUMNS: Wanted = Wanted {
    required: &["id", "code"],
    optional: &["description"],
};
/// Every id is below this.
const MOST: usize = 1000;

/// Derivations that a download without the file uses. In Foundation Foods, October 2024, values
/// of 1 have numbers of analyses, 4 are sums of others, and 49 are energy, protein and
/// carbohydrate by difference; that the codes are these, and 70 and 71 labels, is from memory.
const USUAL: [(usize, &str); 5] = [(1, "A"), (4, "AS"), (49, "NC"), (70, "LCCS"), (71, "LCCD")];

/// The derivations by their ids.
#[derive(Debug)]
pub(super) struct Origins {
    marks: Vec<Mark>,
    /// The codes by their places in the marks; the first is empty.
    pub(super) codes: Vec<String>,
}

impl Origins {
    /// Reads the file of derivations, if it is there.
    pub(super) fn read(reading: &mut Reading<'_, '_>) -> Result<Self, Error> {
        let mut origins = Self {
            marks: vec![Mark::default(); MOST],
            codes: vec![String::new()],
        };
        let cost = "how a value was come by is known for the usual derivations only";
        let is_there = reading.optional_rows((DERIVATION, cost), &COLUMNS, |row| {
            let id = row.whole(0)?.map(|id| id as usize);
            match id.filter(|id| *id < MOST && origins.codes.len() < 256) {
                Some(id) => origins.insert(id, &row.text(1)?),
                None => Err(row.wrong(0, "this derivation is not understood")),
            }
        })?;
        if !is_there {
            for (id, code) in USUAL {
                origins.insert(id, code)?;
            }
        }
        Ok(origins)
    }

    fn insert(&mut self, id: usize, code: &str) -> Result<(), Error> {
        let derivation = u8::try_from(self.codes.len()).unwrap_or_default();
        self.codes.push(code.to_owned());
        if let Some(mark) = self.marks.get_mut(id) {
            *mark = Mark {
                origin: Origin::of(code, "")?,
                derivation,
                source: 0,
            };
        }
        Ok(())
    }

    /// What is known of values of a derivation.
    #[inline]
    pub(super) fn get(&self, id: Option<u32>) -> Mark {
        let mark = id.and_then(|id| self.marks.get(id as usize));
        mark.copied().unwrap_or_default()
    }
}
