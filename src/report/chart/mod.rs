//! Charts: functions from plain figures to one SVG picture. Each picture carries its title and a description of all it
//! shows, and needs the rules of `templates/chart.css` on the page around it. Nothing is conveyed by colour alone:
//! food is solid and milk is hatched, and a shape shows how a meal went.

mod bars;
mod calendar;
mod costs;
mod energy;
mod growth;
mod marks;
mod palette;
mod strip;
mod svg;
#[cfg(test)]
mod tests;

pub use bars::{NutrientBar, NutrientBars};
pub use calendar::{Calendar, CalendarDay, CalendarWeek};
pub use costs::{CostBar, CostBars};
pub use energy::{EnergyBar, EnergyBars};
pub use growth::{Growth, GrowthMark};
pub use palette::{Colour, Palette};
pub use strip::{Strip, StripCell, StripDay};

/// Width of every drawing in its own units: about a pixel each on a phone, a quarter of a millimetre
/// in one of two columns on paper.
const WIDTH: f64 = 340.0;
