//! Which foods old cookery books have together: `cookery-words.csv` and `cookery-pairs.csv`,
//! counted in books of the public domain.

use std::collections::{BTreeMap, BTreeSet};

use data_import::{Error, FoodId, reference};
use serde::{Deserialize, Serialize};

/// The number of recipes below which a word is too rare to say anything (judgement).
const ENOUGH_RECIPES: u32 = 20;

#[derive(Debug, Deserialize)]
struct CookeryWord {
    word: String,
    recipes: u32,
    kin: String,
    common: String,
    foods: String,
}

#[derive(Debug, Deserialize)]
struct Pair {
    word_a: String,
    word_b: String,
    together: u32,
    books: u32,
    lift: f64,
}

/// The pairs of words that cookery books have together.
#[derive(Debug)]
pub struct Cookery {
    words: BTreeMap<FoodId, Spoken>,
    recipes: BTreeMap<String, u32>,
    common: BTreeSet<String>,
    pairs: Vec<Pair>,
}

/// The word that stands for a food in the books.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spoken {
    /// The word.
    pub word: String,
    /// Recipes that have it.
    pub recipes: u32,
    /// The word of a related food that replaces a rare one; empty where there is none.
    pub kin: String,
}

/// A word that stands in recipes with another.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Met {
    /// The other word.
    pub word: String,
    /// Recipes that have both.
    pub recipes: u32,
    /// Books that have such a recipe.
    pub books: u32,
}

/// The words that stand with a food in recipes of old cookery books.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CookedTogether {
    /// The word for the food.
    pub word: String,
    /// The word whose recipes are shown, where those of the food are too few.
    pub as_for: Option<String>,
    /// The number of recipes that have the word that is shown.
    pub recipes: u32,
    /// The words that stand with it more often than by chance, the most recipes first.
    pub with: Vec<Met>,
}

impl Spoken {
    /// The word whose recipes are shown.
    pub fn told(&self) -> &str {
        if self.recipes >= ENOUGH_RECIPES || self.kin.is_empty() {
            &self.word
        } else {
            &self.kin
        }
    }
}

impl Cookery {
    /// Reads the built-in tables.
    pub fn builtin() -> Result<Self, Error> {
        let rows: Vec<CookeryWord> =
            reference::rows("cookery-words.csv", reference::COOKERY_WORDS)?;
        let mut words = BTreeMap::new();
        for row in &rows {
            for food in row.foods.split('|').filter(|food| !food.is_empty()) {
                words.entry(food.parse()?).or_insert_with(|| Spoken {
                    word: row.word.clone(),
                    recipes: row.recipes,
                    kin: row.kin.clone(),
                });
            }
        }
        let common = rows.iter().filter(|row| row.common == "yes");
        Ok(Self {
            words,
            recipes: rows
                .iter()
                .map(|row| (row.word.clone(), row.recipes))
                .collect(),
            common: common.map(|row| row.word.clone()).collect(),
            pairs: reference::rows("cookery-pairs.csv", reference::COOKERY_PAIRS)?,
        })
    }

    /// The word for a food in the books.
    pub fn word(&self, food: &FoodId) -> Option<&Spoken> {
        self.words.get(food)
    }

    /// The words that stand with a food in recipes, the most recipes first. For a word of fewer
    /// than twenty recipes those of its kin are shown; `None` where that has too few as well: that
    /// two words never met speaks against no pair.
    pub fn cooked_together(&self, food: &FoodId, most: usize) -> Option<CookedTogether> {
        let own = self.word(food)?;
        let shown = own.told();
        let recipes = *self.recipes.get(shown)?;
        let mut with = self.with(shown);
        with.retain(|met| !self.common.contains(&met.word));
        with.truncate(most);
        let tells = recipes >= ENOUGH_RECIPES && !self.common.contains(shown) && !with.is_empty();
        tells.then(|| CookedTogether {
            word: own.word.clone(),
            as_for: (shown != own.word).then(|| shown.to_string()),
            recipes,
            with,
        })
    }

    /// Pairs of words that stand together at least as often as by chance.
    pub fn friends(&self) -> BTreeSet<(&str, &str)> {
        let often = self.pairs.iter().filter(|pair| pair.lift >= 1.0);
        let mut friends = BTreeSet::new();
        for pair in often {
            let (a, b) = (pair.word_a.as_str(), pair.word_b.as_str());
            friends.extend([(a, b), (b, a)]);
        }
        friends
    }

    /// The word by which a food counts as met; `None` for a word that is in nearly everything, or
    /// in no book.
    pub fn telling(&self, food: &FoodId) -> Option<&str> {
        let word = self.word(food)?.told();
        (!self.common.contains(word)).then_some(word)
    }

    /// The words that stand with a word more often than by chance, the most recipes first.
    fn with(&self, word: &str) -> Vec<Met> {
        let often = self.pairs.iter().filter(|pair| pair.lift >= 1.0);
        let mut met: Vec<Met> = often
            .filter_map(|pair| {
                let other = if pair.word_a == word {
                    &pair.word_b
                } else if pair.word_b == word {
                    &pair.word_a
                } else {
                    return None;
                };
                Some(Met {
                    word: other.clone(),
                    recipes: pair.together,
                    books: pair.books,
                })
            })
            .collect();
        met.sort_by(|a, b| b.recipes.cmp(&a.recipes).then_with(|| a.word.cmp(&b.word)));
        met
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(id: &str) -> Option<CookedTogether> {
        let cookery = Cookery::builtin().unwrap();
        cookery.cooked_together(&id.parse().unwrap(), 3)
    }

    /// Counted in ten books of before 1930: carrot in 214 recipes, with celery in 76 and turnip in
    /// 73.
    #[test]
    fn the_most_recipes_are_told_first() {
        let carrot = of("11124").unwrap();
        assert_eq!((carrot.recipes, carrot.as_for), (214, None));
        let met: Vec<_> = carrot.with.iter().map(|met| met.recipes).collect();
        assert!(met.is_sorted_by(|a, b| a >= b), "{met:?}");
        assert!(
            carrot
                .with
                .iter()
                .any(|met| met.word == "celery" && met.recipes == 76)
        );
    }

    #[test]
    fn a_rare_word_is_told_as_for_its_kin_or_not_at_all() {
        assert_eq!(of("11090").unwrap().as_for.as_deref(), Some("cauliflower"));
        // Avocado stands in no recipe and has no kin; lentil in 19.
        assert_eq!(of("09037"), None);
        assert_eq!(of("16144"), None);
    }
}
