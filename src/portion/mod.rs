//! Density, trays and cubes, and scaling a batch to fill them.

mod density;
mod pour;
mod scale;
mod tray;

pub use density::Constituents;
pub use pour::poured;
pub use scale::{Rounding, Target, on_the_scale};
pub use tray::{Cubes, Tray, TrayError};
