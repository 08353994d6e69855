//! The ways to cook.

use std::fmt;
use std::str::FromStr;

use crate::problem::nearest;

/// A way to cook an ingredient.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Method {
    /// Cooked over boiling water.
    Steam,
    /// Cooked covered with water.
    Boil,
    /// Cooked in a little water.
    Simmer,
    /// Cooked in liquid that is eaten with the food.
    Stew,
    /// Cooked in the oven.
    Bake,
    /// Cooked in a hot oven.
    Roast,
    /// Cooked in a pan with a little fat.
    Saute,
    /// Cooked in the microwave oven.
    Microwave,
    /// Cooked under pressure.
    Pressure,
    /// Not cooked: the food is cooked already, or eaten raw.
    None,
}

/// Every method with the word for it.
const METHODS: [(Method, &str); 10] = [
    (Method::Steam, "steam"),
    (Method::Boil, "boil"),
    (Method::Simmer, "simmer"),
    (Method::Stew, "stew"),
    (Method::Bake, "bake"),
    (Method::Roast, "roast"),
    (Method::Saute, "saute"),
    (Method::Microwave, "microwave"),
    (Method::Pressure, "pressure"),
    (Method::None, "none"),
];

impl Method {
    /// Every method.
    pub fn all() -> impl Iterator<Item = Self> {
        METHODS.iter().map(|(method, _)| *method)
    }

    /// Whether what leaves the food goes into water in the pot or steamer, and does not drip as in
    /// the oven and the pan.
    pub fn uses_water(self) -> bool {
        !matches!(self, Self::Bake | Self::Roast | Self::Saute | Self::None)
    }

    /// The word for it in recipe files and tables.
    pub fn word(self) -> &'static str {
        METHODS
            .iter()
            .find(|(method, _)| *method == self)
            .map_or("none", |(_, word)| word)
    }

    /// All the words, for messages.
    pub fn words() -> String {
        METHODS.map(|(_, word)| word).join(", ")
    }
}

impl fmt::Display for Method {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// A word that names no method.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("“{0}” is not a way to cook")]
pub struct UnknownMethod(pub String);

impl UnknownMethod {
    /// What to do next.
    pub fn hint(&self) -> String {
        let methods = format!("use one of {}", Method::words());
        match nearest(&self.0, METHODS.iter().map(|(_, word)| *word)) {
            Some(word) => format!("did you mean “{word}”? {methods}"),
            None => methods,
        }
    }
}

impl FromStr for Method {
    type Err = UnknownMethod;

    fn from_str(text: &str) -> Result<Self, UnknownMethod> {
        let lower = text.trim().to_lowercase();
        METHODS
            .iter()
            .find(|(_, word)| *word == lower)
            .map(|(method, _)| *method)
            .ok_or_else(|| UnknownMethod(text.trim().to_string()))
    }
}
