//! The uncertainty of figures: an interval around the amount of a nutrient in this pot, meant to
//! hold eight times in ten.
//!
//! Each doubt is a signed amount (one standard deviation, in the nutrient's unit) under its
//! [`Cause`]. Amounts under the same cause add, those under different causes add in squares, so
//! that a week of one batch is as unsure as the batch, and what errs in opposite directions
//! cancels. `composition` says how far a value of a food table may be off, `doubts` keeps the
//! amounts of one unit (a cube, a gram), `portion` takes a number of units, `interval` adds
//! portions up; what a pot adds is in `recipe/doubts`.

mod cause;
mod composition;
mod doubts;
mod interval;
mod portion;

pub use cause::{Cause, DoubtKind, PotId};
pub use composition::{Evidence, FoodSpreads, NutrientClass, SpreadTable, ValueSpread};
pub use doubts::{DoubtAmount, Doubts};
pub use interval::{Interval, IntervalPart, WidestDoubt, interval_of};
pub use portion::{CubesTaken, UnsurePortion};

/// The share of cases in which an interval is meant to hold.
pub const COVERAGE: f64 = 0.8;

/// Standard deviations to each side for [`COVERAGE`]: the 90th percentile of the normal
/// distribution.
pub(crate) const REACH: f64 = 1.281_551_565_544_6;
