//! Purchases and cubes thrown away as they are recorded, for other programs.

use jiff::civil::Date;
use serde::Serialize;

use crate::cost::Money;
use crate::notebook::{FrozenBatch, Purchase, Settings};
use crate::words::counted;

/// A purchase that was recorded.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct PurchaseReport {
    pub schema: u32,
    pub entry: i64,
    pub day: Date,
    pub food: String,
    pub name: String,
    pub grams: f64,
    pub price: Money,
    pub per_100g: Option<Money>,
    pub currency: String,
    pub store: Option<String>,
    /// The months, 1 to 12, in which the book says that the food is in season; `None` where the book has no season for
    /// it.
    pub season_months: Option<Vec<u32>>,
}

/// Cubes that were thrown away.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct DiscardReport {
    pub schema: u32,
    pub day: Date,
    pub currency: String,
    pub discarded: Vec<DiscardLine>,
    pub cubes_left: u32,
}

/// Cubes of one batch that were thrown away.
#[derive(Debug, Clone, Serialize)]
pub struct DiscardLine {
    pub batch: i64,
    pub recipe: String,
    pub title: String,
    pub cubes: u32,
    /// The cost of the cubes; `None` where no price is known.
    pub cost: Option<Money>,
    /// Whether every price is known; else the cost is a lower bound.
    pub complete: bool,
}

impl PurchaseReport {
    /// Reports the purchase that was recorded as this entry.
    pub fn new(entry: i64, purchase: &Purchase, settings: &Settings) -> Self {
        let store = Some(purchase.store.clone());
        Self {
            schema: 1,
            entry,
            day: purchase.day,
            food: purchase.food.clone(),
            name: purchase.name.clone(),
            grams: purchase.mass.grams(),
            price: purchase.price,
            per_100g: purchase.per_100_g(),
            currency: settings.currency.clone(),
            store: store.filter(|store| !store.is_empty()),
            season_months: settings.seasons.get(&purchase.food).cloned(),
        }
    }
}

impl DiscardReport {
    /// Reports the cubes that were thrown away on a day; `cubes_left` of the batch remain.
    pub fn new(
        day: Date,
        discarded: &[(FrozenBatch, u32)],
        currency: &str,
        cubes_left: u32,
    ) -> Self {
        let lines = discarded.iter().map(|(batch, cubes)| {
            let beside = batch.beside(None);
            DiscardLine {
                batch: batch.id,
                recipe: batch.name.clone(),
                title: batch.title.clone(),
                cubes: *cubes,
                cost: beside.cost_of(batch.cube * f64::from(*cubes)),
                complete: beside.complete(),
            }
        });
        Self {
            schema: 1,
            day,
            currency: currency.to_string(),
            discarded: lines.collect(),
            cubes_left,
        }
    }

    /// A sentence for each batch.
    pub fn sentences(&self) -> impl Iterator<Item = String> {
        self.discarded.iter().map(|line| {
            let bound = if line.complete { "" } else { "at least " };
            let worth = line.cost.map_or_else(String::new, |worth| {
                format!(", worth {bound}{} {}", worth.shown(), self.currency)
            });
            let (title, batch) = (&line.title, line.batch);
            format!(
                "Threw away {} of {title} (#{batch}){worth}.",
                counted(line.cubes, "cube")
            )
        })
    }
}
