//! A request turned into indices: who may be given what on which day.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::RangeInclusive;

use data_import::FoodId;
use jiff::ToSpan as _;
use jiff::civil::Date;
use rust_decimal::Decimal;

use super::{Origin, Request};
use crate::nutrition::{DietGroup, Serving};

/// Which of the rules are left out, to find out which of them contradict.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Relaxed {
    /// Cubes never run out.
    pub(crate) stock: bool,
    /// Cubes keep for ever.
    pub(crate) use_by: bool,
    /// Every food is known.
    pub(crate) new_foods: bool,
    /// Foods with a reaction are served. For finding out only.
    pub(crate) excluded: bool,
}

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
    /// Lays a request out. It must be valid.
    pub(crate) fn new(request: &'a Request, relaxed: Relaxed) -> Self {
        let candidates = candidates(request, relaxed);
        let mut cells: Vec<Vec<Cell>> = Vec::new();
        let mut new_foods = Vec::new();
        for child in 0..request.children.len() {
            let foods = if relaxed.new_foods {
                Vec::new()
            } else {
                new_foods_of(request, child, &candidates)
            };
            let mut days = cells_of(request, child);
            for (day, cell) in days.iter_mut().enumerate() {
                let can = |index: &usize| {
                    may_be_served(request, child, day, *index, &candidates, &foods, relaxed)
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

fn candidates(request: &Request, relaxed: Relaxed) -> Vec<Candidate<'_>> {
    let last = request.days.len().saturating_sub(1);
    let span = |from: Date, use_by: Date| {
        let first = request
            .days
            .iter()
            .position(|day| *day >= from)
            .unwrap_or(last + 1);
        let until = request
            .days
            .iter()
            .rposition(|day| relaxed.use_by || *day <= use_by);
        // An empty range where it is past before it starts.
        until.map_or(1..=0, |until| first..=until)
    };
    let expires = |use_by: Date| request.days.contains(&use_by);
    let mut all: Vec<Candidate<'_>> = Vec::new();
    for (index, batch) in request.batches.iter().enumerate() {
        let settled = request
            .fixed
            .iter()
            .flat_map(|meal| &meal.parts)
            .filter_map(|part| part.cubes);
        let taken: u32 = settled
            .filter(|(one, _)| *one == index)
            .map(|(_, cubes)| cubes)
            .sum();
        let endless = u32::try_from(request.days.len() * 1000).unwrap_or(u32::MAX);
        all.push(Candidate {
            origin: Origin::Batch(index),
            title: &batch.title,
            flavour: &batch.recipe,
            cube: &batch.cube,
            groups: &batch.groups,
            days: span(batch.from, batch.use_by),
            use_by: batch.use_by,
            cubes: if relaxed.stock {
                endless
            } else {
                batch.cubes.saturating_sub(taken)
            },
            most_trays: 1,
            cost: batch.cost.unwrap_or_default().amount(),
            expires: expires(batch.use_by),
        });
    }
    for (index, recipe) in request.recipes.iter().enumerate() {
        for day in recipe
            .cook_days
            .iter()
            .copied()
            .filter(|day| request.days.contains(day))
        {
            let from = if recipe.same_day {
                day
            } else {
                day.tomorrow().unwrap_or(day)
            };
            let use_by = day.saturating_add(i64::from(recipe.freezer_days).days());
            all.push(Candidate {
                origin: Origin::Cooking { recipe: index, day },
                title: &recipe.title,
                flavour: &recipe.recipe,
                cube: &recipe.cube,
                groups: &recipe.groups,
                days: span(from, use_by),
                use_by,
                cubes: recipe.cubes_a_tray,
                most_trays: recipe.most_trays,
                cost: recipe.tray_cost.unwrap_or_default().amount(),
                expires: expires(use_by),
            });
        }
    }
    all
}

fn cells_of(request: &Request, child: usize) -> Vec<Cell> {
    let eater = &request.children[child];
    let mut cells = Vec::new();
    for (day, need) in request.days.iter().zip(&eater.days) {
        let settled: Vec<_> = request
            .fixed
            .iter()
            .filter(|meal| meal.child == child && meal.day == *day)
            .collect();
        let named = eater
            .meals
            .iter()
            .filter(|name| settled.iter().all(|meal| meal.meal != **name));
        let room = (*need.meals.end() as usize).saturating_sub(settled.len());
        let mut cell = Cell {
            meals: named.take(room).cloned().collect(),
            least: *need.cubes.start(),
            most: *need.cubes.end(),
            ..Cell::default()
        };
        for meal in settled {
            let flavours: BTreeSet<_> = meal
                .parts
                .iter()
                .filter_map(|part| Some(&request.batches[part.cubes?.0].recipe))
                .collect();
            for flavour in flavours {
                *cell.fixed_flavours.entry(flavour.clone()).or_default() += 1;
            }
            cell.fixed
                .extend(meal.parts.iter().map(|part| part.serving.clone()));
            cell.fixed_groups
                .extend(meal.parts.iter().flat_map(|part| &part.groups));
        }
        cells.push(cell);
    }
    cells
}

/// The foods in candidates and settled meals that a child does not know, and when each may first be tasted.
fn new_foods_of(request: &Request, child: usize, candidates: &[Candidate<'_>]) -> Vec<NewFood> {
    let eater = &request.children[child];
    let unknown = |id: &FoodId| !eater.known.contains_key(id);
    let mut settled: BTreeMap<FoodId, usize> = BTreeMap::new();
    let mut names: BTreeMap<FoodId, String> = BTreeMap::new();
    for meal in request.fixed.iter().filter(|meal| meal.child == child) {
        let Some(day) = request.day_index(meal.day) else {
            continue;
        };
        for food in meal
            .parts
            .iter()
            .flat_map(|part| &part.serving.foods)
            .filter(|food| unknown(&food.id))
        {
            let first = settled.entry(food.id.clone()).or_insert(day);
            *first = day.min(*first);
            names.insert(food.id.clone(), food.name.clone());
        }
    }
    for food in candidates
        .iter()
        .flat_map(|one| &one.cube.foods)
        .filter(|food| unknown(&food.id))
    {
        names.insert(food.id.clone(), food.name.clone());
    }
    let waiting = i64::from(request.waiting_days.max(1));
    let open_from = eater
        .last_first()
        .map(|last| last.saturating_add(waiting.days()));
    let firsts: Vec<usize> = settled.values().copied().collect();
    let clear = |day: usize| {
        let waited = open_from.is_none_or(|from| request.days[day] >= from);
        waited
            && firsts
                .iter()
                .all(|first| first.abs_diff(day) as u64 >= waiting.unsigned_abs())
    };
    let days: Vec<usize> = (0..request.days.len()).filter(|day| clear(*day)).collect();
    let found = names.into_iter().map(|(id, name)| NewFood {
        within: (0..candidates.len())
            .filter(|index| candidates[*index].holds(&id))
            .collect(),
        settled: settled.get(&id).copied(),
        days: if settled.contains_key(&id) {
            Vec::new()
        } else {
            days.clone()
        },
        id,
        name,
    });
    found.collect()
}

/// Whether a candidate may be served to a child on a day, first tastes apart.
fn may_be_served(
    request: &Request,
    child: usize,
    day: usize,
    index: usize,
    candidates: &[Candidate<'_>],
    new_foods: &[NewFood],
    relaxed: Relaxed,
) -> bool {
    let (candidate, eater) = (&candidates[index], &request.children[child]);
    let shunned = candidate
        .cube
        .foods
        .iter()
        .any(|food| eater.excluded.contains_key(&food.id));
    // A food of a settled first taste is known from the day after it.
    let mut new = new_foods.iter().filter(|food| food.within.contains(&index));
    let can_be_known = new.all(|food| match food.settled {
        Some(first) => day > first,
        None => food.days.iter().any(|first| *first <= day),
    });
    candidate.days.contains(&day)
        && candidate.most_cubes() > 0
        && (relaxed.excluded || !shunned)
        && can_be_known
}
