//! Finding a food by the words of a kitchen.
//!
//! A food table calls things by long, inverted names ("Beans, snap, green, raw"); a cook types
//! "green beans". [`FoodIndex`] puts the plain, raw or plainly cooked basic food first, the form a
//! query names ("canned chickpeas") before other forms, and baby-food jars, brands and restaurant
//! dishes after the basic food unless the query asks for them.
//!
//! Nothing here reads files or knows the time; the same entries and query give the same answer.

mod describe;
mod forms;
mod phrases;
mod query;
mod rank;
mod segments;
mod spelling;
#[cfg(test)]
mod tests;
mod weights;
mod words;

use describe::{Described, describe};
use query::{Kind, Reader, Reading, Synonym};
use segments::Lexicon;
use spelling::Vocabulary;
use weights::Weights;

/// What the search needs to know of one food.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Entry {
    /// The food's id in its table.
    pub id: String,
    /// The long description: segments between commas, from the general to the particular.
    pub name: String,
    /// Other names, between commas; may be empty.
    pub common_names: String,
    /// The maker of a branded food; empty for a basic one.
    pub manufacturer: String,
    /// The four-digit SR28 food group code ("1100"); any other text means no group is known.
    pub group: String,
}

/// A food found.
#[derive(Debug, Clone, PartialEq)]
pub struct Hit {
    /// The food's id.
    pub id: String,
    /// More is better; comparable only within the answer to one query.
    pub score: f64,
}

/// The words of all foods, ready to be searched.
#[derive(Debug)]
pub struct FoodIndex {
    ids: Vec<String>,
    foods: Vec<Described>,
    vocabulary: Vocabulary,
    /// By word number: the foods, by position, that have the word.
    postings: Vec<Vec<u32>>,
    synonyms: Vec<Synonym>,
    weights: Weights,
}

impl FoodIndex {
    /// Indexes the foods. Each synonym is a kitchen word or phrase and what the table calls it:
    /// `("courgette", "zucchini")`.
    pub fn new(entries: &[Entry], synonyms: &[(String, String)]) -> Self {
        let weights = Weights::new();
        let mut vocabulary = Vocabulary::default();
        let mut lexicon = Lexicon::new(&weights, &mut vocabulary);
        let foods: Vec<Described> = entries
            .iter()
            .map(|entry| describe(entry, &mut lexicon))
            .collect();
        let synonyms: Vec<Synonym> = synonyms
            .iter()
            .filter_map(|(word, means)| Synonym::new(word, means))
            .collect();
        // Slips in kitchen words and form words are mended too, so they are part of the vocabulary.
        for word in synonyms.iter().flat_map(|synonym| &synonym.from) {
            vocabulary.intern(word.clone());
        }
        for (word, _) in forms::WORDS {
            vocabulary.intern(words::stem(word));
        }
        vocabulary.finish();
        let postings = postings(&foods, vocabulary.len());
        let ids = entries.iter().map(|entry| entry.id.clone()).collect();
        Self {
            ids,
            foods,
            vocabulary,
            postings,
            synonyms,
            weights,
        }
    }

    /// The foods that answer a query, best first, at most `limit`; equal scores in order of id.
    ///
    /// Foods with all the query's words come before those with some of them; where no food has any,
    /// the answer is empty. A query of more than 200 letters or 12 words is cut off there.
    pub fn search(&self, query: &str, limit: usize) -> Vec<Hit> {
        if limit == 0 {
            return Vec::new();
        }
        let is_used = |number: u32| !self.having(number).is_empty();
        let reader = Reader {
            vocabulary: &self.vocabulary,
            weights: &self.weights,
            synonyms: &self.synonyms,
            is_used: &is_used,
        };
        let mut found: Vec<(u32, f64)> = Vec::new();
        for reading in reader.readings(query) {
            self.collect(&reading, limit, &mut found);
        }
        self.best(found, limit)
    }

    /// The foods that have a word.
    fn having(&self, number: u32) -> &[u32] {
        self.postings
            .get(number as usize)
            .map_or(&[], Vec::as_slice)
    }

    /// Scores the foods that have most of a reading's naming words, until there are enough.
    fn collect(&self, reading: &Reading, limit: usize, found: &mut Vec<(u32, f64)>) {
        let mut counts = vec![0_u8; self.foods.len()];
        let mut touched: Vec<u32> = Vec::new();
        let naming = || {
            reading
                .words
                .iter()
                .filter(|word| word.kind == Kind::Naming)
        };
        for word in naming() {
            let mut foods: Vec<u32> = word
                .guesses
                .iter()
                .flat_map(|guess| self.having(guess.0))
                .copied()
                .collect();
            if word.guesses.len() > 1 {
                foods.sort_unstable();
                foods.dedup();
            }
            for food in foods {
                let count = &mut counts[food as usize];
                if *count == 0 {
                    touched.push(food);
                }
                *count += 1;
            }
        }
        let before = found.len();
        for level in (1..=naming().count()).rev() {
            let at_level = |food: &&u32| usize::from(counts[**food as usize]) == level;
            for &food in touched.iter().filter(at_level) {
                let points = rank::score(&self.foods[food as usize], reading, |word| {
                    self.rarity(word)
                });
                found.push((food, points));
            }
            if found.len() - before >= limit {
                break;
            }
        }
    }

    /// How rare a word is, from 0 (every food has it) to 1.
    fn rarity(&self, number: u32) -> f64 {
        let foods = self.foods.len().max(1) as f64;
        1.0 - (1.0 + self.having(number).len() as f64).ln() / (1.0 + foods).ln()
    }

    /// One hit for each food, at its best score.
    fn best(&self, mut found: Vec<(u32, f64)>, limit: usize) -> Vec<Hit> {
        found.sort_by(|a, b| a.0.cmp(&b.0).then(b.1.total_cmp(&a.1)));
        found.dedup_by_key(|&mut (food, _)| food);
        let id = |food: u32| self.ids[food as usize].as_str();
        found.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| id(a.0).cmp(id(b.0))));
        found.truncate(limit);
        found
            .into_iter()
            .map(|(food, score)| Hit {
                id: id(food).to_owned(),
                score,
            })
            .collect()
    }
}

/// By word number, the foods that have the word, in order.
fn postings(foods: &[Described], words: usize) -> Vec<Vec<u32>> {
    let mut postings: Vec<Vec<u32>> = vec![Vec::new(); words];
    for (food, described) in (0..).zip(foods) {
        for token in &described.tokens {
            let having = &mut postings[token.term as usize];
            if having.last() != Some(&food) {
                having.push(food);
            }
        }
    }
    postings
}
