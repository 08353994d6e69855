//! The shopping list as a file: plain text to send, and CSV.

use std::fmt::Write as _;

use super::cell::cell;
use super::shop::ShopPage;
use crate::words::{self, capital};

impl ShopPage<'_> {
    /// The list as plain text to send: a line for each food, those that are ticked off marked.
    pub fn plain(&self) -> String {
        let mut text = format!("To buy, {}\n", words::days(self.from, self.to));
        for shelf in &self.list.shelves {
            let _ = write!(text, "\n{}\n", shelf.name);
            for item in &shelf.items {
                let [name, needed, buy, _, _] = Self::cells(item);
                let sign = if item.ticked() { 'x' } else { ' ' };
                let buy = if item.packs.is_some() {
                    format!(", buy {buy}")
                } else {
                    String::new()
                };
                let name = capital(&name);
                let _ = writeln!(text, "[{sign}] {name}: {needed}{buy}");
            }
        }
        text
    }

    /// The list as CSV, a row for each food; a cost that is not known is empty.
    pub fn csv(&self) -> Result<String, csv::Error> {
        let mut csv = csv::Writer::from_writer(Vec::new());
        csv.write_record([
            "shelf", "food", "name", "needed_g", "buy_g", "packs", "pack_g", "cost", "currency",
            "for", "ticked",
        ])?;
        for shelf in &self.list.shelves {
            for item in &shelf.items {
                let pack = item.packs.as_ref();
                csv.write_record([
                    shelf.name,
                    item.food.as_str(),
                    &cell(&item.name),
                    &item.needed.grams().to_string(),
                    &item.buy.grams().to_string(),
                    &pack.map_or_else(String::new, |pack| pack.count.to_string()),
                    &pack.map_or_else(String::new, |pack| pack.last.mass.grams().to_string()),
                    &item
                        .cost()
                        .map_or_else(String::new, |cost| cost.to_string()),
                    &cell(self.currency),
                    &cell(&item.used_for.join(" ")),
                    if item.ticked() { "yes" } else { "" },
                ])?;
            }
        }
        let bytes = csv.into_inner().map_err(csv::IntoInnerError::into_error)?;
        Ok(String::from_utf8_lossy(&bytes).into_owned())
    }
}
