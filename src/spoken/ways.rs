//! How a food is cooked: as the words say, or as it is asked for.

use data_import::{Error, Food, reference};

use super::food::Chosen;
use super::kinds::words_of;
use super::stop::Stop;
use super::unclear::Doubt;
use crate::cooking::{ClassTable, FoodClass, Method};

impl Chosen {
    /// How it is cooked: as the words say, not at all where it needs none, else it is asked for.
    pub(super) fn method(&self, class: &FoodClass) -> Result<Method, Stop<Error>> {
        let beside = &self.beside;
        let named = beside.methods.is_empty() && !is_ready(&self.food);
        let methods = if named {
            &beside.named_methods
        } else {
            &beside.methods
        };
        // A way without figures of its own, such as grilling: the nearest is offered.
        let (near, known): (Vec<&String>, Vec<&String>) =
            methods.iter().partition(|way| way.starts_with('?'));
        let near = near.first().filter(|_| known.is_empty());
        let near = near.and_then(|way| way.trim_start_matches('?').parse().ok());
        // "In the oven, roasted" is one way.
        let both = ["bake", "roast"].map(str::to_string);
        let methods = if known.iter().copied().eq(&both) {
            vec![known[1]]
        } else {
            known
        };
        let usual = near.map_or_else(|| usual(class, &self.food), Ok)?;
        let unknown = || Doubt::Method {
            food: self.food.name.clone(),
            usual,
            is_near: near.is_some(),
        };
        match methods.as_slice() {
            _ if beside.is_left_over() && is_ready(&self.food) => Ok(Method::None),
            _ if near.is_some() => Err(unknown().stop()),
            [one] => one.parse().map_err(|_| unknown().stop()),
            [] if beside.says("raw") || beside.is_cooked() => Ok(Method::None),
            [] if is_ready(&self.food) || usual == Method::None && !asks(class) => Ok(Method::None),
            [] => Err(unknown().stop()),
            several => {
                let all = several.iter().map(ToString::to_string).collect();
                Err(Doubt::Methods(all).stop())
            }
        }
    }
}

/// The usual way to cook a food, to be offered: not at all, where it is cooked already.
///
/// Errors: a table does not read.
pub fn usual_method(food: &Food) -> Result<Method, Error> {
    if is_ready(food) {
        return Ok(Method::None);
    }
    usual(&ClassTable::builtin()?.class_of(food), food)
}

/// Whether a food is cooked already.
fn is_ready(food: &Food) -> bool {
    let name = words_of(&food.name);
    let ready = [
        "canned", "cooked", "boiled", "steamed", "roasted", "baked", "braised", "ready",
        "prepared", "smoked",
    ];
    let unready = ["uncooked", "unprepared"];
    name.iter().any(|word| ready.contains(&word.as_str()))
        && !name.iter().any(|word| unready.contains(&word.as_str()))
}

/// Fruit is eaten raw as often as cooked: nothing is taken for granted.
fn asks(class: &FoodClass) -> bool {
    matches!(class.0.as_str(), "fruit" | "unclassified")
}

/// The usual way to cook a food of a class, to be offered.
fn usual(class: &FoodClass, food: &Food) -> Result<Method, Error> {
    let rows: Vec<(String, String, String)> =
        reference::rows("usual-methods.csv", reference::USUAL_METHODS)?;
    let starts = |starts: &str| {
        starts.is_empty() || starts.split('|').any(|start| food.name.starts_with(start))
    };
    let row = rows.iter().find(|row| row.0 == class.0 && starts(&row.1));
    let method = row.and_then(|row| row.2.parse().ok());
    Ok(method.unwrap_or(Method::Steam))
}
