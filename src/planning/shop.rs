//! The shopping list of a plan: by food, as bought, in whole packs where a pack is known, with the
//! cost.

use std::collections::BTreeMap;

use data_import::{Error, Food, FoodId, group};

use crate::buying::{BuyingFacts, Country, Storage};
use crate::cost::Money;
use crate::food::share_without_refuse;
use crate::notebook::Purchase;
use crate::quantity::Mass;

/// The days of keeping below which a food is listed to be cooked first (judgement).
const A_WEEK: u32 = 7;
/// The share of a pack that may be lacking without another pack, for rounding.
const SLACK: f64 = 1e-9;

/// The shelves of a shop in the order of a walk through it, and the food groups of USDA SR28 on
/// each.
const SHELVES: [(&str, &[&str]); 13] = [
    ("Vegetables", &[group::VEGETABLES]),
    ("Fruit", &[group::FRUITS]),
    (
        "Meat and poultry",
        &[
            group::POULTRY,
            group::SAUSAGES,
            group::PORK,
            group::BEEF,
            group::LAMB_VEAL_AND_GAME,
        ],
    ),
    ("Fish", &[group::FISH_AND_SHELLFISH]),
    ("Dairy and eggs", &[group::DAIRY_AND_EGGS]),
    (
        "Grains and cereals",
        &[group::BREAKFAST_CEREALS, group::GRAINS_AND_PASTA],
    ),
    ("Pulses", &[group::LEGUMES]),
    ("Nuts and seeds", &[group::NUTS_AND_SEEDS]),
    ("Oils and fats", &[group::FATS_AND_OILS]),
    ("Herbs and spices", &[group::HERBS_AND_SPICES]),
    ("Bakery", &[group::BAKED_PRODUCTS]),
    ("Baby food", &[group::BABY_FOODS]),
    ("Drinks", &[group::BEVERAGES]),
];

/// The amount of a food that a planned batch or meal needs.
#[derive(Debug, Clone)]
pub struct FoodNeed {
    /// The food.
    pub food: Food,
    /// The mass as bought, refuse included.
    pub purchased: Mass,
    /// The batch or meal that needs it.
    pub used_for: String,
}

impl FoodNeed {
    /// The part of the food that is eaten; all of it where no refuse is known.
    pub fn edible(&self) -> Mass {
        self.purchased * share_without_refuse(&self.food)
    }

    /// The need for a food that is eaten as it is: its refuse is bought with it.
    pub fn of_table(food: Food, eaten: Mass, used_for: String) -> Self {
        Self {
            purchased: eaten * (1.0 / share_without_refuse(&food)),
            food,
            used_for,
        }
    }
}

/// A line of the list.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// The food.
    pub food: FoodId,
    /// The name of the food.
    pub name: String,
    /// The amount needed, as bought.
    pub needed: Mass,
    /// The part of the amount needed that is eaten.
    pub edible: Mass,
    /// The amount to buy: whole packs, or a kitchen amount.
    pub buy: Mass,
    /// Packs as the last one that was bought; `None` where none is on record.
    pub packs: Option<Packs>,
    /// Months (1 to 12) in which the food is in season by the household's notes; empty where it
    /// notes none.
    pub season: Vec<u32>,
    /// How the food keeps, its season in the household's country, residues counted in samples of
    /// it, its usual price.
    pub facts: BuyingFacts,
    /// The batches and meals that need it, each once.
    pub used_for: Vec<String>,
    /// The mass left since the food was ticked off; zero where it was not.
    pub at_hand: Mass,
}

/// Packs of a size that was bought before.
#[derive(Debug, Clone, PartialEq)]
pub struct Packs {
    /// The number of packs.
    pub count: u32,
    /// The last purchase, whose mass and price are assumed for the next.
    pub last: Purchase,
}

/// The share by which a ticked amount may be short of what is needed, since a scale and a cook are
/// not exact (judgement).
const SHORT: f64 = 0.05;

impl Item {
    /// Whether the item was ticked off, and enough of it is left.
    pub fn ticked(&self) -> bool {
        self.at_hand > Mass::ZERO && self.at_hand >= self.needed * (1.0 - SHORT)
    }

    /// The mass left, where the item was ticked off and more is needed by now.
    pub fn short_of(&self) -> Option<Mass> {
        Some(self.at_hand).filter(|left| *left > Mass::ZERO && !self.ticked())
    }

    /// The cost at the last price; `None` without one.
    pub fn cost(&self) -> Option<Money> {
        let packs = self.packs.as_ref()?;
        Some(packs.last.price.times(packs.count))
    }

    /// Whether the food is in season in a month (1 to 12): by the household's notes, else by the
    /// table of its country; `None` without either.
    pub fn in_season(&self, month: u32) -> Option<bool> {
        if self.season.is_empty() {
            let of_country = self.facts.seasons.first();
            return of_country.map(|season| season.holds(month));
        }
        Some(self.season.contains(&month))
    }

    /// The usual price of what is needed, where no purchase is on record: never part of a cost.
    pub fn usual_cost(&self) -> Option<Money> {
        let price = self
            .facts
            .us_prices
            .first()
            .filter(|_| self.packs.is_none());
        price?.of_mass(self.needed)
    }
}

/// A shelf of the shop.
#[derive(Debug, Clone, PartialEq)]
pub struct ShopShelf {
    /// The name of the shelf.
    pub name: &'static str,
    /// The items of the shelf, by name.
    pub items: Vec<Item>,
}

/// The shopping list.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ShoppingList {
    /// The shelves of the shop.
    pub shelves: Vec<ShopShelf>,
}

impl ShoppingList {
    /// Adds up needs, food by food. `last` is the last purchase of a food, `seasons` the
    /// household's notes by id.
    pub fn of(
        needs: &[FoodNeed],
        last: &BTreeMap<FoodId, Purchase>,
        seasons: &BTreeMap<String, Vec<u32>>,
    ) -> Self {
        let mut shelves: BTreeMap<usize, ByFood<'_>> = BTreeMap::new();
        for need in needs {
            let food = &need.food;
            let shelf = shelves.entry(shelf_of(food)).or_default();
            shelf.entry((&food.name, &food.id)).or_default().push(need);
        }
        let shelf = |(shelf, foods): (usize, ByFood<'_>)| ShopShelf {
            name: SHELVES.get(shelf).map_or("Other", |(name, _)| name),
            items: foods
                .into_values()
                .filter_map(|needs| item(&needs, last, seasons))
                .collect(),
        };
        Self {
            shelves: shelves.into_iter().map(shelf).collect(),
        }
    }

    /// Notes the masses left of the foods that were ticked off.
    #[must_use]
    pub fn with_ticks(mut self, left: &BTreeMap<FoodId, Mass>) -> Self {
        for item in self.shelves.iter_mut().flat_map(|shelf| &mut shelf.items) {
            item.at_hand = left.get(&item.food).copied().unwrap_or(Mass::ZERO);
        }
        self
    }

    /// All lines of the list.
    pub fn items(&self) -> impl Iterator<Item = &Item> {
        self.shelves.iter().flat_map(|shelf| &shelf.items)
    }

    /// The total cost of the items with a price; `None` where no item has one.
    pub fn cost(&self) -> Option<Money> {
        let costs: Vec<Money> = self.items().filter_map(Item::cost).collect();
        (!costs.is_empty()).then(|| costs.into_iter().sum())
    }

    /// The items that keep shortest, the shortest first: those that have to be cooked within a
    /// week.
    pub fn cook_first(&self) -> Vec<(&Item, &Storage)> {
        let keeps = |item| {
            let item: &Item = item;
            let storage = item.facts.storage.as_ref()?;
            let days = storage.shortest_days().filter(|days| *days < A_WEEK)?;
            Some((days, item, storage))
        };
        let mut first: Vec<_> = self.items().filter_map(keeps).collect();
        first.sort_by_key(|(days, item, _)| (*days, item.name.as_str()));
        first
            .into_iter()
            .map(|(_, item, storage)| (item, storage))
            .collect()
    }

    /// Looks up the buying facts of each item for a household.
    ///
    /// Errors: a table of the program cannot be read.
    pub fn with_facts(mut self, country: Option<Country>, currency: &str) -> Result<Self, Error> {
        let items = self.shelves.iter_mut().flat_map(|shelf| &mut shelf.items);
        for item in items {
            item.facts = BuyingFacts::of(&item.food)?.for_household(country, currency);
        }
        Ok(self)
    }

    /// The items without a price.
    pub fn unpriced(&self) -> impl Iterator<Item = &Item> {
        self.items().filter(|item| item.packs.is_none())
    }
}

/// Needs by name and id of the food.
type ByFood<'a> = BTreeMap<(&'a str, &'a FoodId), Vec<&'a FoodNeed>>;

/// The place of a food's shelf in [`SHELVES`]; behind the last for a food on none.
fn shelf_of(food: &Food) -> usize {
    let has = |(_, groups): &(&str, &[&str])| groups.contains(&food.group.as_str());
    SHELVES.iter().position(has).unwrap_or(SHELVES.len())
}

fn item(
    needs: &[&FoodNeed],
    last: &BTreeMap<FoodId, Purchase>,
    seasons: &BTreeMap<String, Vec<u32>>,
) -> Option<Item> {
    let food = &needs.first()?.food;
    let needed: Mass = needs.iter().map(|need| need.purchased).sum();
    let packs = last.get(&food.id).filter(|last| last.mass > Mass::ZERO);
    let packs = packs.map(|last| Packs {
        count: whole_packs(needed, last.mass),
        last: last.clone(),
    });
    let buy = match &packs {
        Some(packs) => packs.last.mass * f64::from(packs.count),
        None => kitchen_amount(needed),
    };
    let mut used_for: Vec<String> = needs.iter().map(|need| need.used_for.clone()).collect();
    used_for.sort();
    used_for.dedup();
    Some(Item {
        food: food.id.clone(),
        name: food.name.clone(),
        needed,
        buy,
        packs,
        season: seasons.get(food.id.as_str()).cloned().unwrap_or_default(),
        edible: needs.iter().map(|need| need.edible()).sum(),
        facts: BuyingFacts::default(),
        used_for,
        at_hand: Mass::ZERO,
    })
}

/// The number of packs that hold what is needed.
fn whole_packs(needed: Mass, pack: Mass) -> u32 {
    let packs = (needed / pack - SLACK).ceil().max(1.0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "at least one, and a float cast saturates"
    )]
    let packs = packs as u32;
    packs
}

/// A mass rounded up to a usual amount at a counter: 5 g below 50 g, 10 g below 250 g, 50 g below a
/// kilogram, else 100 g (common practice, no source).
fn kitchen_amount(needed: Mass) -> Mass {
    let grams = needed.grams();
    let step = match grams {
        ..50.0 => 5.0,
        ..250.0 => 10.0,
        ..1000.0 => 50.0,
        _ => 100.0,
    };
    Mass::from_grams((grams / step - SLACK).ceil().max(1.0) * step)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_needed_is_rounded_up_and_never_down() {
        let bought = |grams| kitchen_amount(Mass::from_grams(grams)).grams();
        assert_eq!([bought(0.4), bought(5.0), bought(5.1)], [5.0, 5.0, 10.0]);
        assert_eq!(
            [bought(83.0), bought(612.0), bought(1212.0)],
            [90.0, 650.0, 1300.0]
        );
        let packs = |needed, pack| whole_packs(Mass::from_grams(needed), Mass::from_grams(pack));
        assert_eq!(
            [packs(900.0, 450.0), packs(900.1, 450.0), packs(1.0, 450.0)],
            [2, 3, 1]
        );
    }
}
