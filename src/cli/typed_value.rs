//! The value of an option that is read from its text; an error shows the option and what was typed.

use trayful::cost::{Money, MoneyError};
use trayful::problem::{Place, Problem, SourceText};
use trayful::quantity::{Amount, AmountError, Mass, Volume, read_mass};

/// The place of what was typed for an option.
pub(super) fn place_of(option: &str, typed: &str) -> Place {
    Place::whole(&SourceText::new(option, typed))
}

/// Reads a mass: `905 g`, or pounds with ounces.
pub(super) fn mass(option: &str, typed: &str) -> Result<Mass, Problem> {
    read_mass(typed).map_err(|error| wrong(option, typed, &error))
}

/// Reads a volume.
pub(super) fn volume(option: &str, typed: &str) -> Result<Volume, Problem> {
    let volume = typed.parse().and_then(|amount: Amount| amount.volume());
    volume.map_err(|error| wrong(option, typed, &error))
}

/// Reads what is paid.
pub(super) fn money(option: &str, typed: &str) -> Result<Money, Problem> {
    typed.parse().map_err(|error: MoneyError| {
        Problem::at(place_of(option, typed), error.to_string()).hint(error.hint())
    })
}

fn wrong(option: &str, typed: &str, error: &AmountError) -> Problem {
    Problem::at(place_of(option, typed), error.to_string()).hint(error.hint())
}
