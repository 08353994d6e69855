//! The eight food groups of "minimum dietary diversity" (WHO and UNICEF, Indicators for assessing
//! infant and young child feeding practices, 2021): the table `diversity-groups.csv`, first
//! matching row wins.

use data_import::{Error, Food, NutrientId, reference};

use crate::cooking::ClassTable;
use crate::food::Pattern;

/// A food group that counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
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
    /// All eight, in the publication's order.
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

    /// As a parent reads it.
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

/// What a food counts for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grouping {
    /// For one group.
    Group(DietGroup),
    /// For none: a fat, a sweet, a drink, a seasoning, water.
    Apart,
    /// Its name or its values do not say: it may count for several, or for none.
    Unknown,
}

/// From how much vitamin A on a fruit or vegetable is rich in it, µg RAE in 100 g: FAO's 120 µg RE,
/// of which carotene gives two for one RAE (from memory).
const RICH_IN_VITAMIN_A: f64 = 60.0;

/// µg RAE in one IU of vitamin A of a plant (documentation of USDA SR28: IU/20).
const RAE_PER_PLANT_IU: f64 = 0.05;

/// The ordered rules.
#[derive(Debug)]
pub struct GroupTable {
    classes: ClassTable,
    rules: Vec<Rule>,
}

#[derive(Debug)]
struct Rule {
    verdict: Verdict,
    classes: Vec<String>,
    pattern: Pattern,
}

/// What a row says.
#[derive(Debug, Clone, Copy)]
enum Verdict {
    Is(Grouping),
    ByVitaminA,
}

impl GroupTable {
    /// Reads the built-in tables.
    pub fn builtin() -> Result<Self, Error> {
        let (columns, rows) =
            reference::records("diversity-groups.csv", reference::DIVERSITY_GROUPS)?;
        let rule = |row| Rule::from_cells(|name| reference::cell(&columns, row, name));
        Ok(Self {
            classes: ClassTable::builtin()?,
            rules: rows.iter().map(rule).collect(),
        })
    }

    /// The group a food counts for; `None` where it counts for none or its name does not say.
    pub fn group_of(&self, food: &Food) -> Option<DietGroup> {
        match self.grouping_of(food) {
            Grouping::Group(group) => Some(group),
            Grouping::Apart | Grouping::Unknown => None,
        }
    }

    /// What a food counts for.
    pub fn grouping_of(&self, food: &Food) -> Grouping {
        let class = self.classes.class_of(food).0;
        let fits = |rule: &&Rule| rule.is_of(&class) && rule.pattern.matches(food);
        match self.rules.iter().find(fits).map(|rule| rule.verdict) {
            Some(Verdict::Is(grouping)) => grouping,
            Some(Verdict::ByVitaminA) => by_vitamin_a(food),
            None => Grouping::Unknown,
        }
    }
}

impl Rule {
    fn from_cells<'a>(cell: impl Fn(&str) -> &'a str) -> Self {
        let word = cell("group");
        let group = DietGroup::ALL.into_iter().find(|one| one.word() == word);
        let classes = cell("classes").split('|').filter(|class| !class.is_empty());
        Self {
            verdict: match (group, word) {
                (Some(group), _) => Verdict::Is(Grouping::Group(group)),
                (None, "none") => Verdict::Is(Grouping::Apart),
                (None, "produce") => Verdict::ByVitaminA,
                (None, _) => Verdict::Is(Grouping::Unknown),
            },
            classes: classes.map(String::from).collect(),
            pattern: Pattern::from_cells(cell),
        }
    }

    fn is_of(&self, class: &str) -> bool {
        self.classes.is_empty() || self.classes.iter().any(|one| one == class)
    }
}

/// A fruit or vegetable is of one of two groups, by its vitamin A.
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

    const VERDICTS: [&str; 3] = ["none", "mixed", "produce"];

    #[test]
    fn every_row_names_a_group_and_classes_there_are() {
        let (columns, rows) =
            reference::records("diversity-groups.csv", reference::DIVERSITY_GROUPS).unwrap();
        let classes = ClassTable::builtin().unwrap().classes();
        for row in &rows {
            let word = reference::cell(&columns, row, "group");
            let group = DietGroup::ALL.into_iter().any(|one| one.word() == word);
            assert!(group || VERDICTS.contains(&word), "{word}");
            for class in reference::cell(&columns, row, "classes").split('|') {
                let known = classes.iter().any(|one| one.0 == class);
                assert!(class.is_empty() || known, "{class}");
            }
        }
    }

    #[test]
    fn every_cooking_class_has_a_row_of_its_own() {
        let table = GroupTable::builtin().unwrap();
        for class in table.classes.classes() {
            let named = |rule: &Rule| rule.classes.contains(&class.0);
            let unnamed = [
                "fast-food",
                "mixed-dishes",
                "restaurant-food",
                "soups-sauces",
                "unclassified",
            ];
            assert_eq!(
                table.rules.iter().any(named),
                !unnamed.contains(&class.0.as_str()),
                "{class}"
            );
        }
    }
}
