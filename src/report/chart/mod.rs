//! Drawings: plain figures in, one SVG picture out. Each carries its title and all it shows in words, and needs
//! the rules of `templates/chart.css` on the page around it. Nothing is told by colour alone: food is
//! full and milk is hatched, how a meal went is a shape.

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
