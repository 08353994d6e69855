//! A recipe on its way to a file: what a form says, as the text that a person would write. One
//! validation then holds for both.

mod former;
mod parts;
#[cfg(test)]
mod tests;
mod write;

use std::ops::Range;
use std::sync::Arc;

use super::Recipe;
use crate::problem::{Problem, SourceText};
pub use former::Former;

/// A recipe as it is typed, word for word.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Draft {
    /// Its title.
    pub title: String,
    /// What goes in.
    pub ingredients: Vec<DraftIngredient>,
    /// Cooking liquid collected, in millilitres; empty for none.
    pub collected: String,
    /// The part of it that is blended back in, in millilitres; empty for none.
    pub returned: String,
    /// Plain water blended in, in millilitres; empty for none.
    pub added: String,
    /// Cubes of a serving; empty for the usual.
    pub cubes: String,
    /// The blended purée on the scale, in grams; empty where nobody weighed it, and in a form,
    /// which leaves it as it is.
    pub weighed: String,
    /// Whether what else a former file says of the batch is dropped.
    pub bare: bool,
}

/// An ingredient as it is typed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct DraftIngredient {
    /// Id of the food.
    pub food: String,
    /// The words that the food was found by; empty where they say no more than its name.
    pub typed: String,
    /// Its name, for whoever reads the file.
    pub name: String,
    /// How much: a number.
    pub amount: String,
    /// Of what: a unit.
    pub unit: String,
    /// How it is cooked.
    pub method: String,
    /// Whether the amount is that of the trimmed food.
    pub edible: bool,
    /// Its place in the former file, counted from 0; `None` for one that is new.
    pub row: Option<usize>,
    /// Whether what else the former file says of it is dropped.
    pub bare: bool,
}

/// A part of a draft that something may be wrong with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DraftPart {
    /// The title.
    Title,
    /// The food of an ingredient, counted from 0.
    Food(usize),
    /// Its amount.
    Amount(usize),
    /// Its method.
    Method(usize),
    /// What else a former file says of it.
    Beyond(usize),
    /// The liquid collected.
    Collected,
    /// The liquid returned.
    Returned,
    /// The water added.
    Added,
    /// The cubes of a serving.
    Cubes,
}

/// A draft written down.
#[derive(Debug)]
pub struct Written {
    source: Arc<SourceText>,
    parts: Vec<(Range<usize>, DraftPart)>,
}

impl Draft {
    /// A recipe that was typed in one line, with the name of each of its foods.
    ///
    /// Errors: a table of words does not read.
    pub fn typed<'a>(
        recipe: &Recipe,
        foods: impl Iterator<Item = &'a str>,
    ) -> Result<Self, data_import::Error> {
        let ingredients = recipe.ingredients.iter().zip(foods);
        let weighed = recipe.puree.weighed.as_ref();
        Ok(Self {
            ingredients: ingredients
                .map(|(one, food)| former::typed(one, food))
                .collect::<Result<_, _>>()?,
            cubes: String::new(),
            weighed: weighed.map_or_else(String::new, |mass| mass.value.grams().to_string()),
            ..former::of_the_whole(recipe)
        })
    }

    /// Writes it down as TOML.
    pub fn written(&self) -> Written {
        Written::of(write::document(self, None).to_string())
    }

    /// Writes it into a former file: what it does not speak of stays as it is there, comments too.
    pub fn written_into(&self, former: &Former) -> Written {
        Written::of(write::document(self, Some(former)).to_string())
    }
}

impl Written {
    fn of(text: String) -> Self {
        Self {
            parts: parts::found(&text),
            source: SourceText::new("the recipe", text),
        }
    }

    /// The text of the file.
    pub fn text(&self) -> &str {
        &self.source.text
    }

    /// Reads it as any recipe file is read.
    ///
    /// Errors: what is wrong in it, each problem with its place.
    pub fn recipe(&self) -> Result<Recipe, Vec<Problem>> {
        Recipe::parse(&self.source)
    }

    /// The part that a problem is about, where it lies in one.
    pub fn part(&self, problem: &Problem) -> Option<DraftPart> {
        let place = problem.place.as_ref()?;
        let whole = 0..self.source.text.len();
        if !Arc::ptr_eq(&place.source, &self.source) || place.span == whole {
            return None;
        }
        let mut parts = self.parts.iter();
        let found = parts.find(|(span, _)| span.contains(&place.span.start));
        found.map(|(_, part)| *part)
    }
}
