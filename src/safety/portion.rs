//! Foods on the way to a child: how much, cooked how, and in which form.

use data_import::Food;
use jiff::civil::Date;

use crate::cooking::Method;
use crate::quantity::Mass;

/// How a food is given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PortionForm {
    /// As it is.
    Whole,
    /// Blended, in cubes.
    Puree,
}

/// A food in a serving.
#[derive(Debug, Clone)]
pub struct Portion {
    /// The food.
    pub food: Food,
    /// Edible mass in the serving, raw where it was cooked; `None` where it is not known.
    pub mass: Option<Mass>,
    /// How it was cooked: [`Method::None`] for raw or as it is; `None` where it is not on record.
    pub method: Option<Method>,
    /// How it is given.
    pub form: PortionForm,
    /// What was typed for it; empty where that is not known.
    pub typed: String,
}

/// A meal beside the one that is judged: eaten before, drunk as milk, or planned.
#[derive(Debug, Clone)]
pub struct EatenMeal {
    /// The day.
    pub day: Date,
    /// What was in it.
    pub portions: Vec<Portion>,
}

impl Portion {
    /// So much of a food as it is.
    pub fn as_it_is(food: Food, mass: Mass) -> Self {
        Self {
            food,
            mass: Some(mass),
            method: Some(Method::None),
            form: PortionForm::Whole,
            typed: String::new(),
        }
    }
}
