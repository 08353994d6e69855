//! The values and the tables of `book.toml`, each read with its place.

use data_import::FoodId;
use jiff::civil::Date;

use crate::cost::{Money, ReadyMade};
use crate::portion::Tray;
use crate::problem::{Located, Problem, nearest};
use crate::quantity::{self, Amount, AmountError, Mass, Volume};
use crate::strict_toml::StrictTable;

/// Reads a whole number inside a range.
pub(super) fn ranged(
    table: &mut StrictTable<'_>,
    key: &'static str,
    range: std::ops::RangeInclusive<u32>,
) -> Option<u32> {
    let number = table.whole(key)?;
    if range.contains(&number.value) {
        return Some(number.value);
    }
    let what = format!("“{key}” is {} to {}", range.start(), range.end());
    table.report(number.problem(what));
    None
}

/// The value of a word out of a list.
pub(super) fn one_of<T: Copy>(
    table: &StrictTable<'_>,
    key: &'static str,
    word: &Located<String>,
    known: &[(&'static str, T)],
) -> Option<T> {
    let words = || known.iter().map(|(word, _)| *word);
    let read = |text: &str| {
        let found = known.iter().find(|(word, _)| *word == text);
        found.map(|(_, value)| *value).ok_or_else(|| {
            let all = words().collect::<Vec<_>>().join(", ");
            let hint = match nearest(text, words()) {
                Some(word) => format!("did you mean “{word}”? The values are {all}"),
                None => format!("the values are {all}"),
            };
            (format!("“{text}” is not a value of “{key}”"), hint)
        })
    };
    table.read(word, read).map(|value| value.value)
}

/// Reads a tray.
pub(super) fn tray(mut table: StrictTable<'_>) -> Option<Tray> {
    let usual = Tray::usual();
    let name = table.required("name", "name the tray, such as name = \"blue\"");
    let wells = table.whole("wells");
    let well = table.parsed("well", read_volume);
    let fill = table.number("fill");
    let place = table.place().clone();
    let place = fill
        .as_ref()
        .and_then(|fill| fill.place.clone())
        .unwrap_or(place);
    let value = |volume: &Option<Located<Volume>>| volume.as_ref().map(|volume| volume.value);
    let tray = Tray {
        name: name?.value,
        wells: wells.map_or(usual.wells, |wells| wells.value),
        well: value(&well).unwrap_or(usual.well),
        fill: fill.map_or(usual.fill, |fill| fill.value),
    };
    let checked = tray.checked();
    if let Err(error) = &checked {
        table.report(Problem::at(place, error.to_string()).hint(error.hint()));
    }
    table.finish();
    checked.ok()
}

/// Reads a ready-made food.
pub(super) fn ready_made(mut table: StrictTable<'_>) -> Option<ReadyMade> {
    let name = table.required("name", "name the jar, such as name = \"vegetable jar\"");
    let recipes = table.texts("recipes");
    let mass = table.required("mass", "write the net mass, such as mass = \"4 oz\"");
    let mass = mass.and_then(|text| table.read(&text, read_mass));
    let price = table.required(
        "price",
        "write the price in quotes, such as price = \"1.29\"",
    );
    let price = price.and_then(|text| {
        table.read(&text, |text| {
            text.parse::<Money>()
                .map_err(|error| (error.to_string(), error.hint().to_string()))
        })
    });
    table.finish();
    Some(ReadyMade {
        name: name?.value,
        recipes,
        mass: mass?.value,
        price: price?.value,
    })
}

/// Reads the months in which a food is in season.
pub(super) fn season(mut table: StrictTable<'_>) -> Option<(String, Vec<u32>)> {
    let food = table.required("food", "write the id of the food");
    let months = table.months("months");
    table.finish();
    Some((food?.value, months))
}

/// Reads the food for words of the household.
pub(super) fn word(mut table: StrictTable<'_>) -> Option<(String, FoodId)> {
    let typed = table.required("typed", "write the words, such as typed = \"biscuit\"");
    let food = table.required("food", "write the id of the food that is meant");
    let food = food.and_then(|text| {
        table.read(&text, |id| {
            id.parse().map_err(|_| {
                let what = format!("“{id}” is not the id of a food");
                (what, "such as food = \"18009\"".to_string())
            })
        })
    });
    table.finish();
    Some((typed?.value, food?.value))
}

/// Reads a day in full.
pub(super) fn read_date(text: &str) -> Result<Date, (String, String)> {
    text.parse().map_err(|_| {
        (
            format!("“{text}” is not a day"),
            "write year-month-day, such as 2026-03-02".to_string(),
        )
    })
}

/// Reads a mass with its unit.
pub(super) fn read_mass(text: &str) -> Result<Mass, (String, String)> {
    with_hint(quantity::read_mass(text))
}

fn read_volume(text: &str) -> Result<Volume, (String, String)> {
    with_hint(text.parse().and_then(|amount: Amount| amount.volume()))
}

fn with_hint<T>(result: Result<T, AmountError>) -> Result<T, (String, String)> {
    result.map_err(|error| (error.to_string(), error.hint()))
}
