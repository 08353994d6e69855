//! How long the freezer lasts: meals that are planned are eaten as planned, all others at the household's pace.

use std::collections::{BTreeMap, BTreeSet};

use jiff::ToSpan as _;
use jiff::civil::Date;

use super::USUAL_SERVING;
use crate::notebook::{
    Book, BookError, Outlook, Pace, PlannedEating, PlannedServing, Room, Slot, Stock, Store,
};
use crate::planning::supply::{StockOrigin, Supply};

/// The freezer on a day, with what is known of how it will be eaten.
#[derive(Debug)]
pub struct Forecast {
    /// The rate at which it is eaten where nothing is planned.
    pub pace: Pace,
    /// What is planned.
    pub planned: PlannedEating,
    /// The batches, the one to be eaten first on top.
    pub stock: Vec<Stock>,
    day: Date,
}

impl Forecast {
    /// Reads the record; looks as far as the last day of any batch, of those too that keep `keeps_days` from now.
    pub fn of(book: &Book, store: &Store, day: Date, keeps_days: u32) -> Result<Self, BookError> {
        let stock = store.stock()?;
        let keeps = day.saturating_add(i64::from(keeps_days).days());
        let last = stock
            .iter()
            .map(|one| one.batch.use_by)
            .fold(keeps, Date::max);
        Ok(Self {
            pace: store.pace(&book.settings, day, USUAL_SERVING)?,
            planned: planned(book, store, (day, last), &stock)?,
            stock,
            day,
        })
    }

    /// The forecast for each batch.
    pub fn outlook(&self) -> Vec<Outlook> {
        self.pace.outlook(&self.stock, self.day, &self.planned)
    }

    /// The room for a new batch that keeps so many days.
    pub fn room(&self, keeps_days: u32) -> Room {
        self.pace
            .room(&self.stock, (self.day, keeps_days), &self.planned)
    }
}

/// What is planned for some days, and which batches it takes.
fn planned(
    book: &Book,
    store: &Store,
    (day, last): (Date, Date),
    stock: &[Stock],
) -> Result<PlannedEating, BookError> {
    let plan = store.planned(day, last)?;
    let children = &book.settings.children;
    let mut had = BTreeSet::new();
    for child in children {
        let eaten = store.eaten(&child.name, day, day)?;
        had.extend(
            eaten
                .into_iter()
                .map(|one| (child.name.clone(), one.meal.name)),
        );
    }
    let meals_a_day = children.len() * book.settings.meals.len();
    let mut planned = PlannedEating::default();
    let mut supply = Supply::of_stock(stock);
    let mut meals: BTreeMap<Date, usize> = BTreeMap::new();
    for (slot, parts) in &plan.meals {
        let Slot {
            day: on,
            child,
            meal,
        } = slot;
        if !book.settings.meals.contains(meal) || !children.iter().any(|one| one.name == *child) {
            continue;
        }
        *meals.entry(*on).or_default() += 1;
        if *on == day && had.contains(&(child.clone(), meal.clone())) {
            continue;
        }
        for part in parts {
            let PlannedServing::Cubes(pick) = part else {
                continue;
            };
            *planned.by_day.entry(*on).or_default() += pick.cubes.taken();
            for (lot, cubes) in supply.take(pick, *on).parts {
                if let StockOrigin::Batch(id) = lot.origin
                    && lot.use_by >= *on
                {
                    *planned.of_batch.entry(id).or_default() += cubes.taken();
                }
            }
        }
    }
    #[expect(clippy::cast_precision_loss, reason = "meals of a day are few")]
    let share = |meals: usize| (meals as f64 / meals_a_day as f64).min(1.0);
    planned.share_of_day = meals
        .into_iter()
        .map(|(day, meals)| (day, share(meals)))
        .collect();
    Ok(planned)
}
