//! The value of an option that is read from its text; an error shows the option and what was typed.

use trayful::cost::{Money, MoneyError};
use trayful::problem::{Place, Problem, SourceText};
use trayful::quantity::{Amount, AmountError, Mass, Volume};

/// The place of what was typed for an option.
pub(super) fn place_of(option: &str, typed: &str) -> Place {
    Place::whole(&SourceText::new(option, typed))
}

/// Reads a mass.
pub(super) fn mass(option: &str, typed: &str) -> Result<Mass, Problem> {
    read(option, typed, Amount::mass)
}

/// Reads a volume.
pub(super) fn volume(option: &str, typed: &str) -> Result<Volume, Problem> {
    read(option, typed, Amount::volume)
}

/// Reads what is paid.
pub(super) fn money(option: &str, typed: &str) -> Result<Money, Problem> {
    typed.parse().map_err(|error: MoneyError| {
        Problem::at(place_of(option, typed), error.to_string()).hint(error.hint())
    })
}

fn read<T>(
    option: &str,
    typed: &str,
    read: impl Fn(&Amount) -> Result<T, AmountError>,
) -> Result<T, Problem> {
    let wrong = |error: AmountError| {
        Problem::at(place_of(option, typed), error.to_string()).hint(error.hint())
    };
    read(&typed.parse().map_err(wrong)?).map_err(wrong)
}
