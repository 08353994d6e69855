//! Supplements over the days of a visit: what was given, on how many days, and what was missed.

use data_import::{Error, nutrient};
use serde::Serialize;

use crate::notebook::SupplementDose;
use crate::report::number::trimmed;
use crate::words::counted;

/// What a supplement counts as, shown wherever one is recorded.
pub const SUPPLEMENT_COUNTS: &str = "It counts in the week and on the page for the visit as a source of its own; it is \
     no meal and no first taste.";

/// A supplement over some days.
#[derive(Debug, Clone, Serialize)]
pub struct SupplementLine {
    /// The product, in the parent's words.
    pub product: String,
    /// The tag of the nutrient that it gives.
    pub nutrient: &'static str,
    /// The unit of the amounts.
    pub unit: &'static str,
    /// The dose of the last day on which it was given.
    pub dose: f64,
    /// The days on which it was given.
    pub days_given: usize,
    /// The days on which it was missed.
    pub days_missed: usize,
    /// What it gave in all.
    pub total: f64,
    /// The line in words.
    pub text: String,
}

/// A line for each product.
pub(super) fn lines(doses: &[SupplementDose]) -> Result<Vec<SupplementLine>, Error> {
    let mut products: Vec<&str> = doses.iter().map(|dose| dose.product.as_str()).collect();
    products.sort_unstable();
    products.dedup();
    let mut lines = Vec::new();
    for product in products {
        let of_it = || doses.iter().filter(|dose| dose.product == product);
        let given = || of_it().filter(|dose| dose.amount > 0.0);
        let Some(last) = given().next_back().or_else(|| of_it().next_back()) else {
            continue;
        };
        let named = nutrient(last.nutrient)?;
        let unit = named.map_or("", |one| one.unit.as_str());
        let (days_given, days) = (given().count(), of_it().count());
        let missed = match days - days_given {
            0 => String::new(),
            missed => format!(", missed on {missed}"),
        };
        lines.push(SupplementLine {
            product: product.to_string(),
            nutrient: named.map_or("", |one| one.tag.as_str()),
            unit,
            dose: last.amount,
            days_given,
            days_missed: days - days_given,
            total: given().map(|dose| dose.amount).sum(),
            text: format!(
                "{product}: {} {unit} a day, given on {}{missed}",
                trimmed(last.amount, 2),
                counted(days_given, "day")
            ),
        });
    }
    Ok(lines)
}
