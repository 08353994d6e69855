//! The rate at which the freezer is eaten, the cubes that will not be eaten in time, and the room
//! for the next batch.

use std::collections::BTreeMap;

use jiff::ToSpan as _;
use jiff::civil::Date;

use super::error::BookError;
use super::feeding::{days_with_meals, eaten_by_day};
use super::freezer::Stock;
use super::settings::Settings;
use super::store::Store;

/// The number of days over which the recent pace is counted (judgement).
pub const PACE_DAYS: u32 = 14;

/// The number of cubes eaten a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pace {
    /// Cubes a day; 0 where nothing was eaten yet.
    pub cubes_a_day: f64,
    /// Whether the household stated the pace; otherwise it was counted.
    pub stated: bool,
    /// The number of days that were counted.
    pub days: u32,
}

/// The plan of what is eaten out of the freezer.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PlannedEating {
    /// The share of a usual day's cubes that falls to planned meals, 0 to 1; the pace is about the
    /// others.
    pub share_of_day: BTreeMap<Date, f64>,
    /// Cubes that the plan takes each day, from any batch.
    pub by_day: BTreeMap<Date, u32>,
    /// Cubes that the plan takes of each batch, by its number, in time.
    pub of_batch: BTreeMap<i64, u32>,
    /// Cubes of batches that are planned to be cooked and that no planned meal takes, by the day of
    /// cooking.
    pub to_cook: BTreeMap<Date, u32>,
}

/// The forecast for one batch.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlook {
    /// The batch, with the cubes left of it.
    pub stock: Stock,
    /// Days until the last day of the batch; negative where that is past.
    pub days_left: i64,
    /// Cubes that are planned for meals until then.
    pub planned: u32,
    /// Cubes that will not be eaten in time.
    pub too_many: u32,
}

/// The room for a new batch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// Cubes that come first: they are in the freezer and are to be eaten until then, or are
    /// planned.
    pub waiting: u32,
    /// Cubes that can be eaten until the new batch's last day.
    pub eaten_by_then: u32,
    /// Cubes of a new batch that can be eaten in time.
    pub cubes: u32,
}

impl Store {
    /// The pace of the days with a meal on record among the last two weeks up to `today`, or the
    /// one that the household stated. A day without a record says nothing about the pace.
    pub fn pace(
        &self,
        settings: &Settings,
        today: Date,
        cubes_a_serving: f64,
    ) -> Result<Pace, BookError> {
        if let Some(servings) = settings.servings_a_day {
            return Ok(Pace {
                cubes_a_day: servings * cubes_a_serving,
                stated: true,
                days: 0,
            });
        }
        let from = today.saturating_sub(i64::from(PACE_DAYS).days());
        let eaten = self.read(|connection| eaten_by_day(connection, from, today))?;
        if eaten.is_empty() {
            return Ok(Pace {
                cubes_a_day: 0.0,
                stated: false,
                days: 0,
            });
        }
        let days = self.read(|connection| days_with_meals(connection, from, today))?;
        let cubes: u32 = eaten.iter().map(|(_, cubes)| cubes).sum();
        Ok(Pace {
            cubes_a_day: f64::from(cubes) / f64::from(days),
            stated: false,
            days,
        })
    }
}

impl Pace {
    /// The forecast for each batch: meals that are planned are eaten as planned, and at the others
    /// batches are eaten in the order of their last days. All cubes past their last day count as
    /// too many.
    pub fn outlook(&self, stock: &[Stock], today: Date, planned: &PlannedEating) -> Vec<Outlook> {
        let mut eaten = 0.0_f64;
        let outlook = |stock: &Stock| {
            let days_left = days_between(today, stock.batch.use_by);
            let of_batch = planned.of_batch.get(&stock.batch.id);
            let planned_cubes = of_batch.map_or(0, |cubes| *cubes.min(&stock.left));
            let left = stock.left - planned_cubes;
            let chances = self.eaten_in(today, days_left, planned) - eaten;
            let will = chances.floor().clamp(0.0, f64::from(left));
            eaten += will;
            Outlook {
                stock: stock.clone(),
                days_left,
                planned: planned_cubes,
                too_many: left - whole(will),
            }
        };
        stock.iter().map(outlook).collect()
    }

    /// The room for a new batch that keeps `keeps` days: the cubes that are eaten in time at meals
    /// that are not planned, with no more of those in the freezer left over, where what is to be
    /// eaten first is eaten first.
    pub fn room(
        &self,
        stock: &[Stock],
        (today, keeps_days): (Date, u32),
        planned: &PlannedEating,
    ) -> Room {
        let keeps = i64::from(keeps_days);
        let outlook = self.outlook(stock, today, planned);
        let will_by = |day: i64| -> f64 {
            let due = outlook.iter().filter(|batch| batch.days_left <= day);
            due.map(|batch| f64::from(batch.stock.left - batch.planned - batch.too_many))
                .sum()
        };
        // There must also be room on the last days of the batches that keep longer.
        let later = outlook.iter().map(|batch| batch.days_left.max(keeps));
        let free = later
            .chain([keeps])
            .map(|day| self.eaten_in(today, day, planned) - will_by(day))
            .fold(f64::INFINITY, f64::min);
        let last = today.saturating_add(keeps.days());
        let planned_by_then: u32 = planned.by_day.range(..=last).map(|(_, cubes)| cubes).sum();
        let unplanned = whole(self.eaten_in(today, keeps, planned));
        let to_cook: u32 = planned.to_cook.range(..=last).map(|(_, cubes)| cubes).sum();
        let cubes = whole(free).min(unplanned).saturating_sub(to_cook);
        let eaten_by_then = unplanned + planned_by_then;
        Room {
            waiting: eaten_by_then - cubes,
            eaten_by_then,
            cubes,
        }
    }

    /// Cubes eaten at meals that are not planned, until the end of the day that is `days` from
    /// today; today counts.
    fn eaten_in(&self, today: Date, days: i64, planned: &PlannedEating) -> f64 {
        #[expect(
            clippy::cast_precision_loss,
            reason = "days of a freezer, far below 2^52"
        )]
        let all = (days + 1).max(0) as f64;
        let last = today.saturating_add(days.days());
        let shares = planned.share_of_day.iter();
        let within = shares.filter(|(day, _)| (today..=last).contains(day));
        let unplanned = all - within.map(|(_, share)| share).sum::<f64>();
        // A quotient without remainder must not lose a cube to rounding.
        self.cubes_a_day * unplanned + 1e-9
    }
}

/// Days from one day to another; negative backwards.
pub(super) fn days_between(from: Date, to: Date) -> i64 {
    from.until(to).map_or(0, |span| i64::from(span.get_days()))
}

fn whole(cubes: f64) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a float cast saturates, and cubes are never negative"
    )]
    let whole = cubes.max(0.0) as u32;
    whole
}
