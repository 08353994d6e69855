//! A file of own foods to start from.

use super::columns::columns;
use crate::error::Error;

/// The template; the line that says `FURTHER` is replaced by the columns it does not show.
const TEMPLATE: &str = include_str!("../../data/own-foods-template.csv");
const FURTHER: &str = "#   FURTHER\n";
/// Where a list of columns is broken.
const WIDTH: usize = 88;

/// A commented file with one invented example.
///
/// Errors: a table of the program does not read.
pub fn template() -> Result<String, Error> {
    let shown = TEMPLATE.lines().find(|line| line.starts_with("id,"));
    let shown: Vec<_> = shown.unwrap_or("").split(',').collect();
    let mut further = String::new();
    let mut line = String::from("#  ");
    for column in columns()?.filter(|column| !shown.contains(column)) {
        if line.len() + 1 + column.len() > WIDTH {
            further = further + &line + "\n";
            line = String::from("#  ");
        }
        line = line + " " + column;
    }
    Ok(TEMPLATE.replace(FURTHER, &(further + &line + "\n")))
}
