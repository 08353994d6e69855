//! Rules of thumb of the kitchen: how long a thing is cooked, how much liquid makes it thin.

use data_import::{Error, reference};
use serde::Deserialize;

use super::{FoodClass, Method};

/// One rule of thumb.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct Practice {
    /// Stable name.
    pub id: String,
    method: String,
    classes: String,
    /// In words.
    pub text: String,
    /// "common practice, no source", or a publication.
    pub source: String,
}

/// The table `kitchen-practice.csv`.
#[derive(Debug)]
pub struct PracticeTable {
    rows: Vec<Practice>,
}

impl PracticeTable {
    /// Reads the built-in table.
    pub fn builtin() -> Result<Self, Error> {
        let rows = reference::rows("kitchen-practice.csv", reference::KITCHEN_PRACTICE)?;
        Ok(Self { rows })
    }

    /// How a class of food is cooked by a method.
    pub fn cooking(&self, class: &FoodClass, method: Method) -> Option<&Practice> {
        self.rows.iter().find(|row| {
            let of_class = row.classes.is_empty() || row.classes.split('|').any(|c| c == class.0);
            row.method == method.word() && of_class
        })
    }

    /// A rule of thumb by its name.
    pub fn rule(&self, id: &str) -> Option<&Practice> {
        self.rows.iter().find(|row| row.id == id)
    }
}
