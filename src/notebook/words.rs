//! The foods that the household means by ambiguous words: kept in `book.toml`, without touching its comments.

use data_import::FoodId;
use toml_edit::{ArrayOfTables, DocumentMut, Item, Table, value};

use super::{Book, BookError};
use crate::whole_file;

impl Book {
    /// Remembers the food for these words, in place of the former one.
    ///
    /// Errors: `book.toml` cannot be read or written.
    pub fn remember(&self, typed: &str, food: &FoodId) -> Result<(), BookError> {
        self.change_words(|words| {
            words.retain(|one| one.get("typed").and_then(Item::as_str) != Some(typed));
            let mut one = Table::new();
            one.insert("typed", value(typed));
            one.insert("food", value(food.as_str()));
            words.push(one);
        })
    }

    /// Forgets the food for these words.
    ///
    /// Errors: `book.toml` cannot be read or written.
    pub fn forget(&self, typed: &str) -> Result<(), BookError> {
        self.change_words(|words| {
            words.retain(|one| one.get("typed").and_then(Item::as_str) != Some(typed));
        })
    }

    fn change_words(&self, change: impl FnOnce(&mut ArrayOfTables)) -> Result<(), BookError> {
        let path = self.settings_path();
        let failed = BookError::io("change", &path);
        let text = std::fs::read_to_string(&path).map_err(&failed)?;
        let mut document: DocumentMut = text
            .parse()
            .map_err(|error: toml_edit::TomlError| failed(std::io::Error::other(error)))?;
        let words = document
            .entry("word")
            .or_insert_with(|| Item::ArrayOfTables(ArrayOfTables::new()));
        let Some(words) = words.as_array_of_tables_mut() else {
            return Err(failed(std::io::Error::other(
                "“word” is no list of tables: [[word]]",
            )));
        };
        change(words);
        if words.is_empty() {
            document.remove("word");
        }
        whole_file::write(&path, document.to_string()).map_err(failed)
    }
}
