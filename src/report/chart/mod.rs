//! Charts: functions from plain figures to one SVG picture, drawn for a screen and for paper. Each
//! picture carries its title and a description of all it shows, and needs the rules of
//! `templates/chart.css` on the page around it. Nothing is conveyed by colour alone: food is solid
//! and milk is hatched, and a shape shows how a meal went.

mod bars;
mod calendar;
mod costs;
mod growth;
mod legend;
mod marks;
mod medium;
mod palette;
mod periods;
mod strip;
mod svg;
#[cfg(test)]
mod tests;
mod whisker;

pub use bars::{NutrientBar, NutrientBars};
pub use calendar::{Calendar, CalendarDay, CalendarWeek};
pub use costs::{CostBar, CostBars};
pub use growth::{Growth, GrowthMark};
pub use palette::{Colour, Palette};
pub use periods::{PeriodBar, PeriodBars};
pub use strip::{DayRecord, Strip, StripCell, StripDay};
pub use whisker::Whisker;
