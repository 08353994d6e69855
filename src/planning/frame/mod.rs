//! A request turned into indices: who may be given what on which day.

mod lay_out;

use std::collections::{BTreeMap, BTreeSet};
use std::ops::RangeInclusive;

use data_import::FoodId;
use jiff::civil::Date;
use rust_decimal::Decimal;

use super::{Origin, Request, Rule};
use crate::nutrition::{DietGroup, Serving};

/// The request by indices: `child`, `day`, `candidate`.
#[derive(Debug)]
pub(crate) struct Frame<'a> {
    pub(crate) request: &'a Request,
    pub(crate) candidates: Vec<Candidate<'a>>,
    /// By child, then by day.
    pub(crate) cells: Vec<Vec<Cell>>,
    /// By child: foods that are not known and could be.
    pub(crate) new_foods: Vec<Vec<NewFood>>,
}

/// A batch, or a cooking that may be.
#[derive(Debug)]
pub(crate) struct Candidate<'a> {
    pub(crate) origin: Origin,
    /// Title of the recipe.
    pub(crate) title: &'a str,
    /// Name of the recipe.
    pub(crate) flavour: &'a str,
    /// One cube.
    pub(crate) cube: &'a Serving,
    pub(crate) groups: &'a BTreeSet<DietGroup>,
    /// First and last day, as indices, on which it can be served; may be empty.
    pub(crate) days: RangeInclusive<usize>,
    pub(crate) use_by: Date,
    /// Cubes left, or cubes a tray.
    pub(crate) cubes: u32,
    /// Trays at most; 1 for a batch, which is there as it is.
    pub(crate) most_trays: u32,
    /// Cost of a batch's cube, or of a tray.
    pub(crate) cost: Decimal,
    /// Whether it spoils within the plan if it is not served.
    pub(crate) expires: bool,
}

/// A day of a child.
#[derive(Debug, Default)]
pub(crate) struct Cell {
    /// Meals to be filled, by name.
    pub(crate) meals: Vec<String>,
    /// Cubes a meal.
    pub(crate) least: u32,
    pub(crate) most: u32,
    /// What is settled on that day.
    pub(crate) fixed: Vec<Serving>,
    pub(crate) fixed_groups: BTreeSet<DietGroup>,
    /// Settled meals by flavour.
    pub(crate) fixed_flavours: BTreeMap<String, u32>,
    /// The candidates that may be served.
    pub(crate) open: Vec<usize>,
}

/// A food that the child does not know.
#[derive(Debug)]
pub(crate) struct NewFood {
    pub(crate) id: FoodId,
    pub(crate) name: String,
    /// Days on which its first taste may be.
    pub(crate) days: Vec<usize>,
    /// The day, if a settled meal is the first.
    pub(crate) settled: Option<usize>,
    /// The candidates with it.
    pub(crate) within: Vec<usize>,
}

impl Candidate<'_> {
    /// Whether cubes of it are there only once it is cooked.
    pub(crate) fn cooked(&self) -> bool {
        matches!(self.origin, Origin::Cooking { .. })
    }

    /// All cubes there can be.
    pub(crate) fn most_cubes(&self) -> u32 {
        self.cubes.saturating_mul(self.most_trays)
    }

    /// Whether a food is in it.
    pub(crate) fn holds(&self, food: &FoodId) -> bool {
        self.cube.foods.iter().any(|one| one.id == *food)
    }
}

impl Cell {
    /// Meals to be filled.
    pub(crate) fn count(&self) -> u32 {
        u32::try_from(self.meals.len()).unwrap_or(u32::MAX)
    }

    /// Kinds of cubes that the day may have, so that it can be parted into meals of two kinds at most (see `portion`).
    pub(crate) fn kinds(&self) -> u32 {
        self.count() + 1
    }
}

impl<'a> Frame<'a> {
    /// Lays a request out, perhaps without one of the rules, to find out what contradicts. It must be valid.
    pub(crate) fn new(request: &'a Request, without: Option<Rule>) -> Self {
        let candidates = lay_out::candidates(request, without);
        let mut cells: Vec<Vec<Cell>> = Vec::new();
        let mut new_foods = Vec::new();
        for child in 0..request.children.len() {
            let foods = if without == Some(Rule::NewFoods) {
                Vec::new()
            } else {
                lay_out::new_foods_of(request, child, &candidates)
            };
            let mut days = lay_out::cells_of(request, child);
            for (day, cell) in days.iter_mut().enumerate() {
                let can = |index: &usize| {
                    lay_out::may_be_served(
                        request,
                        child,
                        day,
                        *index,
                        &candidates,
                        &foods,
                        without,
                    )
                };
                cell.open = (0..candidates.len()).filter(can).collect();
            }
            cells.push(days);
            new_foods.push(foods);
        }
        Self {
            request,
            candidates,
            cells,
            new_foods,
        }
    }

    /// Every child and day.
    pub(crate) fn slots(&self) -> impl Iterator<Item = (usize, usize, &Cell)> {
        let children = self.cells.iter().enumerate();
        children.flat_map(|(child, days)| {
            days.iter()
                .enumerate()
                .map(move |(day, cell)| (child, day, cell))
        })
    }

    /// Waiting days, at least one: never two new foods in a day.
    pub(crate) fn waiting(&self) -> usize {
        usize::try_from(self.request.waiting_days)
            .unwrap_or(usize::MAX)
            .max(1)
    }
}
