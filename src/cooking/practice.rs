//! Rules of thumb of the kitchen: how long a food is cooked, how much liquid makes it thin.

use data_import::{Error, reference};
use serde::Deserialize;

use super::{FoodClass, Method};

/// One rule of thumb.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct Practice {
    /// Stable name.
    pub id: String,
    method: String,
    classes: String,
    /// The rule in words.
    pub text: String,
    /// "common practice, no source", or a publication.
    pub source: String,
    /// The longest the words allow, in minutes; `None` where they name no time.
    pub minutes: Option<u32>,
}

impl Practice {
    /// The cooking time at the beginning of the words; `None` where they name no time.
    pub fn time(&self) -> Option<&str> {
        self.minutes?;
        self.text.split(',').next()
    }

    /// The temperature of the middle at the beginning of the words: `until 74 C (165 F)`.
    pub fn heat(&self) -> &str {
        self.text
            .split(" in the middle")
            .next()
            .unwrap_or(&self.text)
    }
}

/// The word in place of a method where a line is about the temperature of the middle.
const INSIDE: &str = "inside";

/// The table `kitchen-practice.csv`.
#[derive(Debug)]
pub struct PracticeTable {
    rows: Vec<Practice>,
}

impl PracticeTable {
    /// Reads the built-in table.
    pub fn builtin() -> Result<Self, Error> {
        let rows = reference::rows("kitchen-practice.csv", reference::KITCHEN_PRACTICE)?;
        Ok(Self { rows })
    }

    /// How a class of food is cooked by a method.
    pub fn cooking(&self, class: &FoodClass, method: Method) -> Option<&Practice> {
        self.of(class, method.word())
    }

    /// How hot the middle of a food of this class must get, where that matters.
    pub fn inside(&self, class: &FoodClass) -> Option<&Practice> {
        self.of(class, INSIDE)
    }

    fn of(&self, class: &FoodClass, method: &str) -> Option<&Practice> {
        self.rows.iter().find(|row| {
            let of_class = row.classes.is_empty() || row.classes.split('|').any(|c| c == class.0);
            row.method == method && of_class
        })
    }

    /// A rule of thumb by its name.
    pub fn rule(&self, id: &str) -> Option<&Practice> {
        self.rows.iter().find(|row| row.id == id)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The figure in front of a unit.
    fn degrees(text: &str, unit: &str) -> f64 {
        let before = text.split(unit).next().unwrap();
        let figure = before.rsplit([' ', '(']).next().unwrap();
        figure.parse().unwrap()
    }

    #[test]
    fn the_heat_in_the_middle_is_the_same_on_both_scales() {
        let table = PracticeTable::builtin().unwrap();
        let rows: Vec<_> = table
            .rows
            .iter()
            .filter(|row| row.method == INSIDE)
            .collect();
        assert!(!rows.is_empty());
        for row in rows {
            let (celsius, fahrenheit) = (degrees(&row.text, " C"), degrees(&row.text, " F"));
            assert_eq!(((fahrenheit - 32.0) / 1.8).round(), celsius, "{}", row.id);
        }
    }

    #[test]
    fn only_food_of_animals_has_a_heat_to_reach() {
        let table = PracticeTable::builtin().unwrap();
        let inside = |class: &str| table.inside(&FoodClass(class.into())).is_some();
        for class in [
            "chicken",
            "turkey",
            "liver",
            "beef",
            "beef-ground",
            "finfish-lean",
            "eggs",
        ] {
            assert!(inside(class), "{class}");
        }
        for class in ["roots", "legumes-quick", "fruit", "water"] {
            assert!(!inside(class), "{class}");
        }
    }

    #[test]
    fn every_class_in_the_table_is_one_that_foods_are_cooked_as() {
        let known = super::super::ClassTable::builtin().unwrap().classes();
        for row in PracticeTable::builtin().unwrap().rows {
            for class in row.classes.split('|').filter(|class| !class.is_empty()) {
                assert!(
                    known.contains(&FoodClass(class.into())),
                    "{}: {class}",
                    row.id
                );
            }
        }
    }
}
