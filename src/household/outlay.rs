//! What all batches cost beside the jars.

use crate::cost::{Comparison, Money};
use crate::notebook::{Book, BookError, FrozenBatch, Store};

/// What all batches cost.
#[derive(Debug)]
pub struct Outlay {
    /// Currency of every price.
    pub currency: String,
    /// Every batch, the first on top, beside the jar it is compared with.
    pub batches: Vec<(FrozenBatch, Comparison)>,
}

/// What all batches of a book cost.
pub fn outlay(book: &Book, store: &Store) -> Result<Outlay, BookError> {
    let beside = |batch: FrozenBatch| {
        let comparison = batch.beside(book.settings.ready_made_for(&batch.name));
        (batch, comparison)
    };
    Ok(Outlay {
        currency: book.settings.currency.clone(),
        batches: store.batches()?.into_iter().map(beside).collect(),
    })
}

impl Outlay {
    /// Whether every price is known.
    pub fn complete(&self) -> bool {
        self.batches.iter().all(|(_, beside)| beside.complete())
    }

    /// The titles of those dearer than the jar, in alphabetical order, each once.
    pub fn dearer(&self) -> Vec<&str> {
        let dearer =
            |beside: &Comparison| beside.saving().is_some_and(|saving| saving < Money::ZERO);
        let batches = self.batches.iter().filter(|(_, beside)| dearer(beside));
        let mut titles: Vec<_> = batches.map(|(batch, _)| batch.title.as_str()).collect();
        titles.sort_unstable();
        titles.dedup();
        titles
    }

    /// What all batches saved that can be compared; `None` where none can.
    pub fn in_all(&self) -> Option<String> {
        let beside_a_jar = || {
            let both = |beside: &&Comparison| beside.saving().is_some();
            self.batches.iter().map(|(_, beside)| beside).filter(both)
        };
        let total: Money = beside_a_jar().filter_map(Comparison::saving).sum();
        let (amount, words) = if total < Money::ZERO {
            (Money::ZERO - total, "more than the jars")
        } else {
            (total, "saved")
        };
        // What lacks a price costs more, so that less is saved.
        let bound = match (
            beside_a_jar().all(Comparison::complete),
            total < Money::ZERO,
        ) {
            (true, _) => "",
            (false, true) => "at least ",
            (false, false) => "at most ",
        };
        let batches = match beside_a_jar().count() {
            0 => return None,
            1 => "the 1 batch".to_string(),
            many => format!("the {many} batches"),
        };
        Some(format!(
            "Over {batches} that can be compared: {bound}{} {} {words}.",
            amount.shown(),
            self.currency
        ))
    }
}
