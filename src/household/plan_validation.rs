//! Validation of a plan against the recipes and the freezer of a book.

use crate::names::Named;
use crate::notebook::{Book, BookError, FrozenBatch, PlannedServing, Stock, Store};
use crate::planning::validation::{Validation, named_twice};
use crate::problem::Problem;

/// The recipes and batches of the book that may be planned.
#[derive(Debug)]
pub struct PlanValidation {
    recipes: Vec<Named>,
    stock: Vec<Stock>,
    batches: Vec<FrozenBatch>,
}

impl PlanValidation {
    /// Reads the book.
    pub fn of(book: &Book, store: &Store) -> Result<Self, BookError> {
        Ok(Self {
            recipes: book.named_recipes()?,
            stock: store.stock()?,
            batches: store.batches()?,
        })
    }

    /// The rules.
    pub fn validation<'a>(&'a self, book: &'a Book) -> Validation<'a> {
        Validation {
            settings: &book.settings,
            recipes: &self.recipes,
            stock: &self.stock,
            batches: &self.batches,
        }
    }

    /// Validates the parts of one meal of the plan.
    ///
    /// Errors: a part is named twice; else a problem for each part that does not exist.
    pub fn admit(&self, book: &Book, parts: &[PlannedServing]) -> Result<(), Vec<Problem>> {
        if let Some(name) = named_twice(parts) {
            let what = format!("“{name}” is named twice for one meal");
            let hint = "name it once, with the whole amount";
            return Err(vec![Problem::new(what).hint(hint)]);
        }
        let validation = self.validation(book);
        let wrong = parts
            .iter()
            .filter_map(|part| validation.serving(part).err());
        let wrong: Vec<Problem> = wrong.collect();
        if wrong.is_empty() { Ok(()) } else { Err(wrong) }
    }
}
