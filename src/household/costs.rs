//! The cost of all batches, compared with the jars.

use crate::words::{counted, joined};
use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::Serialize;

use crate::cost::{Comparison, Money};
use crate::notebook::{Book, BookError, FrozenBatch, Store};

/// The cost of all batches.
#[derive(Debug)]
pub struct Outlay {
    /// Currency of every price.
    pub currency: String,
    /// Every batch, the first on top, with the jar that it is compared with.
    pub batches: Vec<(FrozenBatch, Comparison)>,
    /// Cubes that were thrown away, by the number of their batch.
    pub thrown_away: BTreeMap<i64, u32>,
    /// Purchases that were paid in other money, by its currency: they are in no sum.
    pub in_other_money: BTreeMap<String, u32>,
}

/// Cubes that were thrown away, of the batches that can be compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct ThrownAway {
    /// The number of cubes.
    pub cubes: u32,
    /// The price of the same mass of ready-made food, which nobody would have bought.
    pub ready_made_cost: Money,
    /// The total savings less that price.
    pub saved: Money,
}

/// The cost of all batches of one recipe.
#[derive(Debug, Clone, PartialEq)]
pub struct RecipeOutlay {
    /// The name of the recipe.
    pub name: String,
    /// The title of the recipe, as its last batch has it.
    pub title: String,
    /// The number of batches.
    pub batches: u32,
    /// The total cost of the batches, compared with the jar.
    pub beside: Comparison,
}

/// The savings up to a batch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct SavedSoFar {
    /// The amount; negative where the jars were cheaper.
    pub amount: Money,
    /// Whether every price is known; otherwise the amount is an upper bound.
    pub complete: bool,
}

/// Adds up the cost of all batches of a book.
pub fn outlay(book: &Book, store: &Store) -> Result<Outlay, BookError> {
    let beside = |batch: FrozenBatch| {
        let comparison = batch.beside(book.settings.ready_made_for(&batch.name));
        (batch, comparison)
    };
    Ok(Outlay {
        currency: book.settings.currency.clone(),
        batches: store.batches()?.into_iter().map(beside).collect(),
        thrown_away: store.thrown_away()?,
        in_other_money: store.purchases_in_other_money()?,
    })
}

impl Outlay {
    /// Leaves only the batches that were made from one day to another, both included.
    pub fn keep(&mut self, from: Date, to: Date) {
        self.batches
            .retain(|(batch, _)| (from..=to).contains(&batch.day));
    }

    /// Whether every price is known.
    pub fn complete(&self) -> bool {
        self.batches.iter().all(|(_, beside)| beside.complete())
    }

    /// Whether no batch has a jar to be compared with.
    pub fn lacks_jars(&self) -> bool {
        let mut all = self.batches.iter();
        all.all(|(_, beside)| beside.ready_made.is_none())
    }

    /// The outlay grouped by recipe, in the order of their titles.
    pub fn recipes(&self) -> Vec<RecipeOutlay> {
        let mut recipes: BTreeMap<&str, RecipeOutlay> = BTreeMap::new();
        for (batch, beside) in &self.batches {
            let (batches, beside) = match recipes.remove(batch.name.as_str()) {
                Some(before) => (before.batches + 1, before.beside.and(beside)),
                None => (1, beside.clone()),
            };
            let recipe = RecipeOutlay {
                name: batch.name.clone(),
                title: batch.title.clone(),
                batches,
                beside,
            };
            recipes.insert(&batch.name, recipe);
        }
        let mut recipes: Vec<_> = recipes.into_values().collect();
        recipes.sort_by(|one, other| one.title.cmp(&other.title));
        recipes
    }

    /// The savings up to each batch, over those that can be compared; `None` before the first of
    /// them.
    pub fn running(&self) -> Vec<Option<SavedSoFar>> {
        let mut total: Option<SavedSoFar> = None;
        let so_far = |(_, beside): &(FrozenBatch, Comparison)| {
            if let Some(saving) = beside.saving() {
                total = Some(SavedSoFar {
                    amount: saving + total.map_or(Money::ZERO, |total| total.amount),
                    complete: beside.complete() && total.is_none_or(|total| total.complete),
                });
            }
            total
        };
        self.batches.iter().map(so_far).collect()
    }

    /// The titles of the batches dearer than the jar, in alphabetical order, each once.
    pub fn dearer(&self) -> Vec<&str> {
        let dearer =
            |beside: &Comparison| beside.saving().is_some_and(|saving| saving < Money::ZERO);
        let batches = self.batches.iter().filter(|(_, beside)| dearer(beside));
        let mut titles: Vec<_> = batches.map(|(batch, _)| batch.title.as_str()).collect();
        titles.sort_unstable();
        titles.dedup();
        titles
    }

    /// The batches that can be compared with a jar.
    pub fn compared(&self) -> usize {
        let both = |(_, beside): &&(FrozenBatch, Comparison)| beside.saving().is_some();
        self.batches.iter().filter(both).count()
    }

    /// The total savings of the batches that can be compared; `None` where none can.
    pub fn saved(&self) -> Option<SavedSoFar> {
        self.running().pop().flatten()
    }

    /// The cubes that were thrown away, and what their jars would have cost; `None` where there are
    /// none.
    pub fn wasted(&self) -> Option<ThrownAway> {
        let of_batch = |(batch, beside): &(FrozenBatch, Comparison)| {
            let cubes = *self.thrown_away.get(&batch.id)?;
            beside.saving()?;
            Some((cubes, beside.ready_made_of(batch.cube * f64::from(cubes))?))
        };
        let all = self.batches.iter().filter_map(of_batch);
        let (cubes, jars) = all.fold((0, Money::ZERO), |sum, one| (sum.0 + one.0, sum.1 + one.1));
        let saved = self.saved()?.amount - jars;
        (cubes > 0).then_some(ThrownAway {
            cubes,
            ready_made_cost: jars,
            saved,
        })
    }

    /// The purchases that are in no sum because they were paid in other money, in a sentence;
    /// `None` where there are none.
    pub fn left_out(&self) -> Option<String> {
        let others = self.in_other_money.iter();
        let others = others.map(|(currency, purchases)| {
            format!("{} in {currency}", counted(*purchases, "purchase"))
        });
        let verb = match self.in_other_money.values().sum::<u32>() {
            0 => return None,
            1 => "is",
            _ => "are",
        };
        let (others, currency) = (joined(others, ", "), &self.currency);
        Some(format!(
            "Nothing is converted into {currency}: {others} {verb} in no sum."
        ))
    }

    /// The total savings, in a sentence or two; `None` where no batch can be compared.
    pub fn in_all(&self) -> Option<String> {
        let saved = self.saved()?;
        let dearer = saved.amount < Money::ZERO;
        let in_words = |amount: Money| {
            if amount < Money::ZERO {
                (Money::ZERO - amount, "more than the jars")
            } else {
                (amount, "saved")
            }
        };
        let (amount, words) = in_words(saved.amount);
        // A missing price makes the true cost higher and the savings lower.
        let bound = match (saved.complete, dearer) {
            (true, _) => "",
            (false, true) => "at least ",
            (false, false) => "at most ",
        };
        let wasted = self.wasted().map_or_else(String::new, |wasted| {
            let cubes = counted(wasted.cubes as usize, "cube");
            let (amount, words) = in_words(wasted.saved);
            let (jars, amount) = (wasted.ready_made_cost.shown(), amount.shown());
            format!(
                " But {cubes} of them went to waste, for which no jar would have been bought ({jars}): {bound}{amount} {} {words} without them.",
                self.currency
            )
        });
        Some(format!(
            "Over the {} that can be compared: {bound}{} {} {words}.{wasted}",
            counted(self.compared(), "batch"),
            amount.shown(),
            self.currency
        ))
    }
}
