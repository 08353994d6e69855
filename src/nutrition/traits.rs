//! The traits of a food beside its nutrients that the figures of days and weeks need.

use std::collections::BTreeMap;

use data_import::{Basis, Error, Food, FoodId, NutrientId, reference};

use super::class_rules::ClassRules;
use super::{GroupTable, Grouping};
use crate::cooking::{ClassTable, FoodClass};

/// The form in which a food is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DairyForm {
    /// The food is eaten from a spoon or the hand.
    Solid,
    /// The food is drunk.
    Drink,
    /// Yogurt, a food that counts as a milk feed too.
    Yogurt,
}

/// The traits of a food beside its nutrients.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FoodTraits {
    /// The food group for which it counts.
    pub grouping: Grouping,
    /// The form in which it is taken.
    pub form: DairyForm,
    /// Whether the food is infant formula.
    pub formula: bool,
    /// Whether the food holds much phytate, which inhibits the absorption of iron from plants.
    pub much_phytate: bool,
    /// Added sugar in g per 100 g; `None` where the food may hold an unknown amount.
    pub added_sugar: Option<f64>,
}

/// The traits of the foods of some days.
pub type Traits = BTreeMap<FoodId, FoodTraits>;

/// The tables from which traits are read.
#[derive(Debug)]
pub struct TraitTable {
    classes: &'static ClassTable,
    groups: GroupTable,
    sugar: ClassRules,
    phytate: ClassRules,
}

/// The nutrient of added sugars, in g (of labels and of FoodData Central).
pub(super) const ADDED_SUGARS: NutrientId = NutrientId::new(539);

/// Words of the table `added-sugar.csv`.
const ALL_OF_IT: &str = "all";
const NONE_OF_IT: &str = "none";
/// Word of the table `phytate.csv`.
const MUCH: &str = "much";

impl TraitTable {
    /// Reads the built-in tables.
    pub fn builtin() -> Result<Self, Error> {
        Ok(Self {
            classes: ClassTable::builtin()?,
            groups: GroupTable::builtin()?,
            sugar: ClassRules::read("added-sugar.csv", reference::ADDED_SUGAR, "share")?,
            phytate: ClassRules::read("phytate.csv", reference::PHYTATE, "phytate")?,
        })
    }

    /// The traits of a food.
    pub fn of(&self, food: &Food) -> FoodTraits {
        let class = self.classes.class_of(food);
        let grouping = self.groups.grouping_in_class(food, &class);
        FoodTraits {
            grouping,
            form: form(&class, food, grouping),
            formula: class.0 == FORMULA || is_called_formula(food),
            much_phytate: self.phytate.verdict(food, &class.0) == Some(MUCH),
            added_sugar: self.added_sugar(food, &class),
        }
    }

    /// The traits of several foods, by id.
    pub fn of_all<'a>(&self, foods: impl IntoIterator<Item = &'a Food>) -> Traits {
        let foods = foods.into_iter();
        foods.map(|food| (food.id.clone(), self.of(food))).collect()
    }

    fn added_sugar(&self, food: &Food, class: &FoodClass) -> Option<f64> {
        let value = |id| food.composition.get(id);
        let known = value(ADDED_SUGARS).or_else(|| match self.sugar.verdict(food, &class.0)? {
            ALL_OF_IT => value(NutrientId::SUGARS),
            NONE_OF_IT => Some(0.0),
            _ => None,
        });
        known.filter(|_| food.basis == Basis::Grams)
    }
}

fn form(class: &FoodClass, food: &Food, grouping: Grouping) -> DairyForm {
    match class.0.as_str() {
        "milk" | FORMULA | "beverages" | "juices" | "water" => DairyForm::Drink,
        "soy-foods" if grouping == Grouping::Apart => DairyForm::Drink,
        "dairy-other" if is_yogurt(food) => DairyForm::Yogurt,
        _ => DairyForm::Solid,
    }
}

/// The class of infant formula in the datasets.
const FORMULA: &str = "infant-formula";

/// Whether an own food is formula by its name, as packets have it.
fn is_called_formula(food: &Food) -> bool {
    let name = food.name.to_lowercase();
    let calls = ["formula", "infant milk", "follow-on milk"];
    food.id.is_own() && calls.iter().any(|call| name.contains(call))
}

fn is_yogurt(food: &Food) -> bool {
    let name = food.name.to_lowercase();
    name.starts_with("yogurt") || name.starts_with("kefir")
}

#[cfg(test)]
mod tests {
    use super::*;
    use data_import::FoodTable;

    #[test]
    fn the_words_of_the_table_are_known() {
        let table = TraitTable::builtin().unwrap();
        for word in table.sugar.words() {
            assert!([ALL_OF_IT, NONE_OF_IT, "unknown"].contains(&word), "{word}");
        }
        for word in table.phytate.words() {
            assert!([MUCH, "little"].contains(&word), "{word}");
        }
        let known = table.classes.classes();
        for class in table.sugar.classes().chain(table.phytate.classes()) {
            assert!(known.iter().any(|known| known.0 == class), "{class}");
        }
    }

    /// Pulses, whole grain, nuts and seeds hold much phytate; refined grain, roots, fruit and food
    /// of animals hardly any (WHO and FAO, Vitamin and mineral requirements in human nutrition, 2nd
    /// edition, 2004; from memory).
    #[test]
    fn whole_grain_and_pulses_hold_much_phytate() {
        let (table, foods) = (
            TraitTable::builtin().unwrap(),
            FoodTable::builtin().unwrap(),
        );
        let much = |id: &str| {
            let found = foods.foods(&[id.parse().unwrap()]).unwrap();
            let food = found[0].clone().unwrap();
            table.of(&food).much_phytate
        };
        // Red lentils, kidney beans, oats, barley, brown rice, whole wheat bread, peanut butter,
        // tofu, baby oatmeal.
        for id in [
            "16144", "16034", "08120", "20005", "20037", "18075", "16098", "16126", "03189",
        ] {
            assert!(much(id), "{id}");
        }
        // Squash, white rice, potato, white pasta, beef, egg, milk, rice cereal for babies.
        for id in [
            "11485", "20044", "11352", "20121", "23572", "01123", "01077", "03194",
        ] {
            assert!(!much(id), "{id}");
        }
    }
}
