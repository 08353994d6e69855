//! The facts of a household's book with which a plan is checked. The caller gathers them; nothing
//! here reads a file.

use std::collections::BTreeMap;
use std::sync::Arc;

use data_import::{Food, FoodId};
use jiff::civil::Date;

use super::supply::{StockLot, StockOrigin};
use super::{CubeSize, Eater};
use crate::notebook::{Eaten, FrozenBatch, Plan, PlannedFood, Settings, Stock, TasteRecord};
use crate::nutrition::{DietGroup, Serving};
use crate::quantity::Mass;

/// The days of a plan that are examined, and the present day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Span {
    /// The present day.
    pub today: Date,
    /// The first day.
    pub from: Date,
    /// The last day.
    pub to: Date,
}

/// Why a child may not have a dish, by the days on which it may not.
pub type BarredDays = BTreeMap<Date, String>;

/// The facts of the book.
#[derive(Debug)]
pub struct Facts<'a> {
    /// The present day.
    pub today: Date,
    /// The settings of the household.
    pub settings: &'a Settings,
    /// The plan: from `today`, or from an earlier first day, to the last day that is examined.
    pub plan: Plan,
    /// The batches in the freezer, the first to be eaten on top.
    pub stock: Vec<Stock>,
    /// Every batch on record.
    pub batches: Vec<FrozenBatch>,
    /// One cube of each batch in the freezer, as it is served.
    pub cubes: BTreeMap<i64, Serving>,
    /// The recipes that are planned, as far as the book has them.
    pub dishes: BTreeMap<String, RecipeFacts>,
    /// The foods that are planned, as far as the food table has them, each with its major
    /// allergens.
    pub foods: BTreeMap<FoodId, (Food, Vec<String>)>,
    /// One gram of each of these foods, as it is served.
    pub grams: BTreeMap<FoodId, Serving>,
    /// The food group of dietary diversity of each food that counts towards one.
    pub groups: BTreeMap<FoodId, DietGroup>,
    /// The children of the book, in its order: what they know and need on the days that are
    /// examined.
    pub eaters: Vec<Eater>,
    /// By child: the batches (`#7`) and recipes that it may not have, with the reason on each of
    /// the days.
    pub barred: Vec<BTreeMap<String, BarredDays>>,
    /// What a cube of the first tray weighs, of a purée of a gram in a millilitre.
    pub usual_cube: Mass,
    /// The meals of each child of the book on the days that are looked at, and in the week before.
    pub eaten: BTreeMap<String, Vec<Eaten>>,
    /// The tastes of each child of the book up to today.
    pub tastes: BTreeMap<String, Arc<TasteRecord>>,
}

/// A recipe of the book, calculated.
#[derive(Debug, Clone)]
pub struct RecipeFacts {
    /// The title of the dish.
    pub title: String,
    /// Cubes that one tray gives.
    pub cubes_a_tray: u32,
    /// The number of days that its cubes keep.
    pub keeps: u32,
    /// One cube as it is served.
    pub cube: Serving,
}

impl Facts<'_> {
    /// The title of a recipe, or of a batch named by its number; the name itself where neither is
    /// known.
    pub fn title<'a>(&'a self, name: &'a str) -> &'a str {
        if let Some(dish) = self.dishes.get(name) {
            return &dish.title;
        }
        let batches = self.batches.iter().rev();
        let mut named = batches.filter(|batch| batch.name == name || is_batch(name, batch.id));
        named.next().map_or(name, |batch| &batch.title)
    }

    /// The recipe of a batch named by its number; otherwise the name itself.
    pub fn recipe_of<'a>(&'a self, name: &'a str) -> &'a str {
        let mut batches = self.batches.iter();
        let named = batches.find(|batch| is_batch(name, batch.id));
        named.map_or(name, |batch| &batch.name)
    }

    /// One cube of a lot, as it is served.
    pub fn cube_of(&self, lot: &StockLot) -> Option<&Serving> {
        match lot.origin {
            StockOrigin::Batch(id) => self.cubes.get(&id),
            StockOrigin::Cooking(_) => self.dishes.get(&lot.name).map(|dish| &dish.cube),
        }
    }

    /// A food of a meal, as it is served; `None` where no table has it.
    pub fn serving_of(&self, food: &PlannedFood) -> Option<Serving> {
        let gram = self.grams.get(&food.id)?;
        Some(gram.times(food.mass.grams()).typed_as(&food.typed))
    }

    /// The size of a cube of a lot; what is yet to be cooked is reckoned in cubes of the first
    /// tray.
    pub fn cube_size(&self, lot: &StockLot) -> CubeSize {
        match (lot.origin, self.cube_of(lot)) {
            (StockOrigin::Batch(_), Some(cube)) => CubeSize::of(cube.mass, self.usual_cube),
            _ => CubeSize::USUAL,
        }
    }

    /// Why a child may not have a dish on a day, by the name of its recipe or batch.
    pub fn reason_against(&self, child: &str, name: &str, day: Date) -> Option<&str> {
        let at = self.eaters.iter().position(|eater| eater.name == child)?;
        self.barred
            .get(at)?
            .get(name)?
            .get(&day)
            .map(String::as_str)
    }

    /// The batch with this number; `None` where there never was one.
    pub fn batch(&self, id: i64) -> Option<&FrozenBatch> {
        self.batches.iter().find(|batch| batch.id == id)
    }
}

/// Whether a name is `#` and this number.
pub(super) fn is_batch(name: &str, id: i64) -> bool {
    name.strip_prefix('#')
        .is_some_and(|number| number == id.to_string())
}
