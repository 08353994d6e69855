//! The meals of a day that go without food last: the main ones.

use crate::food::has_whole_word;
use crate::notebook::EVENING;

/// Whether a meal of the day is one between the main meals, by its name: a snack, or a tea before
/// supper.
fn is_between_meals(name: &str, all: &[String]) -> bool {
    let is_evening = |one: &String| EVENING.contains(&one.to_lowercase().as_str());
    let name = name.to_lowercase();
    has_whole_word(&name, "snack") || (has_whole_word(&name, "tea") && all.iter().any(is_evening))
}

/// The places of so many meals of a day, in their order: those between the main meals go without
/// first.
pub(super) fn main_meals_first<'n>(
    meals: impl Iterator<Item = (usize, &'n String)>,
    (room, all): (usize, &[String]),
) -> Vec<usize> {
    let mut places: Vec<(bool, usize)> = meals
        .map(|(place, name)| (is_between_meals(name, all), place))
        .collect();
    places.sort_unstable();
    places.truncate(room);
    let mut places: Vec<usize> = places.into_iter().map(|(_, place)| place).collect();
    places.sort_unstable();
    places
}
