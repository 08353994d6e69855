//! The nine major allergens: which a food's name gives away, and what a household may call them.

use data_import::reference::{self, TableRow};
use data_import::{Error, Food};

use crate::food::{Pattern, begins_a_word};
use crate::problem::edit_distance;

/// The table `allergens.csv`.
#[derive(Debug)]
pub struct AllergenTable {
    rows: Vec<(String, Pattern)>,
}

/// What households write for an allergen, beside its own name.
const WORDS: [(&str, &str); 27] = [
    ("eggs", "egg"),
    ("hen's egg", "egg"),
    ("dairy", "milk"),
    ("cow's milk", "milk"),
    ("cows milk", "milk"),
    ("cow milk", "milk"),
    ("cmpa", "milk"),
    ("nut", "tree nuts"),
    ("nuts", "tree nuts"),
    ("tree nut", "tree nuts"),
    ("almond", "tree nuts"),
    ("walnut", "tree nuts"),
    ("cashew", "tree nuts"),
    ("hazelnut", "tree nuts"),
    ("pistachio", "tree nuts"),
    ("peanuts", "peanut"),
    ("groundnut", "peanut"),
    ("crustacean", "shellfish"),
    ("crustaceans", "shellfish"),
    ("prawn", "shellfish"),
    ("shrimp", "shellfish"),
    ("crab", "shellfish"),
    ("gluten", "wheat"),
    ("soya", "soy"),
    ("soybean", "soy"),
    ("tahini", "sesame"),
    ("fishes", "fish"),
];

impl AllergenTable {
    /// Reads the built-in table.
    pub fn builtin() -> Result<Self, Error> {
        let row = |row: TableRow<'_>| (row.cell("allergen").to_string(), Pattern::of_row(row));
        let rows = reference::read_rows("allergens.csv", reference::ALLERGENS, row)?;
        Ok(Self { rows })
    }

    /// The names of the allergens.
    pub fn all(&self) -> impl Iterator<Item = &str> {
        self.rows.iter().map(|(allergen, _)| allergen.as_str())
    }

    /// The major allergens that the name of a food gives away.
    pub fn of<'a>(&'a self, food: &Food) -> impl Iterator<Item = &'a str> {
        let matching = self
            .rows
            .iter()
            .filter(|(_, pattern)| pattern.matches(food));
        let found: Vec<_> = matching.map(|(allergen, _)| allergen.as_str()).collect();
        found.into_iter()
    }

    /// Whether a word is a name for a major allergen.
    pub fn knows(&self, word: &str) -> bool {
        major_allergen(&word.trim().to_lowercase()).is_some()
    }

    /// Whether a food holds what a household has on record as an allergy: a major allergen under any of its names,
    /// else a food whose own name has the word.
    pub fn holds(&self, food: &Food, allergy: &str) -> bool {
        let written = allergy.trim().to_lowercase();
        let name = major_allergen(&written).unwrap_or(&written);
        if self.of(food).any(|allergen| allergen == name) {
            return true;
        }
        let word = stem(&written);
        let major = self.all().any(|allergen| allergen == name);
        !word.is_empty() && !major && begins_a_word(&food.name.to_lowercase(), word)
    }
}

/// The major allergen of this name or of another name that households use, in lower case, of one or of several.
fn major_allergen(written: &str) -> Option<&'static str> {
    let one = written.strip_suffix('s').unwrap_or(written);
    let names = |name: &str| name == written || name == one;
    let mut usual = WORDS.iter();
    let found = usual.find(|(word, name)| names(word) || names(name));
    found.map(|(_, name)| *name)
}

/// The name of a major allergen that an allergy was likely meant to be: one slip of the finger away. Such a word would match no
/// food, and nothing would be stopped for it. Shorter words than four letters are too near to other foods to tell.
pub fn misspelt_allergen(allergy: &str) -> Option<&'static str> {
    let written = allergy.trim().to_lowercase();
    if written.chars().count() < 4 || major_allergen(&written).is_some() {
        return None;
    }
    let known = WORDS.iter().flat_map(|(word, name)| [*word, *name]);
    let mut near = known.filter(|name| edit_distance(&written, name) == 1);
    near.next()
}

/// A word without the ending that its plural changes: `strawberr` of strawberry and strawberries.
fn stem(word: &str) -> &str {
    let longer = |stem: &&str| stem.len() > 2;
    let endings = ["ies", "y", "s"].into_iter();
    let mut stems = endings.filter_map(|ending| word.strip_suffix(ending).filter(longer));
    stems.next().unwrap_or(word)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn named(name: &str) -> Food {
        let table = data_import::FoodTable::builtin().unwrap();
        let ids = ["09316".parse().unwrap()];
        let food = table.foods(&ids).unwrap().pop().flatten().unwrap();
        Food {
            name: name.into(),
            ..food
        }
    }

    #[test]
    fn an_allergy_is_understood_as_it_is_written() {
        let table = AllergenTable::builtin().unwrap();
        for (food, allergy) in [
            ("Egg, whole, cooked, hard-boiled", "Eggs"),
            ("Milk, whole", "dairy"),
            ("Nuts, almonds", "nuts"),
            ("Crustaceans, shrimp, raw", "prawn"),
            ("Strawberries, raw", "strawberry"),
            ("Kiwifruit, green, raw", "kiwi"),
        ] {
            assert!(table.holds(&named(food), allergy), "{food}: {allergy}");
        }
        assert!(table.holds(&named("Strawberries, raw"), "strawberries"));
        assert!(table.holds(&named("Nuts, almonds"), "walnuts"));
        assert!(!table.holds(&named("Eggplant, raw"), "egg"));
        assert!(!table.holds(&named("Squash, winter, butternut, raw"), "nuts"));
    }

    #[test]
    fn a_slip_of_the_finger_is_noticed_and_another_food_is_none() {
        for (written, meant) in [
            ("penut", "peanut"),
            ("Mlik", "milk"),
            ("sesam", "sesame"),
            ("almnd", "almond"),
            ("shelfish", "shellfish"),
        ] {
            assert_eq!(misspelt_allergen(written), Some(meant));
        }
        for food in [
            "pear",
            "pea",
            "peas",
            "beet",
            "oats",
            "fig",
            "figs",
            "prune",
            "mint",
            "corn",
            "kiwi",
            "strawberry",
            "peanuts",
            "eggs",
            "Egg",
            "walnuts",
            "buckwheat",
            "chestnut",
            "coconut",
        ] {
            assert_eq!(misspelt_allergen(food), None, "{food}");
        }
    }
}
