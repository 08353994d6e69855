//! A number of units of a food, with the doubts of one unit.

use std::sync::Arc;

use super::{Doubts, PotId};

/// The spread of the size of one cube among those of its batch, relative to it (judgement).
const CUBE_TO_CUBE: f64 = 0.10;

/// A portion of one food or batch, with its doubts.
#[derive(Debug, Clone, PartialEq)]
pub struct UnsurePortion {
    /// The doubts of one unit.
    pub doubts: Arc<Doubts>,
    /// The number of units.
    pub times: f64,
    /// The cubes of the portion; `None` where it is not of a tray.
    pub cubes: Option<CubesTaken>,
}

/// Cubes of one batch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CubesTaken {
    /// The number of cubes.
    pub taken: f64,
    /// The number of cubes that the whole batch made, where they were counted.
    pub counted: Option<f64>,
}

impl UnsurePortion {
    /// The portion from a pot on record.
    #[must_use]
    pub fn in_pot(&self, pot: &PotId) -> Self {
        Self {
            doubts: Arc::new(Doubts::clone(&self.doubts).in_pot(pot)),
            ..self.clone()
        }
    }

    /// The portion times a factor.
    #[must_use]
    pub fn times(&self, factor: f64) -> Self {
        Self {
            times: self.times * factor,
            cubes: self.cubes.map(|cubes| CubesTaken {
                taken: cubes.taken * factor,
                ..cubes
            }),
            ..self.clone()
        }
    }

    /// The spread of the size of these cubes, relative to them: the more are taken, the more they
    /// even out, and all of them together are the batch, whatever each holds.
    pub fn cube_to_cube(&self) -> f64 {
        let Some(CubesTaken { taken, counted }) = self.cubes else {
            return 0.0;
        };
        if taken <= 0.0 {
            return 0.0;
        }
        let left = counted.map_or(1.0, |all| (1.0 - taken / all).max(0.0));
        CUBE_TO_CUBE / taken.sqrt() * left.sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_cubes_of_a_counted_batch_are_the_batch() {
        let of = |taken, counted| UnsurePortion {
            doubts: Arc::default(),
            times: taken,
            cubes: Some(CubesTaken { taken, counted }),
        };
        approx::assert_relative_eq!(of(4.0, None).cube_to_cube(), 0.05);
        assert_eq!(of(10.0, Some(10.0)).cube_to_cube(), 0.0);
        assert!(of(2.0, Some(10.0)).cube_to_cube() < of(2.0, None).cube_to_cube());
        approx::assert_relative_eq!(of(1.0, None).times(4.0).cube_to_cube(), 0.05);
    }
}
