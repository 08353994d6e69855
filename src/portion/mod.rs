//! Density, trays and cubes, and scaling a batch to fill them.

mod cube_count;
mod density;
mod scale;
mod tray;
mod water;

pub use cube_count::{CubeCount, NotACubeCount};
pub use density::{Constituents, ROOM_CELSIUS};
pub use scale::{Rounding, Target, on_the_scale};
pub use tray::{Cubes, Filled, MOST_CUBES_OF_A_BATCH, Tray, TrayError};
pub use water::water_by_difference;
