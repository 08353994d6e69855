//! Residues of pesticides counted in samples: `residues.csv`. Counts only: no score, no rank, no
//! sum over a recipe, nothing where there is no row.

use data_import::{Error, FoodId, reference};
use serde::{Deserialize, Serialize};

use super::rows_about;

/// The sentences on what a residue means and does not mean.
pub const RESIDUE_SAID: &str = "A residue under the limit is not a danger. One over it is taken up with the supplier; the programme found an effect on health unlikely in nearly every case (reports of 2023 and 2024). Counted in UK shops; yours may differ.";
/// The sentences on what washing does (US EPA).
pub const WASHING_SAID: &str = "Wash under running water, scrub what is firm, peel where you can; no soap. It removes a part, not all (US EPA).";
/// The sentence on what buying organic does, and what it does not (American Academy of Pediatrics).
pub const ORGANIC_SAID: &str = "Variety matters more than labels: fruit and vegetables, conventional or organic, do more good than either choice (American Academy of Pediatrics 2012, read in press reports).";

/// The samples of a food, and how many had residues.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Residues {
    /// The food as the programme calls it.
    pub called: String,
    /// The form of the food: fresh, frozen, dried, canned.
    pub form: String,
    /// The first year of the samples.
    pub from: u16,
    /// The last year of the samples.
    pub to: u16,
    /// Counts of the samples that are not organic.
    pub conventional: SampleCount,
    /// Counts of the organic samples; `None` where there were fewer than five.
    pub organic: Option<SampleCount>,
}

/// The counts in samples of a food.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct SampleCount {
    /// The number of samples.
    pub samples: u32,
    /// Samples with a residue of a pesticide.
    pub with_residue: u32,
    /// Samples over the legal limit.
    pub over_limit: u32,
}

#[derive(Debug, Deserialize)]
struct ResidueRow {
    foods: String,
    called: String,
    form: String,
    from: u16,
    to: u16,
    samples: u32,
    with: u32,
    over: u32,
    organic_samples: Option<u32>,
    organic_with: Option<u32>,
    organic_over: Option<u32>,
}

impl Residues {
    /// Where the counts come from, with the line that its licence asks for.
    pub const SOURCE: &'static str = "counted by us in the UK national monitoring (Expert Committee on Pesticide Residues in Food and HSE), 2016 to 2022, without chlorate and disinfectants; contains public sector information licensed under the Open Government Licence v3.0";

    /// The samples of a food; none where the table has no row for it.
    ///
    /// Errors: the table cannot be read.
    pub fn of(food: &FoodId) -> Result<Vec<Self>, Error> {
        let table = ("residues.csv", reference::RESIDUES);
        let rows = rows_about(table, food, |row: &ResidueRow| &row.foods)?;
        let organic = |row: &ResidueRow| {
            Some(SampleCount {
                samples: row.organic_samples?,
                with_residue: row.organic_with?,
                over_limit: row.organic_over?,
            })
        };
        let of_row = |row: ResidueRow| Self {
            organic: organic(&row),
            called: row.called,
            form: row.form,
            from: row.from,
            to: row.to,
            conventional: SampleCount {
                samples: row.samples,
                with_residue: row.with,
                over_limit: row.over,
            },
        };
        Ok(rows.into_iter().map(of_row).collect())
    }

    /// `apples, fresh: traces in 347 of 374 samples, over the limit in 3; organic 0 of 67 (UK, 2016
    /// to 2022)`.
    pub fn in_words(&self) -> String {
        let all = &self.conventional;
        let organic = self.organic.map_or_else(String::new, |organic| {
            let over = match organic.over_limit {
                0 => String::new(),
                over => format!(", over the limit in {over}"),
            };
            format!(
                "; organic {} of {}{over}",
                organic.with_residue, organic.samples
            )
        });
        let years = if self.from == self.to {
            self.from.to_string()
        } else {
            format!("{} to {}", self.from, self.to)
        };
        let over = match all.over_limit {
            0 => "none".to_string(),
            over => over.to_string(),
        };
        format!(
            "{}, {}: traces in {} of {} samples, over the limit in {over}{organic} (UK, {years})",
            self.called, self.form, all.with_residue, all.samples
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(id: &str) -> Vec<Residues> {
        Residues::of(&id.parse().unwrap()).unwrap()
    }

    /// Counted in the sheets of the UK monitoring programme.
    #[test]
    fn counts_are_told_as_counts() {
        assert_eq!(
            of("09003")[0].in_words(),
            "apples, fresh: traces in 347 of 374 samples, over the limit in 3; organic 0 of 67 (UK, 2016 to 2022)"
        );
        assert_eq!(
            of("11011")[0].in_words(),
            "asparagus, fresh: traces in 6 of 60 samples, over the limit in 4 (UK, 2021)"
        );
    }

    #[test]
    fn a_food_that_was_not_measured_has_nothing() {
        assert!(of("04053").is_empty());
    }

    #[test]
    fn no_count_is_more_than_its_samples() {
        let rows: Vec<ResidueRow> = reference::rows("residues.csv", reference::RESIDUES).unwrap();
        assert!(rows.len() > 70, "{}", rows.len());
        for row in rows {
            assert!(row.over <= row.with && row.with <= row.samples, "{row:?}");
            assert!(row.organic_with <= row.organic_samples, "{row:?}");
            assert_eq!(row.organic_over.is_some(), row.organic_samples.is_some());
        }
    }
}
