//! The forecast of the freezer: planned meals are eaten as planned, all others at the household's
//! pace.

use std::collections::{BTreeMap, BTreeSet};

use jiff::ToSpan as _;
use jiff::civil::Date;

use super::USUAL_SERVING;
use super::plan_facts::first_tray;
use crate::notebook::{
    Book, BookError, Outlook, PACE_DAYS, Pace, PlannedEating, PlannedServing, Room, Slot, Stock,
    Store,
};
use crate::planning::supply::{StockOrigin, Supply};

/// The freezer on a day, with the plan and the pace by which it will be eaten.
#[derive(Debug)]
pub struct Forecast {
    /// The rate at which it is eaten where nothing is planned.
    pub pace: Pace,
    /// The plan.
    pub planned: PlannedEating,
    /// The batches, the one to be eaten first on top.
    pub stock: Vec<Stock>,
    day: Date,
}

impl Forecast {
    /// Reads the record as far ahead as the last day of any batch, or of a new one that keeps
    /// `keeps_days`.
    pub fn of(book: &Book, store: &Store, day: Date, keeps_days: u32) -> Result<Self, BookError> {
        let stock = store.stock_on(day)?;
        let keeps = day.saturating_add(i64::from(keeps_days).days());
        let last = stock
            .iter()
            .map(|stock| stock.batch.use_by)
            .fold(keeps, Date::max);
        Ok(Self {
            pace: store.pace(&book.settings, day, USUAL_SERVING)?,
            planned: planned(book, store, (day, last), &stock)?,
            stock,
            day,
        })
    }

    /// Keeps only these batches, by their numbers.
    pub(super) fn keep(&mut self, batches: &BTreeSet<i64>) {
        self.stock.retain(|stock| batches.contains(&stock.batch.id));
    }

    /// The forecast for each batch.
    pub fn outlook(&self) -> Vec<Outlook> {
        self.pace.outlook(&self.stock, self.day, &self.planned)
    }

    /// The room for a new batch that keeps `keeps_days`.
    pub fn room(&self, keeps_days: u32) -> Room {
        self.pace
            .room(&self.stock, (self.day, keeps_days), &self.planned)
    }
}

/// The plan of some days, and the batches that it takes.
fn planned(
    book: &Book,
    store: &Store,
    (day, last): (Date, Date),
    stock: &[Stock],
) -> Result<PlannedEating, BookError> {
    let plan = store.planned(day, last)?;
    let usual = UsualMeals::of(book, store, day)?;
    let mut planned = PlannedEating::default();
    let mut supply = Supply::of_stock(stock);
    let mut lacking = 0;
    for (slot, parts) in &plan.meals {
        if !usual.knows(slot) {
            continue;
        }
        *planned.share_of_day.entry(slot.day).or_default() += usual.share(slot);
        if slot.day == day && usual.had_today.contains(&meal_of(slot)) {
            continue;
        }
        for part in parts {
            let PlannedServing::Cubes(pick) = part else {
                continue;
            };
            *planned.by_day.entry(slot.day).or_default() += pick.cubes.taken();
            let taken = supply.take(pick, slot.day);
            lacking += taken.short.taken();
            for (lot, cubes) in taken.parts {
                if let StockOrigin::Batch(id) = lot.origin
                    && lot.use_by >= slot.day
                {
                    *planned.of_batch.entry(id).or_default() += cubes.taken();
                }
            }
        }
    }
    let wells = first_tray(book).wells;
    let batches = store.batches()?;
    for (on, cooking) in &plan.cooking {
        for session in cooking {
            let is_done = batches
                .iter()
                .any(|batch| batch.day == *on && batch.name == session.recipe);
            if is_done {
                continue;
            }
            let cubes = wells.saturating_mul(session.trays);
            // Cubes that planned meals lack come out of these.
            let taken = cubes.min(lacking);
            lacking -= taken;
            *planned.to_cook.entry(*on).or_default() += cubes - taken;
        }
    }
    Ok(planned)
}

/// A child and the name of a meal.
type MealOfChild = (String, String);

fn meal_of(slot: &Slot) -> MealOfChild {
    (slot.child.clone(), slot.meal.clone())
}

/// The usual division of a day's cubes among its meals.
struct UsualMeals {
    /// Cubes of each meal over the last two weeks; equal for all meals where none were eaten.
    cubes: BTreeMap<MealOfChild, f64>,
    had_today: BTreeSet<MealOfChild>,
}

impl UsualMeals {
    fn of(book: &Book, store: &Store, day: Date) -> Result<Self, BookError> {
        let (mut cubes, mut had_today) = (BTreeMap::new(), BTreeSet::new());
        let from = day.saturating_sub(i64::from(PACE_DAYS).days());
        for child in &book.settings.children {
            for meal in &book.settings.meals {
                cubes.insert((child.name.clone(), meal.clone()), 0.0);
            }
            for eaten in store.eaten(&child.name, from, day)? {
                let meal = (child.name.clone(), eaten.meal.name);
                if let Some(sum) = cubes.get_mut(&meal) {
                    let taken = eaten
                        .cubes
                        .iter()
                        .map(|(_, cubes)| f64::from(cubes.taken()));
                    *sum += taken.sum::<f64>();
                }
                if eaten.day == day {
                    had_today.insert(meal);
                }
            }
        }
        if cubes.values().sum::<f64>() <= 0.0 {
            for sum in cubes.values_mut() {
                *sum = 1.0;
            }
        }
        Ok(Self { cubes, had_today })
    }

    fn knows(&self, slot: &Slot) -> bool {
        self.cubes.contains_key(&meal_of(slot))
    }

    /// The share of a meal in the cubes of a day.
    fn share(&self, slot: &Slot) -> f64 {
        let all: f64 = self.cubes.values().sum();
        self.cubes.get(&meal_of(slot)).map_or(0.0, |sum| sum / all)
    }
}
