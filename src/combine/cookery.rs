//! Which foods old cookery books have together: `cookery-words.csv` and `cookery-pairs.csv`, counted in books of the public domain.

use std::collections::{BTreeMap, BTreeSet};

use data_import::{Error, FoodId, reference};
use serde::Deserialize;

/// Recipes below which a word is too rare to say anything.
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

/// What cookery books have together.
#[derive(Debug)]
pub struct Cookery {
    words: BTreeMap<FoodId, Spoken>,
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
    /// The word that stands in where it is rare; empty where none does.
    pub kin: String,
}

/// A word that stands in recipes with another.
#[derive(Debug, Clone, PartialEq)]
pub struct Met {
    /// The other word.
    pub word: String,
    /// Recipes that have both.
    pub recipes: u32,
    /// Books that have such a recipe.
    pub books: u32,
}

impl Spoken {
    /// The word whose meetings are told.
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
            common: common.map(|row| row.word.clone()).collect(),
            pairs: reference::rows("cookery-pairs.csv", reference::COOKERY_PAIRS)?,
        })
    }

    /// The word for a food in the books.
    pub fn word(&self, food: &FoodId) -> Option<&Spoken> {
        self.words.get(food)
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

    /// The word by which a food counts as met; `None` for one that is in nearly everything, or in no book.
    pub fn telling(&self, food: &FoodId) -> Option<&str> {
        let word = self.word(food)?.told();
        (!self.common.contains(word)).then_some(word)
    }

    /// The words that stand most often with one, more often than by chance; the most recipes first.
    pub fn with(&self, word: &str, most: usize) -> Vec<Met> {
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
        met.truncate(most);
        met
    }
}
