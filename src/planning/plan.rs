//! A plan in cubes, for proposals and for the check of a person's plan.

use jiff::civil::Date;

use crate::nutrition::Serving;

use super::{CubeSize, Request};

/// The origin of cubes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum CubeOrigin {
    /// A batch: its index in [`Request::batches`].
    Batch(usize),
    /// A cooking that is planned.
    Cooking {
        /// Index in [`Request::recipes`].
        recipe: usize,
        /// The day it is cooked.
        day: Date,
    },
}

/// Cubes of one origin in a meal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PlannedCubes {
    /// The origin of the cubes.
    pub origin: CubeOrigin,
    /// The number of cubes.
    pub cubes: u32,
}

/// A meal made of cubes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlannedMeal {
    /// The day.
    pub day: Date,
    /// Index of the child in [`Request::children`].
    pub child: usize,
    /// The name of the meal.
    pub meal: String,
    /// The parts of the meal.
    pub parts: Vec<PlannedCubes>,
}

/// Whole trays of a recipe, cooked on a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cooking {
    /// The day.
    pub day: Date,
    /// Index in [`Request::recipes`].
    pub recipe: usize,
    /// The number of trays.
    pub trays: u32,
}

/// Meals and cookings, beside what is settled in the request.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Schedule {
    /// The meals, by day, child and meal.
    pub meals: Vec<PlannedMeal>,
    /// The batches to cook, by day.
    pub cookings: Vec<Cooking>,
}

impl CubeOrigin {
    /// One cube from this origin; `None` where the request has no such batch or recipe.
    pub fn cube(self, request: &Request) -> Option<&Serving> {
        match self {
            Self::Batch(batch) => request.batches.get(batch).map(|batch| &batch.cube),
            Self::Cooking { recipe, .. } => request.recipes.get(recipe).map(|recipe| &recipe.cube),
        }
    }

    /// The size of a cube; what is yet to be cooked is reckoned in cubes of the first tray.
    pub fn size(self, request: &Request) -> CubeSize {
        match self {
            Self::Batch(batch) => {
                let batch = request.batches.get(batch);
                batch.map_or(CubeSize::USUAL, |one| one.size)
            }
            Self::Cooking { .. } => CubeSize::USUAL,
        }
    }

    /// Title of its recipe.
    pub fn title(self, request: &Request) -> &str {
        let title = match self {
            Self::Batch(batch) => request.batches.get(batch).map(|batch| &batch.title),
            Self::Cooking { recipe, .. } => request.recipes.get(recipe).map(|recipe| &recipe.title),
        };
        title.map_or("", String::as_str)
    }

    /// Name of its recipe: its flavour.
    pub fn recipe(self, request: &Request) -> &str {
        let name = match self {
            Self::Batch(batch) => request.batches.get(batch).map(|batch| &batch.recipe),
            Self::Cooking { recipe, .. } => {
                request.recipes.get(recipe).map(|recipe| &recipe.recipe)
            }
        };
        name.map_or("", String::as_str)
    }
}

impl PlannedMeal {
    /// The number of cubes in all parts.
    pub fn cubes(&self) -> u32 {
        self.parts.iter().map(|part| part.cubes).sum()
    }
}
