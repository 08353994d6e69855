//! A child or a recipe gets another name: in the record, in `book.toml` or the recipes, and nowhere by half.

use jiff::civil::Date;

use super::children::free_name;
use crate::notebook::{Book, BookError, RecipeName, Renamed, Store};
use crate::problem::Problem;
use crate::words::quoted;

/// Renames a child in the record and in `book.toml`; gives the number of the entry.
///
/// The record comes first: should the file not follow, the record knows who is meant by the old name.
pub fn rename_child(
    book: &mut Book,
    store: &mut Store,
    (from, to): (&str, &str),
    today: Date,
) -> Result<i64, BookError> {
    free_name(book, to)?;
    if book.child(from).is_none() {
        let what = format!("the book has no child called {}", quoted(from));
        return Err(Problem::new(what).into());
    }
    let entry = store.rename(Renamed::Child, (from, to), today)?;
    book.set_in("child", from, &[("name", Some(to.into()))])?;
    Ok(entry)
}

/// Renames a recipe in the record, with its file; gives the number of the entry.
pub fn rename_recipe(
    book: &Book,
    store: &mut Store,
    (from, to): (&str, &RecipeName),
    today: Date,
) -> Result<i64, BookError> {
    let new = book.recipe_path(&to.to_string());
    if new.exists() {
        return Err(BookError::InTheWay(new));
    }
    let entry = store.rename(Renamed::Recipe, (from, &to.to_string()), today)?;
    book.move_recipe(from, to)?;
    Ok(entry)
}

/// What does not fit between the record and the files, each a sentence: entries of a child that `book.toml` does not have.
pub fn orphans(book: &Book, store: &Store) -> Result<Vec<String>, BookError> {
    let mut found = Vec::new();
    for name in store.children_on_record()? {
        if book.child(&name).is_some() {
            continue;
        }
        let now = store.renamed_to(Renamed::Child, &name)?;
        let others: Vec<&str> = book
            .settings
            .children
            .iter()
            .map(|child| child.name.as_str())
            .collect();
        let remedy = match (now, others.as_slice()) {
            (Some(now), _) => format!("it was renamed to {}", quoted(now)),
            (None, [one]) => format!(
                "book.toml has {} alone; if that is the same child, write the old name into book.toml again and rename \
                 the child by command, so that the record follows",
                quoted(one)
            ),
            (None, _) => {
                "write the child into book.toml, or rename the child by command".to_string()
            }
        };
        found.push(format!(
            "the record has entries of {}, whom book.toml does not have: {remedy}",
            quoted(&name)
        ));
    }
    // A rename of which the second half failed.
    for child in &book.settings.children {
        if let Some(now) = store.renamed_to(Renamed::Child, &child.name)? {
            found.push(format!(
                "book.toml has {}, who is called {} in the record: write the new name into book.toml",
                quoted(&child.name),
                quoted(now)
            ));
        }
    }
    Ok(found)
}
