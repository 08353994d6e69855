//! What complementary food is to bring in a day, by age and breast-feeding: energy, meals, and the
//! least energy density. The table `complementary-feeding.csv` names the sources.

use data_import::{Error, reference};
use serde::Deserialize;

use super::AgeMonths;

/// The table `complementary-feeding.csv`.
#[derive(Debug)]
pub struct Complementary {
    rows: Vec<Needs>,
}

/// The published needs of one age, breast-fed or not.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Needs {
    #[serde(deserialize_with = "yes_or_no")]
    breast_fed: bool,
    age_from_months: u16,
    age_below_months: u16,
    /// Energy, kcal a day: from complementary food for a breast-fed child, from everything for
    /// another.
    pub kcal: f64,
    /// The second published figure of a breast-fed child, kcal a day: beside average breast milk of
    /// industrialised countries, where `kcal` is beside that of developing ones.
    pub kcal_industrialised: Option<f64>,
    /// The publication.
    pub energy_source: String,
    /// The least recommended number of meals a day.
    pub meals_from: u32,
    /// The largest recommended number of meals a day, without snacks.
    pub meals_to: u32,
    /// The publication of the numbers of meals.
    pub meals_source: String,
    /// Meals of the indicator "minimum meal frequency"; milk feeds count among those of a child who
    /// is not breast-fed.
    pub least_meals: u32,
    /// The publication.
    pub least_meals_source: String,
    density_two: f64,
    density_three: f64,
    density_four: f64,
    /// The publication of the least energy densities.
    pub density_source: String,
}

impl Complementary {
    /// Reads the built-in table.
    pub fn builtin() -> Result<Self, Error> {
        let name = "complementary-feeding.csv";
        let rows = reference::rows(name, reference::COMPLEMENTARY_FEEDING)?;
        Ok(Self { rows })
    }

    /// The published needs of a child of this age; `None` outside 6 to 23 months.
    pub fn needs(&self, age: AgeMonths, breast_fed: bool) -> Option<&Needs> {
        self.rows.iter().find(|row| {
            row.breast_fed == breast_fed
                && (row.age_from_months..row.age_below_months).contains(&age.0)
        })
    }
}

impl Needs {
    /// The least energy density of the food in kcal/g at a number of meals a day. The source has
    /// two, three and four: fewer meals are taken as two, which asks too little, and more as four.
    pub fn least_density(&self, meals: u32) -> f64 {
        match meals {
            0..=2 => self.density_two,
            3 => self.density_three,
            4.. => self.density_four,
        }
    }
}

fn yes_or_no<'de, D: serde::Deserializer<'de>>(cell: D) -> Result<bool, D::Error> {
    Ok(String::deserialize(cell)? == "yes")
}
