//! Export of a whole book as plain files, and import: the record, the settings with every allergy,
//! the recipes and the own foods.

use std::path::{Path, PathBuf};

use super::book::{Book, RECIPES, SETTINGS, write_whole};
use super::error::BookError;
use super::settings::Settings;
use super::store::Store;
use crate::food::OWN_FOODS_FILE;
use crate::problem::{Problem, SourceText};
use crate::words::quoted;

/// The file in which an import keeps the former settings.
pub const SETTINGS_BEFORE: &str = "book.toml.before-import";

/// A book that was imported.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ImportedBook {
    /// The number of entries of the record.
    pub entries: u64,
    /// The number of recipes in the export.
    pub recipes: usize,
    /// Whether the export has settings: one of an earlier version has none.
    pub settings: bool,
}

/// A book that was exported.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ExportedBook {
    /// The files of the export.
    pub files: Vec<PathBuf>,
    /// Recipes that were in the folder before and are not of the book: an import would read them
    /// too.
    pub other_recipes: Vec<PathBuf>,
}

/// A file of an export, with its path in the book.
struct Copied {
    to: PathBuf,
    text: String,
}

impl Book {
    /// Writes the whole book as plain files into `folder`. Other files in it stay.
    ///
    /// Errors: a file cannot be read or written.
    pub fn export(&self, store: &Store, folder: &Path) -> Result<ExportedBook, BookError> {
        let mut files = store.export(folder)?;
        let recipes = folder.join(RECIPES);
        std::fs::create_dir_all(&recipes).map_err(BookError::io("make", &recipes))?;
        let named = |name: &String| Path::new(RECIPES).join(format!("{name}.toml"));
        let names = self.recipe_names()?;
        let in_folder = self.at(folder).recipe_names()?;
        let others = in_folder.iter().filter(|name| !names.contains(name));
        let other_recipes = others.map(|name| folder.join(named(name))).collect();
        let all = [SETTINGS, OWN_FOODS_FILE].map(PathBuf::from);
        for file in all.into_iter().chain(names.iter().map(named)) {
            if let Some(text) = text_of(&self.folder.join(&file))? {
                write_whole(&folder.join(&file), &text)?;
                files.push(folder.join(file));
            }
        }
        Ok(ExportedBook {
            files,
            other_recipes,
        })
    }

    /// A book with the settings of this one in another folder.
    fn at(&self, folder: &Path) -> Self {
        Self {
            folder: folder.to_path_buf(),
            settings: self.settings.clone(),
        }
    }

    /// Reads a whole export into this book, which has no entries yet. Its settings replace those of
    /// the book, which are kept as [`SETTINGS_BEFORE`].
    ///
    /// Errors: a file cannot be read; the book has another recipe of the same name, or other own
    /// foods. Nothing is written then.
    pub fn import(&self, store: &mut Store, folder: &Path) -> Result<ImportedBook, BookError> {
        let settings = text_of(&folder.join(SETTINGS))?;
        if let Some(text) = &settings {
            let source =
                SourceText::new(folder.join(SETTINGS).display().to_string(), text.as_str());
            Settings::parse(&source)?;
        }
        let names = self.at(folder).recipe_names()?;
        let recipes = names.len();
        let named = |name: String| Path::new(RECIPES).join(format!("{name}.toml"));
        let files = names.into_iter().map(named).chain([OWN_FOODS_FILE.into()]);
        let mut copied = Vec::new();
        for file in files {
            copied.extend(self.copied(folder, &file)?);
        }
        let entries = store.import_after(folder, || {
            for file in &copied {
                write_whole(&file.to, &file.text)?;
            }
            let Some(settings) = &settings else {
                return Ok(());
            };
            if let Some(before) =
                text_of(&self.settings_path())?.filter(|before| before != settings)
            {
                write_whole(&self.folder.join(SETTINGS_BEFORE), &before)?;
            }
            write_whole(&self.settings_path(), settings)
        })?;
        Ok(ImportedBook {
            entries,
            recipes,
            settings: settings.is_some(),
        })
    }

    /// A file of an export that is to be copied into this book; `None` where there is no such file.
    ///
    /// Errors: the file cannot be read; the book has another of that name.
    fn copied(&self, folder: &Path, file: &Path) -> Result<Option<Copied>, BookError> {
        let (from, to) = (folder.join(file), self.folder.join(file));
        let Some(text) = text_of(&from)? else {
            return Ok(None);
        };
        if text_of(&to)?.is_some_and(|present| present != text) {
            let what = format!(
                "the book has another {}",
                quoted(file.display().to_string())
            );
            let hint = "import into a new book, or move that file away first; nothing was read in";
            return Err(Problem::new(what).hint(hint).into());
        }
        Ok(Some(Copied { to, text }))
    }
}

/// The text of a file; `None` where there is no file.
fn text_of(path: &Path) -> Result<Option<String>, BookError> {
    match std::fs::read_to_string(path) {
        Ok(text) => Ok(Some(text)),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(BookError::io("read", path)(error)),
    }
}
