//! The share of its solids that a drained food keeps.

use std::sync::OnceLock;

use data_import::{Error, reference};
use serde::Deserialize;

use super::{FoodClass, Method};

#[derive(Debug, Deserialize)]
struct SolidsRow {
    classes: String,
    methods: String,
    kept: f64,
}

/// The share of its dry solids, 0 to 1, that a class of food keeps when it is drained; 1 where
/// nothing is drained or no figure was found.
pub(super) fn solids_kept(class: &FoodClass, method: Method) -> Result<f64, Error> {
    static BUILTIN: OnceLock<Vec<SolidsRow>> = OnceLock::new();
    let rows = match BUILTIN.get() {
        Some(rows) => rows,
        None => {
            let read = reference::rows("solids-kept.csv", reference::SOLIDS_KEPT)?;
            BUILTIN.get_or_init(|| read)
        }
    };
    let names = |list: &str, wanted: &str| list.split('|').any(|name| name == wanted);
    let row = rows
        .iter()
        .find(|row| names(&row.classes, &class.0) && names(&row.methods, method.word()));
    Ok(row.map_or(1.0, |row| row.kept))
}
