//! The foods that the household means by ambiguous words: kept in `book.toml`, without touching its comments.

use data_import::FoodId;
use toml_edit::{ArrayOfTables, Item, Table, value};

use super::settings_file::list_of;
use super::{Book, BookError};

impl Book {
    /// Remembers the food for these words, in place of the former one.
    ///
    /// Errors: `book.toml` cannot be read or written.
    pub fn remember(&mut self, typed: &str, food: &FoodId) -> Result<(), BookError> {
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
    pub fn forget(&mut self, typed: &str) -> Result<(), BookError> {
        self.change_words(|words| {
            words.retain(|one| one.get("typed").and_then(Item::as_str) != Some(typed));
        })
    }

    fn change_words(&mut self, change: impl FnOnce(&mut ArrayOfTables)) -> Result<(), BookError> {
        self.edit(|document| {
            let words = list_of(document, "word")?;
            change(words);
            if words.is_empty() {
                document.remove("word");
            }
            Ok(())
        })
    }
}
