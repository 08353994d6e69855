//! The cost of every batch against the jar, as JSON. Money is a decimal string.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::Serialize;

use crate::cost::{Comparison, Money};
use crate::household::{Outlay, SavedSoFar, ThrownAway};

/// The cost of every batch against the jar.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct MoneyReport {
    pub schema: u32,
    pub currency: String,
    /// Purchases in other money, by its currency, which are in no sum.
    pub purchases_in_other_money: BTreeMap<String, u32>,
    pub batches: Vec<BatchMoney>,
    pub recipes: Vec<RecipeMoney>,
    /// Over all batches that can be compared; `None` where none can.
    pub saved: Option<SavedSoFar>,
    /// `None` where no cube of them was thrown away.
    pub thrown_away: Option<ThrownAway>,
    pub batches_compared: usize,
    /// The titles of those dearer than the jar.
    pub dearer: Vec<String>,
}

/// A batch beside the jar.
#[derive(Debug, Clone, Serialize)]
pub struct BatchMoney {
    pub batch: i64,
    pub recipe: String,
    pub title: String,
    pub made: Date,
    #[serde(flatten)]
    pub beside: BesideTheJar,
    /// Up to this batch; `None` before the first that can be compared.
    pub saved_so_far: Option<SavedSoFar>,
}

/// All batches of a recipe beside the jar.
#[derive(Debug, Clone, Serialize)]
pub struct RecipeMoney {
    pub recipe: String,
    pub title: String,
    pub batches: u32,
    #[serde(flatten)]
    pub beside: BesideTheJar,
}

/// A cost beside the jar. Without every price, a cost is a lower bound, and what is saved an upper one.
#[derive(Debug, Clone, Serialize)]
pub struct BesideTheJar {
    pub mass_g: f64,
    pub cost: Option<Money>,
    pub complete: bool,
    /// Ids of the foods without a price.
    pub unpriced: Vec<String>,
    pub per_100g: Option<Money>,
    pub per_oz: Option<Money>,
    pub ready_made: Option<String>,
    pub ready_made_cost: Option<Money>,
    pub ready_made_per_100g: Option<Money>,
    /// Negative where the jar is cheaper.
    pub saved: Option<Money>,
}

impl MoneyReport {
    /// Builds the report from the outlay of the household.
    pub fn new(outlay: &Outlay) -> Self {
        let batches = outlay.batches.iter().zip(outlay.running());
        let batches = batches.map(|((batch, beside), so_far)| BatchMoney {
            batch: batch.id,
            recipe: batch.name.clone(),
            title: batch.title.clone(),
            made: batch.day,
            beside: beside.into(),
            saved_so_far: so_far,
        });
        let recipes = outlay.recipes().into_iter().map(|recipe| RecipeMoney {
            beside: (&recipe.beside).into(),
            recipe: recipe.name,
            title: recipe.title,
            batches: recipe.batches,
        });
        Self {
            schema: 1,
            currency: outlay.currency.clone(),
            purchases_in_other_money: outlay.in_other_money.clone(),
            batches: batches.collect(),
            recipes: recipes.collect(),
            saved: outlay.saved(),
            thrown_away: outlay.wasted(),
            batches_compared: outlay.compared(),
            dearer: outlay.dearer().into_iter().map(String::from).collect(),
        }
    }
}

impl From<&Comparison> for BesideTheJar {
    fn from(beside: &Comparison) -> Self {
        Self {
            mass_g: beside.mass.grams(),
            cost: beside.cost.known,
            complete: beside.complete(),
            unpriced: beside.cost.unpriced.clone(),
            per_100g: beside.per_100_g(),
            per_oz: beside.per_ounce(),
            ready_made: beside.ready_made.as_ref().map(|jar| jar.name.clone()),
            ready_made_cost: beside.ready_made_of(beside.mass),
            ready_made_per_100g: beside.ready_made_per_100_g(),
            saved: beside.saving(),
        }
    }
}
