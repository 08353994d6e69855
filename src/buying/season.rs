//! When a food is in season: `seasons.csv`.

use data_import::{Error, FoodId, reference};
use serde::{Deserialize, Serialize};

use super::rows_about;
use crate::words::joined;

/// A country with a table of seasons.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "UPPERCASE")]
pub enum Country {
    /// The United States of America.
    Us,
    /// The United Kingdom.
    Uk,
}

impl Country {
    /// The words of `book.toml`.
    pub const WORDS: [(&'static str, Self); 2] = [("US", Self::Us), ("UK", Self::Uk)];

    /// The country of a currency, such as `USD`; `None` where no country of the table has it.
    pub fn of_currency(currency: &str) -> Option<Self> {
        match currency {
            "USD" => Some(Self::Us),
            "GBP" => Some(Self::Uk),
            _ => None,
        }
    }
}

/// When a food is in season in a country.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Season {
    /// The country.
    pub country: Country,
    /// The food of the source, which may cover several kinds.
    pub called: String,
    /// Seasons as the source prints them; empty where it has months.
    pub seasons: Vec<String>,
    /// Months, 1 to 12; empty where the source has seasons.
    pub months: Vec<u32>,
    /// The publication.
    pub source: &'static str,
}

#[derive(Debug, Deserialize)]
struct SeasonRow {
    country: Country,
    foods: String,
    called: String,
    seasons: String,
    months: String,
}

/// The seasons and their months, by convention: the source of the USA prints no months.
const SEASONS: [(&str, [u32; 3]); 4] = [
    ("spring", [3, 4, 5]),
    ("summer", [6, 7, 8]),
    ("fall", [9, 10, 11]),
    ("winter", [12, 1, 2]),
];
/// The names of the months, the first one first.
const MONTHS: &str = "\
    January February March April May June July August September October November December";
const OF_US: &str = "USDA SNAP-Ed Seasonal Produce Guide, as of 2026";
const OF_UK: &str = "shop samples of the UK residue monitoring, 2016 to 2022 (OGL v3.0), at least half UK-grown: worked out by us";

impl Season {
    /// The seasons of a food, by country; none where no table has a row for it.
    ///
    /// Errors: the table cannot be read.
    pub fn of(food: &FoodId) -> Result<Vec<Self>, Error> {
        let table = ("seasons.csv", reference::SEASONS);
        let rows = rows_about(table, food, |row: &SeasonRow| &row.foods)?;
        let split = |cell: &str| -> Vec<String> {
            let words = cell.split('|').filter(|word| !word.is_empty());
            words.map(str::to_string).collect()
        };
        let season = |row: SeasonRow| Self {
            country: row.country,
            called: row.called,
            seasons: split(&row.seasons),
            months: split(&row.months)
                .iter()
                .filter_map(|month| month.parse().ok())
                .collect(),
            source: match row.country {
                Country::Us => OF_US,
                Country::Uk => OF_UK,
            },
        };
        Ok(rows.into_iter().map(season).collect())
    }

    /// Whether the food is in season in a month (1 to 12).
    pub fn holds(&self, month: u32) -> bool {
        let named = |(name, months): &(&str, [u32; 3])| {
            months.contains(&month) && self.seasons.iter().any(|season| season == name)
        };
        self.months.contains(&month) || SEASONS.iter().any(named)
    }

    /// `in season in the USA: spring, fall`.
    pub fn in_words(&self) -> String {
        match self.country {
            Country::Us if self.seasons.len() == SEASONS.len() => {
                "in season in the USA all year".to_string()
            }
            Country::Us => format!("in season in the USA: {}", joined(&self.seasons, ", ")),
            Country::Uk if self.months.len() == MONTHS.len() => {
                "mostly UK-grown in shops all year".to_string()
            }
            Country::Uk => format!("mostly UK-grown in shops: {}", spans(&self.months)),
        }
    }
}

/// `January, April to November`: months in a row as one span.
fn spans(months: &[u32]) -> String {
    let name = |month: u32| {
        let at = usize::try_from(month).ok().and_then(|at| at.checked_sub(1));
        at.and_then(|at| MONTHS.split(' ').nth(at)).unwrap_or("")
    };
    let runs = months.chunk_by(|month, next| month + 1 == *next);
    let spans = runs.filter_map(|run| {
        let (first, last) = (*run.first()?, *run.last()?);
        Some(match run.len() {
            1 => name(first).to_string(),
            2 => format!("{}, {}", name(first), name(last)),
            _ => format!("{} to {}", name(first), name(last)),
        })
    });
    joined(spans, ", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// USDA SNAP-Ed guide: broccoli in spring and fall. UK: 7 to 10, counted in shop samples.
    #[test]
    fn broccoli_has_two_countries() {
        let seasons = Season::of(&"11090".parse().unwrap()).unwrap();
        let [us, uk] = seasons.as_slice() else {
            panic!("{seasons:?}")
        };
        assert_eq!(us.in_words(), "in season in the USA: spring, fall");
        assert_eq!(
            [3, 7, 10, 12].map(|month| us.holds(month)),
            [true, false, true, false]
        );
        assert_eq!(uk.in_words(), "mostly UK-grown in shops: July to October");
        assert_eq!(
            [3, 7, 10, 12].map(|month| uk.holds(month)),
            [false, true, true, false]
        );
    }

    #[test]
    fn every_row_has_seasons_or_months_that_are_known() {
        let rows: Vec<SeasonRow> = reference::rows("seasons.csv", reference::SEASONS).unwrap();
        for row in rows {
            assert_ne!(row.seasons.is_empty(), row.months.is_empty(), "{row:?}");
            for season in row.seasons.split('|').filter(|cell| !cell.is_empty()) {
                assert!(SEASONS.iter().any(|(name, _)| *name == season), "{season}");
            }
            for month in row.months.split('|').filter(|cell| !cell.is_empty()) {
                assert!((1..=12).contains(&month.parse::<u32>().unwrap()), "{month}");
            }
        }
    }
}
