//! Supplements such as drops of vitamin D or iron, with the dose of a day. They are never a meal
//! and never a first taste.

use data_import::NutrientId;
use jiff::ToSpan as _;
use jiff::civil::Date;
use serde::Serialize;

use super::error::BookError;
use super::sql::parsed;
use super::store::Store;

/// A supplement that is to be recorded.
#[derive(Debug, Clone, PartialEq)]
pub struct NewSupplement<'a> {
    /// The day.
    pub day: Date,
    /// The child.
    pub child: &'a str,
    /// The product, in the parent's words.
    pub product: &'a str,
    /// The nutrient that it gives.
    pub nutrient: NutrientId,
    /// The dose of a day, in the unit of the nutrient table; 0 where it was missed or is no longer
    /// given.
    pub amount: f64,
    /// Whether this is for the day alone; otherwise from this day until the next entry for the
    /// product.
    pub one_day: bool,
}

/// A supplement on a day.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SupplementDose {
    /// The day.
    pub day: Date,
    /// The product.
    pub product: String,
    /// The number of the nutrient in the dataset.
    #[serde(skip)]
    pub nutrient: NutrientId,
    /// The dose, in the unit of the nutrient table; 0 where it was missed.
    pub amount: f64,
}

struct SupplementEntry {
    entry: i64,
    day: Date,
    product: String,
    nutrient: NutrientId,
    amount: f64,
    one_day: bool,
}

impl Store {
    /// Records a supplement; returns the number of the entry.
    pub fn supplement(&mut self, new: &NewSupplement<'_>) -> Result<i64, BookError> {
        self.write_entry(
            new.day,
            "supplement",
            &[
                ("child", &new.child),
                ("product", &new.product),
                ("number", &new.nutrient.number()),
                ("amount", &new.amount),
                ("one_day", &new.one_day),
            ],
        )
    }

    /// The products on record for a child, each as it was first called.
    pub fn products(&self, child: &str) -> Result<Vec<String>, BookError> {
        let sql = "SELECT product FROM supplement JOIN entry ON entry.id = supplement.entry \
                   WHERE child = ?1 GROUP BY product ORDER BY min(entry.id)";
        self.rows(sql, [child], |row| row.get(0))
    }

    /// The dose of each supplement of a child on each day from one to another, both included; a
    /// missed dose is 0.
    pub fn doses(
        &self,
        child: &str,
        (from, to): (Date, Date),
    ) -> Result<Vec<SupplementDose>, BookError> {
        let sql = "SELECT entry.id, entry.day, product, number, amount, one_day FROM supplement \
                   JOIN entry ON entry.id = supplement.entry WHERE child = ?1 ORDER BY entry.id";
        let entries: Vec<SupplementEntry> = self.rows(sql, [child], |row| {
            Ok(SupplementEntry {
                entry: row.get(0)?,
                day: parsed(row, 1)?,
                product: row.get(2)?,
                nutrient: NutrientId::new(row.get(3)?),
                amount: row.get(4)?,
                one_day: row.get(5)?,
            })
        })?;
        let mut products: Vec<&str> = entries.iter().map(|entry| entry.product.as_str()).collect();
        products.sort_unstable();
        products.dedup();
        let mut doses = Vec::new();
        for day in from.series(1.day()).take_while(|day| *day <= to) {
            for product in &products {
                let of_it = || entries.iter().filter(|entry| entry.product == *product);
                if let Some(entry) = in_force(&of_it().collect::<Vec<_>>(), day) {
                    doses.push(SupplementDose {
                        day,
                        product: entry.product.clone(),
                        nutrient: entry.nutrient,
                        amount: entry.amount,
                    });
                }
            }
        }
        Ok(doses)
    }
}

/// The entry of a product that is in force on a day: the one for that day alone, else the last that
/// continues, unless that one ended it.
fn in_force<'a>(entries: &[&'a SupplementEntry], day: Date) -> Option<&'a SupplementEntry> {
    let alone = entries
        .iter()
        .filter(|entry| entry.one_day && entry.day == day);
    if let Some(alone) = alone.max_by_key(|entry| entry.entry) {
        return Some(alone);
    }
    let lasting = entries
        .iter()
        .filter(|entry| !entry.one_day && entry.day <= day);
    let last = lasting.max_by_key(|entry| (entry.day, entry.entry));
    last.copied().filter(|entry| entry.amount > 0.0)
}
