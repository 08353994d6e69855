//! The doubts about food that is given as it is, and about milk, by what the food data says of its
//! values.

use std::collections::BTreeMap;
use std::sync::Arc;

use data_import::FoodId;

use crate::food::Pantry;
use crate::notebook::BookError;
use crate::nutrition::{Day, Milk, Serving};
use crate::uncertainty::{Cause, Doubts, FoodSpreads, PotId, SpreadTable, UnsurePortion};

/// The spread of a child's milk about the average of its age, relative to it (judgement: children
/// differ widely).
const ESTIMATED_MILK: f64 = 0.25;

/// The spreads of the values of foods.
#[derive(Debug)]
pub(super) struct FoodDoubts(BTreeMap<FoodId, FoodSpreads>);

impl FoodDoubts {
    /// The doubts of these foods, as far as they are in the pantry.
    pub(super) fn of(pantry: &Pantry, ids: &[FoodId]) -> Result<Self, BookError> {
        let table = SpreadTable::builtin()?;
        let provenance = pantry.provenance_of(ids)?;
        let mut spreads = BTreeMap::new();
        for food in pantry.foods(ids)?.into_iter().flatten() {
            let of_food = provenance.get(&food.id).map_or(&[][..], Vec::as_slice);
            spreads.insert(food.id.clone(), table.of_food(&food, of_food)?);
        }
        Ok(Self(spreads))
    }

    /// Notes the doubts about the food of a serving that has none noted yet. Packs of one food are
    /// taken as one lot.
    pub(super) fn note(&self, serving: &mut Serving) {
        if serving.portion.is_none() {
            serving.portion = self.portion(serving, None);
        }
    }

    fn note_milk(&self, milk: &mut Milk) {
        let off = milk.estimate.as_ref().map(|_| ESTIMATED_MILK);
        if milk.serving.portion.is_none() {
            milk.serving.portion = self.portion(&milk.serving, off);
        }
    }

    fn portion(&self, serving: &Serving, amount_off: Option<f64>) -> Option<UnsurePortion> {
        let [food] = serving.foods.as_slice() else {
            return None;
        };
        let spreads = self.0.get(&food.id)?;
        let mut doubts = Doubts::default();
        for (nutrient, total) in &serving.nutrients {
            let (Some(amount), Some(spread)) = (total.known, spreads.get(nutrient)) else {
                continue;
            };
            let pack = PotId::from("");
            let lot = Cause::Lot(food.id.clone(), pack);
            doubts.note(*nutrient, lot, amount * spread.lot);
            let database = Cause::Database(food.id.clone());
            doubts.note(*nutrient, database, amount * spread.database);
            doubts.note_value(*nutrient, &food.id, spread.evidence);
            doubts.note_faint(*nutrient, if spread.faint { amount } else { 0.0 });
            if let Some(off) = amount_off {
                doubts.note(*nutrient, Cause::Milk(food.id.clone()), amount * off);
            }
        }
        Some(UnsurePortion {
            doubts: Arc::new(doubts),
            times: 1.0,
            cubes: None,
        })
    }
}

/// Notes the doubts about food and milk on these days.
pub(super) fn note_all(days: &mut [Day], pantry: &Pantry) -> Result<(), BookError> {
    let unsure = servings_of(days).filter(|serving| serving.portion.is_none());
    let doubts = FoodDoubts::of(pantry, &foods_of(unsure))?;
    for day in days {
        for milk in day.milk.iter_mut().flatten() {
            doubts.note_milk(milk);
        }
        for meal in &mut day.meals {
            for serving in &mut meal.servings {
                doubts.note(serving);
            }
        }
    }
    Ok(())
}

/// Notes the doubts about the foods of these servings.
pub(super) fn note_on(servings: &mut [Serving], pantry: &Pantry) -> Result<(), BookError> {
    let unsure = servings.iter().filter(|serving| serving.portion.is_none());
    let doubts = FoodDoubts::of(pantry, &foods_of(unsure))?;
    for serving in servings {
        doubts.note(serving);
    }
    Ok(())
}

/// The servings of these days, the milk first.
pub(super) fn servings_of(days: &[Day]) -> impl Iterator<Item = &Serving> {
    let milk = days.iter().flat_map(|day| day.milk.iter().flatten());
    let milk = milk.map(|milk| &milk.serving);
    let meals = days.iter().flat_map(|day| &day.meals);
    milk.chain(meals.flat_map(|meal| &meal.servings))
}

/// The foods of these servings, each once, in their order.
pub(super) fn foods_of<'a>(servings: impl Iterator<Item = &'a Serving>) -> Vec<FoodId> {
    let ids = servings.flat_map(|serving| &serving.foods);
    let mut ids: Vec<FoodId> = ids.map(|food| food.id.clone()).collect();
    ids.sort();
    ids.dedup();
    ids
}
