//! How long a bought food keeps: `storage.csv`.

use data_import::{Error, FoodId, reference};
use serde::{Deserialize, Serialize};

use super::rows_about;
use crate::words::counted;

/// Days of a month, a year and a week, as the table counts them.
const MONTH: u32 = 30;
const YEAR: u32 = 365;
const WEEK: u32 = 7;

/// How long a bought food keeps: unopened, unless the source says otherwise.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Storage {
    /// The line of the source, which may cover several foods.
    pub called: String,
    /// How long it keeps in the cupboard.
    pub pantry: Option<Keeping>,
    /// How long it keeps in the fridge.
    pub fridge: Option<Keeping>,
    /// How long it keeps its quality in the freezer, which keeps food safe.
    pub freezer: Option<Keeping>,
    /// How long it keeps in the fridge once it is opened or cut.
    pub opened: Option<Keeping>,
}

/// How long food keeps in one place, by the source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Keeping {
    /// A number of days.
    Days {
        /// The least number of days.
        least: u32,
        /// The largest number of days.
        most: u32,
    },
    /// Until it is ripe.
    UntilRipe,
    /// The source advises against it.
    NotAdvised,
}

#[derive(Debug, Deserialize)]
struct StorageRow {
    foods: String,
    called: String,
    pantry: String,
    fridge: String,
    freezer: String,
    opened: String,
}

impl Storage {
    /// Where the figures come from.
    pub const SOURCE: &'static str = "USDA FSIS food storage data, unchanged since 2018 (CC0)";

    /// How long a food keeps; `None` where the table has no row for it.
    ///
    /// Errors: the table cannot be read.
    pub fn of(food: &FoodId) -> Result<Option<Self>, Error> {
        let table = ("storage.csv", reference::STORAGE);
        let rows = rows_about(table, food, |row: &StorageRow| &row.foods)?;
        Ok(rows.into_iter().next().map(|row| Self {
            pantry: Keeping::read(&row.pantry),
            fridge: Keeping::read(&row.fridge),
            freezer: Keeping::read(&row.freezer),
            opened: Keeping::read(&row.opened),
            called: row.called,
        }))
    }

    /// The days after which the food has to be used: the least it keeps in the fridge, else in the
    /// cupboard.
    pub fn shortest_days(&self) -> Option<u32> {
        let least = |keeping: Option<Keeping>| match keeping? {
            Keeping::Days { least, .. } => Some(least),
            _ => None,
        };
        least(self.fridge).or_else(|| least(self.pantry))
    }

    /// `fridge 3 to 5 days, freezer 10 to 12 months`, each place that the source speaks of.
    pub fn in_words(&self) -> String {
        let places = [
            ("cupboard", self.pantry),
            ("fridge", self.fridge),
            ("opened or cut, in the fridge", self.opened),
            ("freezer", self.freezer),
        ];
        let kept = places.iter().filter_map(|(place, keeping)| {
            Some(match (*keeping)? {
                Keeping::Days { least, most } => format!("{place} {}", span(least, most)),
                Keeping::UntilRipe => format!("{place} until ripe"),
                Keeping::NotAdvised => format!("{place} not advised"),
            })
        });
        kept.collect::<Vec<_>>().join(", ")
    }

    /// `keeps 3 to 5 days in the fridge`, or in the cupboard where the source knows no fridge.
    pub fn in_short(&self) -> Option<String> {
        let in_place = |keeping: Option<Keeping>, place: &str| match keeping? {
            Keeping::Days { least, most } => {
                Some(format!("keeps {} in the {place}", span(least, most)))
            }
            _ => None,
        };
        in_place(self.fridge, "fridge").or_else(|| in_place(self.pantry, "cupboard"))
    }
}

impl Keeping {
    fn read(cell: &str) -> Option<Self> {
        match cell {
            "ripe" => return Some(Self::UntilRipe),
            "no" => return Some(Self::NotAdvised),
            _ => {}
        }
        let (least, most) = cell.split_once('-').unwrap_or((cell, cell));
        Some(Self::Days {
            least: least.parse().ok()?,
            most: most.parse().ok()?,
        })
    }
}

/// Days in the unit in which both bounds are whole: `3 to 5 days`, `2 weeks`, `8 to 12 months`, `1
/// year`.
fn span(least: u32, most: u32) -> String {
    let whole = |unit: u32| least.is_multiple_of(unit) && most.is_multiple_of(unit);
    let (unit, word) = match least {
        YEAR.. if whole(YEAR) => (YEAR, "year"),
        MONTH.. if whole(MONTH) => (MONTH, "month"),
        WEEK.. if whole(WEEK) && most > WEEK => (WEEK, "week"),
        _ => (1, "day"),
    };
    let (least, most) = (least / unit, most / unit);
    let most_of_them = counted(most, word);
    if least == most {
        most_of_them
    } else {
        format!("{least} to {most_of_them}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(id: &str) -> Storage {
        Storage::of(&id.parse().unwrap()).unwrap().unwrap()
    }

    /// Broccoli: refrigerator 3 to 5 days, freezer 10 to 12 months; ground beef 1 to 2 days, 3 to 4
    /// months (USDA FSIS food storage data).
    #[test]
    fn days_are_told_in_the_unit_in_which_they_were_printed() {
        assert_eq!(
            of("11090").in_words(),
            "fridge 3 to 5 days, freezer 10 to 12 months"
        );
        assert_eq!(
            of("23572").in_words(),
            "fridge 1 to 2 days, freezer 3 to 4 months"
        );
        assert_eq!(of("16014").in_words(), "cupboard 1 to 2 years");
        assert_eq!(
            of("09037").in_words(),
            "cupboard until ripe, fridge 3 to 4 days, freezer not advised"
        );
        assert_eq!(span(21, 35), "3 to 5 weeks");
        assert_eq!(span(7, 7), "7 days");
        assert_eq!(span(10, 21), "10 to 21 days");
    }

    #[test]
    fn a_cupboard_food_is_used_after_one_of_the_fridge() {
        assert_eq!(of("11090").shortest_days(), Some(3));
        assert_eq!(of("16144").shortest_days(), Some(365));
        assert!(
            of("09037").in_short().unwrap().contains("fridge"),
            "avocado"
        );
    }

    #[test]
    fn a_food_without_a_row_has_no_days() {
        assert_eq!(Storage::of(&"04053".parse().unwrap()).unwrap(), None);
    }

    #[test]
    fn every_cell_is_read_and_no_food_has_two_rows() {
        let rows: Vec<StorageRow> = reference::rows("storage.csv", reference::STORAGE).unwrap();
        let mut seen = std::collections::BTreeSet::new();
        for row in rows {
            for cell in [&row.pantry, &row.fridge, &row.freezer, &row.opened] {
                assert!(cell.is_empty() || Keeping::read(cell).is_some(), "{cell}");
            }
            for id in row.foods.split('|') {
                assert!(seen.insert(id.to_string()), "{id} stands twice");
            }
        }
    }
}
