//! The nine major allergens: which of them a food's name gives away; and whether a food holds what is on record as an allergy.

use data_import::reference::{self, TableRow};
use data_import::{Error, Food};

use super::allergy_words::{Meaning, meanings};
use crate::food::{DescribedFood, Pattern};

/// The table `allergens.csv`.
#[derive(Debug)]
pub struct AllergenTable {
    rows: Vec<(String, Pattern)>,
}

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
        let food = DescribedFood::of(food);
        let rows = self.rows.iter();
        let matching = rows.filter(|(_, pattern)| pattern.fits(&food));
        let found: Vec<_> = matching.map(|(allergen, _)| allergen.as_str()).collect();
        found.into_iter()
    }

    /// Whether words name an allergen, rather than a food of that name.
    pub fn knows(&self, words: &str) -> bool {
        let meanings = meanings(words);
        let named = |one: &Meaning| matches!(one, Meaning::Named(_));
        !meanings.is_empty() && !meanings.iter().any(named)
    }

    /// Whether a food holds what a household has on record as an allergy: an allergen under any of its names, else a food whose own name
    /// has the words.
    pub fn holds(&self, food: &Food, allergy: &str) -> bool {
        let described = DescribedFood::of(food);
        let is_in = |meaning: &Meaning| match meaning {
            Meaning::Major(allergen) => self.of(food).any(|one| one == *allergen),
            Meaning::Other(foods) => foods.fits(&described),
            Meaning::Named(names) => names.iter().any(|words| {
                let mut words = words.iter();
                words.all(|word| described.has_word(word))
            }),
        };
        meanings(allergy).iter().any(is_in)
    }
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
            ("Kiwifruit, green, raw", "kiwi fruit"),
            ("Peanut butter, smooth", "peanut allergy"),
            ("Peanut butter, smooth", "nuts and peanuts"),
            ("Peanuts, raw", "monkey nuts"),
            ("Milk, whole", "cow's milk protein"),
            ("Milk, whole", "Dairy products"),
            ("Milk, goat, fluid", "lactose"),
            ("Egg, white, raw, fresh", "egg whites"),
            ("Egg, whole, cooked", "eggs, milk"),
            ("Egg, whole, cooked", "egg (raw)"),
            ("Noodles, egg, cooked", "wheat and egg"),
            ("Nuts, cashew nuts, raw", "cashews and pistachios"),
            ("Soybeans, green, raw", "soya beans"),
            ("Soybeans, green, raw", "soy milk"),
            ("Seeds, sesame butter, tahini", "sesame seeds"),
            ("Sauce, honey mustard", "mustard seeds"),
            ("Fish, cod, raw", "white fish"),
            ("Crustaceans, crayfish, raw", "fish and shellfish"),
            ("Mollusks, squid, raw", "molluscs"),
            ("Mollusks, oyster, raw", "shellfish"),
            ("Barley, pearled, raw", "gluten"),
            ("Apricots, dried, sulfured", "sulphites"),
            ("Lupins, mature seeds, raw", "lupine"),
            ("Tomato products, canned, paste", "tomatoes"),
            ("Peach nectar, canned", "peaches"),
            ("Orange juice, raw", "citrus fruit"),
            ("Peas, green, raw", "peas"),
            (
                "Chickpeas (garbanzo beans, bengal gram), mature seeds",
                "chick peas",
            ),
            ("Hummus, commercial", "chickpeas"),
            ("Apricots, raw", "peach and other stone fruit"),
            ("Broadbeans (fava beans), mature seeds, raw", "broad beans"),
            ("Candies, milk chocolate", "cocoa"),
            ("Noodles, japanese, soba, dry", "buckwheat"),
            ("Catsup", "tomatos"),
            ("Eggplant, raw", "aubergine"),
            ("Seeds, flaxseed", "linseed"),
            ("Corn, sweet, yellow, raw", "sweetcorn"),
            ("Fish, cod, Atlantic, raw", "codfish"),
            ("Cereals, oats, regular", "FPIES to oats and rice"),
            ("Gelatins, dry powder, unsweetened", "pork (no gelatine)"),
            ("Lentils, raw", "legumes"),
            ("Raisins, golden seedless", "sulphur dioxide (E220)"),
            ("Egg, whole, raw", "no egg"),
            ("Milk, whole", "not milk"),
            ("Strawberries, raw", "strawberry jam"),
            ("Mollusks, mussel, blue, raw", "mussels, oysters"),
        ] {
            assert!(table.holds(&named(food), allergy), "{food}: {allergy}");
        }
        assert!(table.holds(&named("Strawberries, raw"), "strawberries"));
        assert!(table.holds(&named("Nuts, almonds"), "walnuts"));
        assert!(!table.holds(&named("Eggplant, raw"), "egg"));
        for (food, allergy) in [
            ("Squash, winter, butternut, raw", "nuts"),
            ("Milk, whole", "soy milk"),
            ("Milk, whole", "almond milk"),
            ("Pears, raw", "pea"),
            ("Apples, raw", "crab"),
            ("Crustaceans, crab, raw", "crab apple"),
            ("Mushrooms, oyster, raw", "molluscs"),
            ("Cabbage, red, raw", "red pepper"),
            ("Fruit butters, apple", "milk"),
            ("Peanut butter, smooth", "tree nuts (not peanuts)"),
            ("Peanut butter, smooth", "macadamia nuts"),
            ("Grapefruit, raw", "grapes"),
            ("Peanut butter, smooth", "nuts except peanut"),
            ("Pepper, banana, raw", "banana"),
            ("Melons, honeydew, raw", "honey"),
            ("Prickly pears, raw", "pear"),
            ("Barley, pearled, raw", "pears"),
            ("Sweet potato, raw", "potato"),
            ("Mushrooms, oyster, raw", "mussels, oysters"),
            ("Peas, green, raw", "green beans"),
            ("Lemon grass (citronella), raw", "citrus"),
        ] {
            assert!(!table.holds(&named(food), allergy), "{food}: {allergy}");
        }
    }
}
