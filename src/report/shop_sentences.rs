//! The sentences below a shopping list: its cost, usual prices, what to cook first, seasons, refuse.

use std::collections::BTreeSet;

use super::number::kitchen_mass;
use super::plan::short_name;
use super::shop::ShopPage;
use crate::buying::{Storage, TrimmedGoods, UsPrice};
use crate::next_step::{NextStep, Remark};
use crate::planning::shop::Item;
use crate::words::{capital, joined};

impl ShopPage<'_> {
    /// What to know about the list: usual prices, what keeps shortest, refuse.
    pub fn to_mind(&self) -> Vec<String> {
        let all = [
            self.prices_said(),
            self.usual(),
            self.cook_first(),
            self.sold_trimmed(),
        ];
        all.into_iter().flatten().collect()
    }

    /// `fresh 6.80, frozen 5.17 USD a kg`, where both have a usual price.
    pub fn fresh_and_frozen(item: &Item) -> Option<String> {
        let prices = &item.facts.us_prices;
        let of = |form: &str| prices.iter().find(|price| price.form == form);
        let (fresh, frozen) = (of("fresh")?, of("frozen")?);
        Some(format!(
            "fresh {}, frozen {} {} a kg",
            fresh.usd_per_kg.shown(),
            frozen.usd_per_kg.shown(),
            UsPrice::CURRENCY
        ))
    }

    /// The source of the prices of fresh and frozen goods; `None` where no food has both.
    fn prices_said(&self) -> Option<String> {
        let mut items = self.list.items();
        items
            .any(|item| Self::fresh_and_frozen(item).is_some())
            .then(|| format!("Fresh and frozen: {}; in no sum.", UsPrice::MARK))
    }

    /// What to buy of vegetables that shops sell trimmed, while the dataset counts the refuse of the whole plant.
    ///
    /// `None` where there are none on the list.
    fn sold_trimmed(&self) -> Option<String> {
        let trimmed = self.list.items().filter_map(|item| {
            let goods = item.facts.trimmed.as_ref()?;
            let bought = kitchen_mass(goods.bought_for(item.edible));
            Some(format!(
                "{} hold as much, since {}",
                bought,
                goods.in_words()
            ))
        });
        let trimmed = joined(trimmed, "; ");
        (!trimmed.is_empty()).then(|| {
            format!(
                "Refuse is counted as of the whole plant: {trimmed} ({}).",
                TrimmedGoods::SOURCE
            )
        })
    }

    /// The usual prices of the foods without a price on record, in one sentence; `None` where there are none.
    fn usual(&self) -> Option<String> {
        let usual = self.list.items().filter_map(|item| {
            let cost = item.usual_cost()?.shown();
            Some(format!("{} {cost}", short_name(&item.name)))
        });
        let usual = joined(usual, "; ");
        (!usual.is_empty()).then(|| {
            let currency = UsPrice::CURRENCY;
            format!(
                "Usually, {} in {currency}: {usual}. They are in no sum.",
                UsPrice::MARK
            )
        })
    }

    /// The foods to be cooked within a week, those that keep shortest first; `None` where there are none.
    fn cook_first(&self) -> Option<String> {
        let first = self.list.cook_first();
        let first = first.iter().filter_map(|(item, storage)| {
            let keeps = storage.in_short()?;
            Some(format!("{} {keeps}", short_name(&item.name)))
        });
        let first = joined(first, "; ");
        (!first.is_empty()).then(|| format!("Cook first: {first} ({}).", Storage::SOURCE))
    }

    /// The sources of the seasons of the list: the notes of the book before the table.
    pub(super) fn season_sources(&self) -> String {
        let noted = self.list.items().any(|item| !item.season.is_empty());
        let of_table = self.list.items().filter(|item| item.season.is_empty());
        let of_table = of_table.filter_map(|item| Some(item.facts.seasons.first()?.source));
        let mut seen = BTreeSet::new();
        let of_table = of_table.filter(|source| seen.insert(*source));
        joined(
            noted.then_some("your notes").into_iter().chain(of_table),
            ", else by ",
        )
    }

    /// The total cost, as far as prices are known.
    pub fn in_all(&self) -> Remark {
        let unpriced: Vec<String> = self
            .list
            .unpriced()
            .map(|item| short_name(&item.name))
            .collect();
        match (self.list.cost(), unpriced.as_slice()) {
            (Some(cost), []) => format!("In all: {} {}", cost.shown(), self.currency).into(),
            (Some(cost), missing) => format!(
                "In all: at least {} {}; no price yet for {}",
                cost.shown(),
                self.currency,
                missing.join("; ")
            )
            .into(),
            (None, _) => Remark::with("No price is on record yet", NextStep::RecordPrices),
        }
    }
}

/// The sentence on a food that was ticked off and of which more is needed by now.
pub fn short_of(item: &Item) -> Option<String> {
    let left = kitchen_mass(item.short_of()?);
    let name = capital(&short_name(&item.name));
    Some(format!(
        "{name}: ticked off, but more is needed by now than the {left} that are left"
    ))
}
