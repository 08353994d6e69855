//! Trays, wells and cubes.

use crate::quantity::{Mass, Volume};

/// The most cubes of a batch that are recorded at once (judgement: a nursery's kitchen fills
/// hundreds).
pub const MOST_CUBES_OF_A_BATCH: u32 = 5000;

/// The share of a cube that may be lacking for it to be counted as whole, so that a batch scaled to
/// 32 cubes has 32 and not 31.999999.
const COUNTING_SLACK: f64 = 1e-6;

/// The share of the expected cubes from which counted cubes are taken for the whole batch
/// (judgement).
const ALL_OF_IT: f64 = 0.9;

/// An ice-cube tray.
#[derive(Debug, Clone, PartialEq)]
pub struct Tray {
    /// The name of the tray in the household.
    pub name: String,
    /// The number of wells.
    pub wells: u32,
    /// The volume of one well to the brim.
    pub well: Volume,
    /// The share of a well that is filled, above 0 and at most 1. Water grows by 8.8 % as it
    /// freezes (997 to 916.9 kg/m3), so a brimful well runs over.
    pub fill: f64,
}

/// Why a tray cannot be used.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TrayError {
    /// The tray has no wells, or too many.
    #[error("a tray has 1 to 200 wells, not {0}")]
    Wells(u32),
    /// The volume of a well is outside anything sold.
    #[error("a well holds 5 to 250 ml, not {0} ml")]
    Well(f64),
    /// The fill is not a share above 0.
    #[error("a well is filled above 0 and at most to 1 (its brim), not {0}")]
    Fill(f64),
}

impl TrayError {
    /// What to do next.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Wells(_) => "count the wells of one tray",
            Self::Well(_) => {
                "pour water into one well by the tablespoon: most hold 22 to 30 ml, two tablespoons \
                 or less"
            }
            Self::Fill(_) => "write 0.9 for nine tenths, which leaves the purée room to freeze",
        }
    }
}

impl Tray {
    /// The tray that is assumed where none is named: sixteen wells of 30 ml, filled to nine
    /// tenths. A well holds 22 to 30 ml (common practice, no source).
    pub fn usual() -> Self {
        Self {
            name: "usual tray".into(),
            wells: 16,
            well: Volume::from_millilitres(30.0),
            fill: 0.9,
        }
    }

    /// The tray itself, where its figures are possible.
    pub fn checked(self) -> Result<Self, TrayError> {
        let well = self.well.millilitres();
        if !(1..=200).contains(&self.wells) {
            Err(TrayError::Wells(self.wells))
        } else if !(5.0..=250.0).contains(&well) {
            Err(TrayError::Well(well))
        } else if !(self.fill > 0.0 && self.fill <= 1.0) {
            Err(TrayError::Fill(self.fill))
        } else {
            Ok(self)
        }
    }

    /// The volume of one cube as it is filled.
    pub fn cube_volume(&self) -> Volume {
        self.well * self.fill
    }

    /// The mass of one cube of a purée with this density in g/ml.
    pub fn cube_mass(&self, density: f64) -> Mass {
        self.cube_volume().at_density(density)
    }
}

/// A batch counted in cubes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cubes {
    /// Mass of one cube.
    pub each: Mass,
    /// The number of cubes that the batch makes, with the fraction.
    pub count: f64,
}

/// The cubes of a batch as they were filled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Filled {
    /// Mass of one cube.
    pub each: Mass,
    /// Whether somebody counted them, so that together they hold the batch.
    pub counted: bool,
}

impl Cubes {
    /// Counts a batch in cubes of a given mass.
    pub fn of(batch: Mass, each: Mass) -> Self {
        Self {
            each,
            count: batch / each,
        }
    }

    /// The number of whole cubes.
    pub fn whole(&self) -> u32 {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a batch of at most some tonnes, never negative; a float cast saturates"
        )]
        let whole = (self.count + COUNTING_SLACK).floor().max(0.0) as u32;
        whole
    }

    /// The batch spread over a number of cubes, which the household stated or the program assumes.
    /// Wells that were filled less give smaller cubes; of far fewer cubes than the batch fills the
    /// rest was eaten at once.
    pub fn filled(&self, cubes: u32, stated: bool) -> Filled {
        let even = self.each * (self.count / f64::from(cubes.max(1)));
        let counted = stated && f64::from(cubes) >= ALL_OF_IT * self.count;
        let each = if counted || even < self.each {
            even
        } else {
            self.each
        };
        Filled { each, counted }
    }

    /// The mass left over beside the whole cubes.
    pub fn left_over(&self) -> Mass {
        self.each * (self.count - f64::from(self.whole())).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fill_above_the_brim_is_refused() {
        let tray = Tray {
            fill: 1.1,
            ..Tray::usual()
        };
        assert_eq!(tray.checked(), Err(TrayError::Fill(1.1)));
        let tray = Tray {
            fill: f64::NAN,
            ..Tray::usual()
        };
        assert!(tray.checked().is_err());
        assert!(
            Tray {
                fill: 1.0,
                ..Tray::usual()
            }
            .checked()
            .is_ok()
        );
    }

    #[test]
    fn whole_cubes_and_the_rest_make_the_batch() {
        let cubes = Cubes::of(Mass::from_grams(100.0), Mass::from_grams(30.0));
        assert_eq!(cubes.whole(), 3);
        approx::assert_relative_eq!(cubes.left_over().grams(), 10.0, epsilon = 1e-9);
    }

    #[test]
    fn a_batch_scaled_to_a_whole_number_is_not_one_short() {
        let each = Mass::from_grams(28.123_456_789);
        let cubes = Cubes::of(each * (32.0 - 1e-9), each);
        assert_eq!(cubes.whole(), 32);
        assert_eq!(cubes.left_over(), Mass::ZERO);
    }
}
