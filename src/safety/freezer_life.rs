//! The days that cubes may keep, by the foods in them: the table `freezer-life.csv`.

use data_import::{Error, reference};
use serde::Deserialize;

/// The longest time that published charts keep a kind of food.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct FreezerLimit {
    /// The kind of food: "meat, fish or egg".
    pub kind: String,
    classes: String,
    /// Days at -18 degrees Celsius.
    pub limit_days: u32,
    /// Publication.
    pub source: String,
}

impl FreezerLimit {
    /// The limit for a batch of foods of these cooking classes.
    pub fn of(classes: &[&str]) -> Result<Option<Self>, Error> {
        let rows: Vec<Self> = reference::rows("freezer-life.csv", reference::FREEZER_LIFE)?;
        let fits = |row: &Self| {
            let listed = |class: &&str| row.classes.split('|').any(|listed| listed == *class);
            row.classes.is_empty() || classes.iter().any(listed)
        };
        Ok(rows.into_iter().find(fits))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Published charts: meat and egg one to two months, mixes three to four.
    #[test]
    fn meat_keeps_less_long_than_vegetables() {
        let days = |classes: &[&str]| FreezerLimit::of(classes).unwrap().unwrap().limit_days;
        assert_eq!(days(&["roots", "beef"]), 60);
        assert_eq!(days(&["eggs"]), 60);
        assert_eq!(days(&["roots", "legumes-quick"]), 120);
    }
}
