//! `trayful batch --save`: what was tried, written into the book as a recipe.

use trayful::notebook::{Book, BookError, RecipeName};
use trayful::problem::Problem;
use trayful::recipe::{Batch, Draft, Recipe};

use super::failure::Failure;
use super::typed_value::place_of;

/// A recipe that is to be written into the book.
pub(super) struct NewRecipe<'a> {
    book: &'a Book,
    pub(super) name: RecipeName,
    pub(super) title: String,
}

impl<'a> NewRecipe<'a> {
    /// Checks the name before anything is calculated.
    ///
    /// Errors: there is no book; or what was typed is no name, or that of a recipe that there is.
    pub(super) fn of(written: &str, book: Option<&'a Book>) -> Result<Self, Failure> {
        let Some(book) = book else {
            let problem = Problem::new(format!("there is no book to save “{written}” in"));
            let hint = "start one with `trayful start FOLDER`, or name one with --book";
            return Err(problem.hint(hint).into());
        };
        let name = RecipeName::of_title(written).map_err(|error| {
            Problem::at(place_of("--save", written), error.to_string()).hint(error.hint())
        })?;
        let path = book.recipe_path(&name.to_string());
        if path.exists() {
            return Err(BookError::InTheWay(path).into());
        }
        // A name in hyphens makes a title in words.
        let words = written.trim().replace('-', " ");
        let title = if written.trim() == name.to_string() {
            let mut letters = words.chars();
            let first = letters.next().map(|c| c.to_ascii_uppercase());
            first.into_iter().chain(letters).collect()
        } else {
            written.trim().to_string()
        };
        Ok(Self { book, name, title })
    }

    /// Saves the recipe as a file if the file reads back as the recipe that was typed, and says where it is.
    pub(super) fn save(&self, recipe: &Recipe, batch: &Batch) -> Result<String, Failure> {
        let foods = batch.foods().map(|food| food.name.as_str());
        let written = Draft::typed(recipe, foods)?.written();
        written.recipe()?;
        let path = self.save_text(written.text())?;
        Ok(format!("Saved as {path}, in the amounts that were typed."))
    }

    /// Saves the text of a recipe file that reads, and says where it is.
    pub(super) fn save_text(&self, text: &str) -> Result<String, Failure> {
        self.book.save_recipe(&self.name, text, false)?;
        let path = self.book.recipe_path(&self.name.to_string());
        Ok(path.display().to_string())
    }
}
