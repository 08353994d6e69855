//! The eight food groups of "minimum dietary diversity" (WHO and UNICEF, Indicators for assessing
//! infant and young child feeding practices, 2021): the table `diversity-groups.csv`, of which the
//! first matching row wins.

use data_import::{Error, Food, NutrientId, reference};
use serde::Serialize;

use super::class_rules::ClassRules;
use crate::cooking::{ClassTable, FoodClass};

/// A food group of dietary diversity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum DietGroup {
    /// Breast milk.
    BreastMilk,
    /// Grains, roots, tubers and plantains.
    Grains,
    /// Pulses, nuts and seeds.
    Pulses,
    /// Milk, infant formula, yogurt and cheese.
    Dairy,
    /// Meat, fish, poultry and organ meats.
    Flesh,
    /// Eggs.
    Eggs,
    /// Fruits and vegetables rich in vitamin A.
    VitaminA,
    /// Other fruits and vegetables.
    Other,
}

impl DietGroup {
    /// All eight groups, in the publication's order.
    pub const ALL: [Self; 8] = [
        Self::BreastMilk,
        Self::Grains,
        Self::Pulses,
        Self::Dairy,
        Self::Flesh,
        Self::Eggs,
        Self::VitaminA,
        Self::Other,
    ];

    /// The word in the table and in the JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::BreastMilk => "breast-milk",
            Self::Grains => "grains",
            Self::Pulses => "pulses",
            Self::Dairy => "dairy",
            Self::Flesh => "flesh",
            Self::Eggs => "eggs",
            Self::VitaminA => "vitamin-a",
            Self::Other => "other",
        }
    }

    /// The name of the group as a parent reads it.
    pub fn name(self) -> &'static str {
        match self {
            Self::BreastMilk => "breast milk",
            Self::Grains => "grains, roots and tubers",
            Self::Pulses => "pulses, nuts and seeds",
            Self::Dairy => "milk, yogurt and cheese",
            Self::Flesh => "meat, fish and poultry",
            Self::Eggs => "eggs",
            Self::VitaminA => "fruit and vegetables rich in vitamin A",
            Self::Other => "other fruit and vegetables",
        }
    }
}

/// The group for which a food counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grouping {
    /// The food counts for one group.
    Group(DietGroup),
    /// The food counts for no group: a fat, a sweet, a drink, a seasoning, water.
    Apart,
    /// The name and the values of the food do not say: it may count for several groups, or for
    /// none.
    Unknown,
}

/// Words of the table beside the groups: for no group, by its vitamin A, unknown.
const APART: &str = "none";
const PRODUCE: &str = "produce";
const UNKNOWN_GROUP: &str = "mixed";

/// The vitamin A from which a fruit or vegetable is rich in it, µg RAE in 100 g: FAO's 120 µg RE,
/// of which carotene gives two for one RAE (from memory).
const RICH_IN_VITAMIN_A: f64 = 60.0;

/// The vitamin A of a plant in one IU, µg RAE (documentation of USDA SR28: IU/20).
const RAE_PER_PLANT_IU: f64 = 0.05;

/// The table `diversity-groups.csv`.
#[derive(Debug)]
pub struct GroupTable {
    classes: &'static ClassTable,
    rules: ClassRules,
}

impl GroupTable {
    /// Reads the built-in tables.
    pub fn builtin() -> Result<Self, Error> {
        let name = "diversity-groups.csv";
        Ok(Self {
            classes: ClassTable::builtin()?,
            rules: ClassRules::read(name, reference::DIVERSITY_GROUPS, "group")?,
        })
    }

    /// The group for which a food counts; `None` where it counts for none or its name does not say.
    pub fn group_of(&self, food: &Food) -> Option<DietGroup> {
        match self.grouping_of(food) {
            Grouping::Group(group) => Some(group),
            Grouping::Apart | Grouping::Unknown => None,
        }
    }

    /// The group for which a food counts.
    pub fn grouping_of(&self, food: &Food) -> Grouping {
        self.grouping_in_class(food, &self.classes.class_of(food))
    }

    /// The group for which a food of a known cooking class counts.
    pub(super) fn grouping_in_class(&self, food: &Food, class: &FoodClass) -> Grouping {
        let word = self.rules.verdict(food, &class.0).unwrap_or(UNKNOWN_GROUP);
        let group = DietGroup::ALL
            .into_iter()
            .find(|group| group.word() == word);
        match (group, word) {
            (Some(group), _) => Grouping::Group(group),
            (None, APART) => Grouping::Apart,
            (None, PRODUCE) => by_vitamin_a(food),
            (None, _) => Grouping::Unknown,
        }
    }
}

/// The group of a fruit or vegetable, by its vitamin A.
fn by_vitamin_a(food: &Food) -> Grouping {
    let value = |id| food.composition.get(id);
    let from_iu = || value(NutrientId::VITAMIN_A_IU).map(|iu| iu * RAE_PER_PLANT_IU);
    match value(NutrientId::VITAMIN_A_RAE).or_else(from_iu) {
        Some(rae) if rae >= RICH_IN_VITAMIN_A => Grouping::Group(DietGroup::VitaminA),
        Some(_) => Grouping::Group(DietGroup::Other),
        None => Grouping::Unknown,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_names_a_group_and_classes_there_are() {
        let table = GroupTable::builtin().unwrap();
        for word in table.rules.words() {
            let group = DietGroup::ALL.into_iter().any(|group| group.word() == word);
            assert!(
                group || [APART, PRODUCE, UNKNOWN_GROUP].contains(&word),
                "{word}"
            );
        }
        let known = table.classes.classes();
        for class in table.rules.classes() {
            assert!(known.iter().any(|known| known.0 == class), "{class}");
        }
    }

    #[test]
    fn every_cooking_class_has_a_row_of_its_own_but_the_mixed_ones() {
        let table = GroupTable::builtin().unwrap();
        let mut unnamed = table.classes.classes();
        unnamed.retain(|class| !table.rules.classes().any(|named| named == class.0));
        let mixed = [
            "fast-food",
            "mixed-dishes",
            "restaurant-food",
            "soups-sauces",
            "unclassified",
        ];
        assert_eq!(unnamed, mixed.map(|class| FoodClass(class.into())));
    }
}
