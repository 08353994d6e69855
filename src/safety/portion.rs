//! Foods as they are given to a child: the mass, the way of cooking, and the form.

use data_import::Food;
use jiff::civil::Date;

use crate::cooking::Method;
use crate::quantity::Mass;

/// The form in which a food is given.
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
    /// The cooking method: [`Method::None`] for raw or as it is; `None` where it is not on record.
    pub method: Option<Method>,
    /// The form in which it is given.
    pub form: PortionForm,
    /// The typed words for it, those of each part of it apart, see [`crate::nutrition::wordings`];
    /// empty where they are not known.
    pub typed: String,
}

/// A meal beside the one that is judged: eaten before, drunk as milk, or planned.
#[derive(Debug, Clone)]
pub struct EatenMeal {
    /// The day.
    pub day: Date,
    /// The foods of the meal.
    pub portions: Vec<Portion>,
}

impl Portion {
    /// A mass of a food as it is.
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
