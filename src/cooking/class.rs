//! The class as which a food is cooked: the table `food-classes.csv`, of which the first matching
//! row wins.

use std::fmt;

use std::sync::OnceLock;

use data_import::reference::{self, TableRow};
use data_import::{Error, Food};

use crate::food::{DescribedFood, Pattern};

/// The class as which a food is cooked: greens, roots, legumes of one cooking time, lean fish, ...
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FoodClass(pub String);

impl fmt::Display for FoodClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// The class of foods that no row matches.
const UNCLASSIFIED: &str = "unclassified";

/// The ordered rules.
#[derive(Debug)]
pub struct ClassTable {
    rules: Vec<(FoodClass, Pattern)>,
}

impl ClassTable {
    /// The built-in table; it is read once.
    ///
    /// Errors: the table cannot be read.
    pub fn builtin() -> Result<&'static Self, Error> {
        static BUILTIN: OnceLock<ClassTable> = OnceLock::new();
        if let Some(table) = BUILTIN.get() {
            return Ok(table);
        }
        let rule =
            |row: TableRow<'_>| Ok((FoodClass(row.cell("class").into()), Pattern::of_row(row)?));
        let rules = reference::try_read_rows("food-classes.csv", reference::FOOD_CLASSES, rule)?;
        Ok(BUILTIN.get_or_init(|| Self { rules }))
    }

    /// The class of a food.
    pub fn class_of(&self, food: &Food) -> FoodClass {
        let food = DescribedFood::of(food);
        self.rules
            .iter()
            .find(|(_, pattern)| pattern.fits(&food))
            .map_or_else(
                || FoodClass(UNCLASSIFIED.into()),
                |(class, _)| class.clone(),
            )
    }

    /// Every class the rules can give.
    pub fn classes(&self) -> Vec<FoodClass> {
        let mut classes: Vec<_> = self.rules.iter().map(|(class, _)| class.clone()).collect();
        classes.sort();
        classes.dedup();
        classes
    }
}
