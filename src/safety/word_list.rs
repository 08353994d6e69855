//! Lists of words that stand in a table, one row each: the columns `list` (its name) and `words` (joined by `|`).

use std::collections::BTreeMap;
use std::ops::Deref;
use std::sync::LazyLock;

use data_import::reference::{self, TableRow};

/// The lists of a table, by their names.
type Lists = BTreeMap<&'static str, Vec<&'static str>>;
/// A table, read when one of its lists is asked for first.
pub(super) type WordTable = LazyLock<Lists>;

/// Reads the lists of a table. Its `name` is used in errors only.
pub(super) fn lists(name: &str, text: &'static str) -> Lists {
    let list = |row: TableRow<'_>| {
        // Not its alternatives, which are trimmed: the blanks of ` or ` belong to it.
        let words = row.cell("words").split('|');
        (row.cell("list"), words.collect())
    };
    // The table is part of the program; a test reads it, so it cannot be broken here.
    let lists = reference::read_rows(name, text, list).unwrap_or_default();
    lists.into_iter().collect()
}

/// One list of a table; an empty one where the table does not have it (a test sees to it that it has).
#[derive(Debug)]
pub(super) struct WordList {
    table: &'static WordTable,
    name: &'static str,
}

impl WordList {
    /// The list that a table has under this name.
    pub(super) const fn of(table: &'static WordTable, name: &'static str) -> Self {
        Self { table, name }
    }
}

impl Deref for WordList {
    type Target = [&'static str];

    fn deref(&self) -> &Self::Target {
        self.table.get(self.name).map_or(&[], Vec::as_slice)
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::super::{allergy_phrases, reaction_words};
    use super::*;

    /// The names by which a file asks for lists, read from its text, so that none is forgotten here.
    fn asked_for(file: &'static str) -> BTreeSet<&'static str> {
        let lists = file.split("WordList::of(").skip(1);
        lists.map(|list| list.split('"').nth(1).unwrap()).collect()
    }

    #[test]
    fn every_list_is_in_its_table_and_every_list_of_a_table_is_asked_for() {
        for (table, text, file) in [
            (
                &reaction_words::TABLE,
                reference::REACTION_WORDS,
                include_str!("reaction_words.rs"),
            ),
            (
                &allergy_phrases::TABLE,
                reference::ALLERGY_PHRASES,
                include_str!("allergy_phrases.rs"),
            ),
        ] {
            let (_, rows) = reference::records("a table", text).unwrap();
            assert_eq!(table.len(), rows.len(), "a name stands twice");
            let there: BTreeSet<&str> = table.keys().copied().collect();
            assert_eq!(asked_for(file), there);
            for (name, words) in table.iter() {
                assert!(words.iter().all(|word| !word.trim().is_empty()), "{name}");
            }
        }
    }

    #[test]
    fn a_list_is_as_its_row_has_it() {
        static TABLE: WordTable =
            LazyLock::new(|| lists("a table", "list,words\nand, and | or \nno,\"no |not, \"\n"));
        assert_eq!(*WordList::of(&TABLE, "and"), [" and ", " or "]);
        assert_eq!(*WordList::of(&TABLE, "no"), ["no ", "not, "]);
        assert!(WordList::of(&TABLE, "none").is_empty());
    }
}
