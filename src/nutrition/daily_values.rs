//! Daily Values of US labels for infants and small children, a second reference beside the
//! reference intakes: the table `daily-values.csv`.

use data_import::{Error, NutrientId, reference};
use serde::Deserialize;

use super::{AgeBand, AgeMonths};

/// The table `daily-values.csv`.
#[derive(Debug)]
pub struct DailyValues {
    rows: Vec<DailyValueRow>,
}

#[derive(Debug, Deserialize)]
struct DailyValueRow {
    number: u16,
    infants: Option<f64>,
    children: Option<f64>,
}

impl DailyValues {
    /// The publication of the values.
    pub const SOURCE: &'static str =
        "21 CFR 101.9(c)(8)(iv) and (c)(9), as of 2016; the table from memory";

    /// Reads the built-in table.
    pub fn builtin() -> Result<Self, Error> {
        let rows = reference::rows("daily-values.csv", reference::DAILY_VALUES)?;
        Ok(Self { rows })
    }

    /// The Daily Value of a nutrient at an age, in the nutrient's unit; `None` where none is set.
    /// From the first birthday on it is that of 1 through 3 years.
    pub fn of(&self, nutrient: NutrientId, age: AgeMonths) -> Option<f64> {
        let row = self
            .rows
            .iter()
            .find(|row| row.number == nutrient.number())?;
        match age.band()? {
            AgeBand::BirthToFiveMonths | AgeBand::SixToElevenMonths => row.infants,
            AgeBand::OneToThreeYears => row.children,
        }
    }
}
