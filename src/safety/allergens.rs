//! The nine major allergens: those that the name of a food reveals, and whether a food holds what
//! is on record as an allergy.

use data_import::reference::{self, TableRow};
use data_import::{Error, Food};

use super::allergy_words::{Meaning, is_in_name, meanings};
use crate::food::{DescribedFood, Pattern};

/// The table `allergens.csv`; the rows of one allergen are consecutive.
#[derive(Debug)]
pub struct AllergenTable {
    rows: Vec<(&'static str, Pattern)>,
}

impl AllergenTable {
    /// Reads the built-in table.
    pub fn builtin() -> Result<Self, Error> {
        let row = |row: TableRow<'_>| Ok((row.cell("allergen"), Pattern::of_ingredient(row)?));
        let rows = reference::try_read_rows("allergens.csv", reference::ALLERGENS, row)?;
        Ok(Self { rows })
    }

    /// The names of the allergens.
    pub fn all(&self) -> impl Iterator<Item = &str> {
        let each = self
            .rows
            .chunk_by(|(allergen, _), (next, _)| allergen == next);
        each.filter_map(|rows| rows.first())
            .map(|(allergen, _)| *allergen)
    }

    /// The major allergens that the name of a food reveals.
    pub fn of<'a>(&'a self, food: &Food) -> impl Iterator<Item = &'a str> {
        let food = DescribedFood::of(food);
        let rows = self.rows.iter();
        let matching = rows.filter(|(_, pattern)| pattern.fits(&food));
        let mut found: Vec<_> = matching.map(|(allergen, _)| *allergen).collect();
        found.dedup();
        found.into_iter()
    }

    /// Whether words name an allergen, rather than a food of that name.
    pub fn knows(&self, words: &str) -> bool {
        let meanings = meanings(words);
        let named = |meaning: &Meaning| matches!(meaning, Meaning::Named(_));
        !meanings.is_empty() && !meanings.iter().any(named)
    }

    /// Whether a food holds what a household has on record as an allergy: an allergen under any of
    /// its names, else a food whose own name has the words.
    pub fn holds(&self, food: &Food, allergy: &str) -> bool {
        let described = DescribedFood::of(food);
        let is_in = |meaning: &Meaning| match meaning {
            Meaning::Major(allergen) => self.of(food).any(|found| found == *allergen),
            Meaning::Other(foods) => foods.fits(&described),
            Meaning::Named(names) => is_called(described.name(), names),
        };
        meanings(allergy).iter().any(is_in)
    }

    /// Whether the typed words for a food name what is on record as an allergy, though the name of
    /// the food does not: a strawberry yogurt is fruit yogurt in the table. Words are judged like
    /// the name of a household's own food.
    pub fn holds_by_words(&self, words: &str, allergy: &str) -> bool {
        if words.is_empty() {
            return false;
        }
        let words = words.to_lowercase();
        let is_in = |meaning: &Meaning| match meaning {
            Meaning::Major(allergen) => {
                let mut rows = self.rows.iter();
                rows.any(|(name, foods)| name == allergen && foods.fits_words(&words))
            }
            Meaning::Other(foods) => foods.fits_words(&words),
            Meaning::Named(names) => is_called(&words, names),
        };
        meanings(allergy).iter().any(is_in)
    }
}

/// Whether a name, in lower case, has all words of one of these names.
fn is_called(name: &str, names: &[Vec<String>]) -> bool {
    names.iter().any(|words| {
        let mut words = words.iter();
        words.all(|word| is_in_name(word, name))
    })
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
        let cases = include_str!("../../tests/data/allergy-words.tsv");
        let cases = cases.lines().filter(|line| !line.starts_with('#'));
        let (mut tried, mut wrong) = (0, Vec::new());
        for case in cases.skip(1) {
            let [stopped, food, allergy] = case.splitn(3, '\t').collect::<Vec<_>>()[..] else {
                panic!("{case}");
            };
            if table.holds(&named(food), allergy) != (stopped == "yes") {
                wrong.push(case);
            }
            tried += 1;
        }
        assert!(wrong.is_empty(), "{wrong:#?}");
        assert!(tried > 150);
    }
}
