//! The energy density of a batch in words, beside the least that is looked for.

use super::number::{decimals, decimals_beside, unbroken};
use crate::nutrition::{AgeMonths, Complementary};
use crate::recipe::Batch;

/// The meals a day for which the least energy density is looked up (judgement).
const MEALS: u32 = 3;

/// The energy density of a purée, beside the least that is looked for in complementary food at an age.
#[derive(Debug, Clone, PartialEq)]
pub struct Density {
    kcal_per_g: f64,
    /// The least, and its publication; `None` at an age without one.
    least: Option<(f64, String)>,
}

impl Density {
    pub(super) fn of(table: &Complementary, batch: &Batch, age: AgeMonths) -> Option<Self> {
        let needs = table.needs(age, true);
        Some(Self {
            kcal_per_g: batch.energy_density()?,
            least: needs.map(|needs| (needs.least_density(MEALS), needs.density_source.clone())),
        })
    }

    /// `0.78 kcal per g, at or above the 0.6 looked for`.
    pub fn short(&self) -> String {
        let Some((least, _)) = &self.least else {
            return unbroken(&format!("{} kcal per g", decimals(self.kcal_per_g, 2)));
        };
        let shown = decimals_beside(self.kcal_per_g, *least, 2);
        let verdict = if self.kcal_per_g < *least {
            "under"
        } else {
            "at or above"
        };
        format!(
            "{}, {verdict} the {least} looked for",
            unbroken(&format!("{shown} kcal per g"))
        )
    }

    /// [`Self::short`] as a sentence, with what it is true for, its source, and what makes a purée richer.
    pub fn sentence(&self) -> String {
        let short = self.short();
        let Some((_, source)) = &self.least else {
            return short + ".";
        };
        format!(
            "{short} over a day's food at this age and {MEALS} meals a day ({source}). Less water or a little oil makes it \
             richer."
        )
    }
}
