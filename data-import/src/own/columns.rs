//! The columns of a file of own foods, and the headings that are taken for them.

use std::sync::OnceLock;

use serde::Deserialize;

use crate::error::Error;
use crate::nutrient::NutrientId;
use crate::reference;

const NUTRIENTS: &str = include_str!("../../data/label-nutrients.csv");

pub(super) const ID: &str = "id";
pub(super) const NAME: &str = "name";
pub(super) const MAKER: &str = "maker";
pub(super) const GROUP: &str = "group";
pub(super) const PER: &str = "per";
pub(super) const SERVING: &str = "serving";
pub(super) const DENSITY: &str = "density";
pub(super) const MEASURE: &str = "measure";
pub(super) const DAILY_VALUES: &str = "daily-values";
pub(super) const BARCODE: &str = "barcode";

pub(super) const CARBOHYDRATE: &str = "carbohydrate";
pub(super) const TOTAL_CARBOHYDRATE: &str = "total-carbohydrate";
pub(super) const SALT: &str = "salt";

/// The columns that are not nutrients, in the order they are written in.
const FIXED: [&str; 10] = [
    ID,
    NAME,
    MAKER,
    GROUP,
    PER,
    SERVING,
    DENSITY,
    MEASURE,
    DAILY_VALUES,
    BARCODE,
];

/// A nutrient as labels declare it.
#[derive(Debug, Deserialize)]
pub(super) struct LabelNutrient {
    /// Heading of its column.
    pub(super) column: String,
    also: String,
    /// The nutrient it is; `None` where no table counts it.
    pub(super) number: Option<NutrientId>,
    counts_as: String,
    infants: Option<f64>,
    children: Option<f64>,
}

/// For whom a Daily Value holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum DailyValues {
    Infants,
    Children,
}

impl LabelNutrient {
    /// What the nutrient is when its unit is followed by, or is, `word` (`RAE`, `IU`, `%`).
    pub(super) fn counted_as(&self, word: &str) -> Option<NutrientId> {
        self.counts_as.split('|').find_map(|entry| {
            let (known, number) = entry.split_once(':')?;
            let number = number.parse().ok()?;
            (known == word).then_some(NutrientId::new(number))
        })
    }

    /// The Daily Value in the nutrient's unit.
    pub(super) fn daily_value(&self, who: DailyValues) -> Option<f64> {
        match who {
            DailyValues::Infants => self.infants,
            DailyValues::Children => self.children,
        }
    }

    /// The larger of the Daily Values.
    pub(super) fn largest_daily_value(&self) -> Option<f64> {
        let larger = |a: f64, b: f64| a.max(b);
        [self.infants, self.children]
            .into_iter()
            .flatten()
            .reduce(larger)
    }
}

/// All nutrients of labels, in the order of the table.
pub(super) fn label_nutrients() -> Result<&'static [LabelNutrient], Error> {
    static TABLE: OnceLock<Vec<LabelNutrient>> = OnceLock::new();
    if let Some(known) = TABLE.get() {
        return Ok(known);
    }
    let read = reference::rows("label-nutrients.csv", NUTRIENTS)?;
    Ok(TABLE.get_or_init(|| read))
}

/// Every column that is read, in the order they are written in.
pub(super) fn columns() -> Result<impl Iterator<Item = &'static str>, Error> {
    let counted = label_nutrients()?.iter().filter(|n| n.number.is_some());
    Ok(FIXED.into_iter().chain(counted.map(|n| n.column.as_str())))
}

/// What a heading means.
pub(super) enum Heading {
    /// A column that is read.
    Known(&'static str),
    /// A nutrient that labels give and that no table here counts.
    NotCounted,
    /// Nothing that is known.
    Unknown,
}

/// The column of a heading: `Vitamin C`, `vitamin_c` and `vitamin-c` are the same.
pub(super) fn heading(text: &str) -> Result<Heading, Error> {
    let words = text.split(|c: char| c.is_whitespace() || c == '-' || c == '_');
    let words: Vec<_> = words.filter(|word| !word.is_empty()).collect();
    let wanted = words.join("-").to_lowercase();
    if let Some(column) = FIXED.into_iter().find(|column| *column == wanted) {
        return Ok(Heading::Known(column));
    }
    let found = label_nutrients()?.iter().find(|nutrient| {
        nutrient.column == wanted || nutrient.also.split('|').any(|other| other == wanted)
    });
    Ok(match found {
        Some(nutrient) if nutrient.number.is_some() => Heading::Known(&nutrient.column),
        Some(_) => Heading::NotCounted,
        None => Heading::Unknown,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::nutrient::nutrient;

    #[test]
    fn every_row_is_a_nutrient_of_the_table() {
        for row in label_nutrients().unwrap() {
            let counted = row.counts_as.split('|').filter(|entry| !entry.is_empty());
            let counted = counted.map(|entry| row.counted_as(entry.split(':').next().unwrap()));
            for id in counted.chain([row.number]).flatten() {
                assert!(nutrient(id).unwrap().is_some(), "{}: {id}", row.column);
            }
        }
    }

    #[test]
    fn no_heading_means_two_columns() {
        let rows = label_nutrients().unwrap();
        let others = |row: &'static LabelNutrient| row.also.split('|').filter(|a| !a.is_empty());
        let mut all: Vec<_> = rows.iter().flat_map(others).collect();
        all.extend(FIXED);
        all.extend(rows.iter().map(|row| row.column.as_str()));
        let count = all.len();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), count);
    }

    #[test]
    fn headings_are_read_as_labels_write_them() {
        for (text, column) in [
            ("Vitamin C", "vitamin-c"),
            ("of which saturates", "saturated"),
            ("Dietary Fiber", "fibre"),
            (" DAILY_VALUES", "daily-values"),
        ] {
            assert!(matches!(heading(text).unwrap(), Heading::Known(found) if found == column));
        }
        assert!(matches!(heading("iodine").unwrap(), Heading::NotCounted));
        assert!(matches!(heading("vitamin").unwrap(), Heading::Unknown));
    }
}
