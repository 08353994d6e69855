//! The recipe of a command: a file, or a recipe of the book by its name.

use std::path::Path;

use trayful::cooking::ClassTable;
use trayful::food::Pantry;
use trayful::household::{ServingParser, TypedServings};
use trayful::names::{self, Found, Named};
use trayful::notebook::Book;
use trayful::problem::Problem;
use trayful::recipe::{Kitchen, Recipe};

use super::Session;
use super::again::quoted;
use super::failure::Failure;

/// A recipe with all that goes with it.
pub(super) struct ChosenRecipe {
    /// The name of the recipe, as its file is called; empty for one that is typed.
    pub(super) name: String,
    pub(super) recipe: Recipe,
    /// The book that it is cooked for.
    pub(super) book: Option<Book>,
    /// The foods that go with it.
    pub(super) pantry: Pantry,
}

impl Session {
    /// The recipe that a command is about: a file that exists, else a recipe of the book.
    pub(super) fn recipe(
        &self,
        written: Option<&str>,
        command: &str,
    ) -> Result<ChosenRecipe, Failure> {
        let Some(written) = written else {
            return Err(Failure::usage("name a recipe", &[self.named_way(command)?]));
        };
        let path = Path::new(written);
        if path.is_file() || path.components().count() > 1 {
            return self.recipe_file(path);
        }
        let Some(book) = self.book_for(None)? else {
            return Err(missing_file(path).into());
        };
        let name = self.stated(book.find_recipe(written)?);
        self.recipe_file(&book.recipe_path(&name))
    }

    /// A command that names a recipe, one of the book where it has any, and what that is.
    pub(super) fn named_way(&self, command: &str) -> Result<(String, &'static str), Failure> {
        let book = self.book_for(None)?;
        let names = book.map(|book| book.recipe_names()).transpose()?;
        let first = names.and_then(|names| names.into_iter().next());
        Ok(match first {
            Some(name) => (
                format!("{command} {}", quoted(&name)),
                "a recipe of the book by its name, or the path of a recipe file",
            ),
            None => (
                format!("{command} recipe.toml"),
                "the path of a recipe file",
            ),
        })
    }

    fn recipe_file(&self, path: &Path) -> Result<ChosenRecipe, Failure> {
        if matches!(path.try_exists(), Ok(false)) {
            return Err(missing_file(path).into());
        }
        let book = self.book_for(Some(path))?;
        let source = Recipe::source(path)?;
        let pantry = self.pantry(Some(path))?;
        let kitchen = Kitchen {
            foods: &pantry,
            classes: ClassTable::builtin()?,
        };
        Ok(ChosenRecipe {
            name: path
                .file_stem()
                .map_or_else(String::new, |name| name.to_string_lossy().into_owned()),
            recipe: kitchen.read(&source)??,
            book,
            pantry,
        })
    }

    /// Parses typed servings; prints a note on how names were resolved.
    pub(super) fn servings(&self, book: &Book, words: &[String]) -> Result<TypedServings, Failure> {
        let typed = ServingParser::new(self, book).all(words)?;
        for understood in &typed.names_taken_as {
            self.output.note(understood);
        }
        Ok(typed)
    }

    /// The meal of this name, with a note where the name was incomplete; empty where none was given.
    pub(super) fn meal(&self, book: &Book, written: Option<&str>) -> Result<String, Failure> {
        let Some(written) = written else {
            return Ok(String::new());
        };
        Ok(self.stated(book.settings.find_meal(written)?))
    }

    /// The name that was found; prints a note on how it was resolved.
    pub(super) fn stated(&self, found: Found) -> String {
        if let Some(understood) = found.taken_as {
            self.output.note(&understood);
        }
        found.name
    }
}

/// The problem that a file does not exist, with the nearest name in its folder.
fn missing_file(path: &Path) -> Problem {
    let folder = path.parent().filter(|folder| *folder != Path::new(""));
    let entries = std::fs::read_dir(folder.unwrap_or(Path::new(".")));
    let entries = entries.into_iter().flatten().flatten();
    let files = entries.map(|file| folder.unwrap_or(Path::new("")).join(file.file_name()));
    let recipes: Vec<_> = files
        .filter(|file| file.extension().is_some_and(|ending| ending == "toml"))
        .map(|file| Named::from(file.to_string_lossy().as_ref()))
        .collect();
    let problem = names::unknown("recipe file", &path.to_string_lossy(), &recipes);
    match problem.hint {
        Some(_) => problem,
        None => problem.hint(
            "write the path of a recipe file; names of recipes are known inside a book, or with --book FOLDER",
        ),
    }
}
