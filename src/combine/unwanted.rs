//! What stays out by wish: allergens, roles, families and single foods, in the words that
//! households use.

use data_import::FoodId;

use super::stock::Candidate;
use super::tables::{FoodNote, Tables};
use crate::problem::{Problem, nearest};
use crate::safety::{AllergenTable, Judge};

/// Wheat, barley and rye.
const GLUTEN: &str = "gluten";
/// Words for allergens that mean more than a food of that name.
const ALSO: [&str; 2] = [GLUTEN, "soya"];

/// The foods that stay out by wish.
#[derive(Debug)]
pub(super) struct Unwanted<'a> {
    words: &'a [String],
    allergens: &'static AllergenTable,
}

impl<'a> Unwanted<'a> {
    /// Errors: a word that is neither an allergen nor a role, a family or a food.
    pub(super) fn of(tables: &Tables, words: &'a [String]) -> Result<Self, super::CombineError> {
        let allergens = Judge::builtin()?.allergens();
        for word in words {
            let is_food = word.parse::<FoodId>().is_ok();
            let known: Vec<&str> = tables.kinds().chain(allergens.all()).chain(ALSO).collect();
            if !is_food && !known.contains(&word.as_str()) && !allergens.knows(word) {
                let problem = Problem::new(format!(
                    "“{word}” is no allergen, role, family or id of a food"
                ));
                let hint = match nearest(word, known.iter().copied()) {
                    Some(near) => format!("did you mean “{near}”?"),
                    None => format!(
                        "allergens: {}, {}",
                        allergens.all().collect::<Vec<_>>().join(", "),
                        GLUTEN
                    ),
                };
                return Err(problem.hint(hint).into());
            }
        }
        Ok(Self { words, allergens })
    }

    /// Whether a food stays out.
    pub(super) fn holds(&self, tables: &Tables, item: &Candidate) -> bool {
        let role = tables
            .roles
            .get(item.part.role)
            .map_or("", |role| role.role.as_str());
        self.words.iter().any(|word| {
            let word = word.as_str();
            let is_kind = tables.kinds().any(|kind| kind == word);
            let is_allergen =
                ALSO.contains(&word) || self.allergens.all().any(|allergen| allergen == word);
            let gluten = word == GLUTEN
                && tables
                    .note(&item.food.id)
                    .is_some_and(FoodNote::holds_gluten);
            let by_name = (is_allergen || !is_kind) && self.allergens.holds(&item.food, word);
            word == role
                || word == item.part.family
                || word == item.food.id.as_str()
                || gluten
                || by_name
        })
    }
}
