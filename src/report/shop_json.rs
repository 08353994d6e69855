//! The shopping list as JSON.

use serde::Serialize;

use super::food_facts::{BuyingEntry, buying};
use super::shop::ShopPage;
use crate::cost::Money;
use crate::planning::shop::Item;
use crate::safety::Objection;

/// The list for other programs.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct ShopReport {
    pub schema: u32,
    pub from: String,
    pub to: String,
    pub currency: String,
    pub objections: Vec<Objection>,
    pub shelves: Vec<ShelfReport>,
    /// The cost of the foods with a price; `null` where no food has one.
    pub cost: Option<Money>,
    pub complete: bool,
    /// Ids of the foods without a price.
    pub unpriced: Vec<String>,
    /// Ids of the foods to be cooked within a week, those that keep shortest first.
    pub cook_first: Vec<String>,
}

/// The foods that stand together in a shop.
#[derive(Debug, Clone, Serialize)]
pub struct ShelfReport {
    pub name: &'static str,
    pub items: Vec<ItemReport>,
}

/// A food on the list; masses are as bought, refuse included.
#[derive(Debug, Clone, Serialize)]
pub struct ItemReport {
    pub food: String,
    pub name: String,
    pub needed_g: f64,
    pub buy_g: f64,
    pub packs: Option<u32>,
    pub pack_g: Option<f64>,
    pub cost: Option<Money>,
    pub in_season: Option<bool>,
    /// The usual cost, where no purchase is on record: in no sum.
    pub usual_cost: Option<Money>,
    pub buying: BuyingEntry,
    #[serde(rename = "for")]
    pub used_for: Vec<String>,
    /// Whether the food was ticked off, and enough of it is left.
    pub ticked: bool,
    /// What is left of what was ticked off.
    pub at_hand_g: f64,
}

impl ShopReport {
    /// Builds the report of a list.
    pub fn new(page: &ShopPage<'_>) -> Self {
        let unpriced: Vec<String> = page
            .list
            .unpriced()
            .map(|item| item.food.to_string())
            .collect();
        let item = |item: &Item| ItemReport {
            food: item.food.to_string(),
            name: item.name.clone(),
            needed_g: item.needed.grams(),
            buy_g: item.buy.grams(),
            packs: item.packs.as_ref().map(|packs| packs.count),
            pack_g: item.packs.as_ref().map(|packs| packs.last.mass.grams()),
            cost: item.cost(),
            in_season: item.in_season(page.month),
            usual_cost: item.usual_cost(),
            buying: buying(&item.facts, Some(page.month)),
            used_for: item.used_for.clone(),
            ticked: item.ticked(),
            at_hand_g: item.at_hand.grams(),
        };
        let shelves = page.list.shelves.iter().map(|shelf| ShelfReport {
            name: shelf.name,
            items: shelf.items.iter().map(item).collect(),
        });
        Self {
            schema: 1,
            from: page.from.to_string(),
            to: page.to.to_string(),
            currency: page.currency.to_string(),
            objections: page.objections.to_vec(),
            shelves: shelves.collect(),
            cost: page.list.cost(),
            complete: unpriced.is_empty(),
            unpriced,
            cook_first: page
                .list
                .cook_first()
                .iter()
                .map(|(item, _)| item.food.to_string())
                .collect(),
        }
    }
}
