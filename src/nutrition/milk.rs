//! Breast milk that was not weighed: averages by age, from the table `breast-milk.csv`.

use crate::words::counted;
use data_import::{Error, reference};
use serde::Deserialize;

use super::AgeMonths;
use crate::quantity::{Mass, Volume};

/// The amount of breast milk that a child takes, by published averages: estimates, each with a
/// sentence that says so and names its source.
#[derive(Debug)]
pub struct BreastMilk {
    rows: Vec<BreastMilkRow>,
}

#[derive(Debug, Deserialize)]
struct BreastMilkRow {
    age_from_months: u16,
    age_below_months: u16,
    millilitres: Option<f64>,
    kcal: Option<f64>,
    source: String,
}

impl BreastMilk {
    /// The NDB number of the food with the composition of breast milk: mature human milk (USDA
    /// SR28, 2015). It gives 0.70 kcal in a gram there, a little more than the figure of the WHO.
    pub const FOOD: &'static str = "01107";

    /// The energy that turns the published energy of a day's milk into a mass, kcal in a gram (WHO
    /// Regional Publications, European Series 87).
    pub const KCAL_PER_GRAM: f64 = 0.67;

    /// The density, g/ml (USDA SR28, 01107: a cup weighs 246 g).
    pub const GRAMS_PER_MILLILITRE: f64 = 1.0398;

    /// The mass of one feed at the breast in grams, on average at 1 to 6 months (Kent and others,
    /// Pediatrics 117:e387, 2006: 76.0 g, from 0 to 240).
    pub const GRAMS_PER_FEED: f64 = 76.0;

    /// Reads the built-in table.
    pub fn builtin() -> Result<Self, Error> {
        let rows = reference::rows("breast-milk.csv", reference::BREAST_MILK)?;
        Ok(Self { rows })
    }

    /// The average mass of a day at an age, with the sentence on its source; `None` from two years
    /// on.
    pub fn average(&self, age: AgeMonths) -> Option<(Mass, String)> {
        let of_age =
            |row: &&BreastMilkRow| (row.age_from_months..row.age_below_months).contains(&age.0);
        let row = self.rows.iter().find(of_age)?;
        let (mass, stated) = match (row.millilitres, row.kcal) {
            (Some(millilitres), _) => (
                Self::of_volume(Volume::from_millilitres(millilitres)),
                format!("{millilitres} ml a day"),
            ),
            (None, Some(kcal)) => (
                Mass::from_grams(kcal / Self::KCAL_PER_GRAM),
                format!(
                    "{kcal} kcal a day, at {} kcal a gram (WHO Regional Publications, European Series 87)",
                    Self::KCAL_PER_GRAM
                ),
            ),
            (None, None) => return None,
        };
        let (from, last) = (row.age_from_months, row.age_below_months - 1);
        let sentence = format!(
            "The breast milk is an estimate, the average of children of {from} to {last} months: \
             {stated}; {}",
            row.source
        );
        Some((mass, sentence))
    }

    /// The mass of a number of feeds at the breast, with the sentence on its source.
    pub fn of_feeds(feeds: u32) -> (Mass, String) {
        let mass = Mass::from_grams(Self::GRAMS_PER_FEED * f64::from(feeds));
        let sentence = format!(
            "The breast milk is an estimate: {} of {} g, an average feed at 1 to 6 months; Kent \
             and others, Pediatrics 117:e387 (2006)",
            counted(feeds, "feed"),
            Self::GRAMS_PER_FEED
        );
        (mass, sentence)
    }

    /// The mass of a volume of breast milk.
    pub fn of_volume(volume: Volume) -> Mass {
        volume.at_density(Self::GRAMS_PER_MILLILITRE)
    }

    /// The volume of a mass of breast milk.
    pub fn volume_of(mass: Mass) -> Volume {
        Volume::from_millilitres(mass.grams() / Self::GRAMS_PER_MILLILITRE)
    }
}

/// The number of feeds at the breast, each side counted: the average of a feed was weighed before
/// and after every breast, so that both sides at one feeding are two (Kent and others, Pediatrics
/// 117:e387, 2006).
pub fn feeds_of_sides(one_side: u32, both_sides: u32) -> u32 {
    one_side.saturating_add(both_sides.saturating_mul(2))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn feeds_are_counted_and_said_to_be_an_estimate() {
        let (mass, sentence) = BreastMilk::of_feeds(4);
        assert_eq!(mass.grams(), 304.0);
        assert!(sentence.contains("estimate: 4 feeds of 76 g"), "{sentence}");
        assert_eq!(BreastMilk::of_feeds(0).0, Mass::ZERO);
    }
}
