//! Masses, volumes, and the amounts that people write.

mod amount;
mod mass;
mod number;
mod unit;
mod volume;

pub use amount::{Amount, AmountError, read_mass};
pub use mass::{Mass, in_grams};
pub use number::{read_number, with_point};
pub use unit::{Unit, UnitKind};
pub use volume::Volume;

/// Implements the arithmetic that a quantity kept as one private `f64` has.
macro_rules! linear_quantity {
    ($name:ident) => {
        impl std::ops::Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl std::ops::Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl std::ops::Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        /// The ratio of two quantities.
        impl std::ops::Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }

        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
                Self(parts.map(|part| part.0).sum())
            }
        }
    };
}
pub(crate) use linear_quantity;
