//! Renaming a child or a recipe: in the record and in `book.toml` or the recipes, so that none of
//! them keeps the old name.

use jiff::civil::Date;

use super::children::free_name;
use crate::names::in_full;
use crate::next_step::{ChildNames, NextStep, Remark};
use crate::notebook::{Book, BookError, RecipeName, Renamed, Store};
use crate::problem::{Problem, nearest};
use crate::words::quoted;

/// Renames a child in the record and in `book.toml`; returns the number of the entry.
///
/// The record comes first: should the file not follow, the record knows who is meant by the old
/// name.
pub fn rename_child(
    book: &mut Book,
    store: &mut Store,
    (from, to): (&str, &str),
    today: Date,
) -> Result<i64, BookError> {
    if book.child(from).is_none() {
        return join_child(book, store, (from, to), today);
    }
    free_name(book, to, Some(from))?;
    let entry = store.rename(Renamed::Child, (from, to), today, false)?;
    book.set_in("child", from, &[("name", Some(to.into()))])?;
    Ok(entry)
}

/// The name in full of the child that is to be renamed: one of `book.toml`, or one of whom the record alone knows.
///
/// Errors: no child is called so, or two are but for case.
pub fn child_to_rename(book: &Book, store: &Store, from: &str) -> Result<String, BookError> {
    let orphans = orphaned(book, store)?;
    let known = book.settings.children.iter().map(|child| &*child.name);
    let known = known.chain(orphans.iter().map(|one| &*one.name));
    Ok(in_full("child", from, known)?.to_owned())
}

/// The record follows a name that was changed in `book.toml` by hand; gives the number of the entry.
///
/// Errors: the record does not know that name; the book has no child of the new one; that child has
/// entries of its own and is most likely another.
fn join_child(
    book: &Book,
    store: &mut Store,
    (from, to): (&str, &str),
    today: Date,
) -> Result<i64, BookError> {
    let orphans = orphaned(book, store)?;
    let Some(orphan) = orphans.iter().find(|one| one.name == from) else {
        let what = format!("the book has no child called {}", quoted(from));
        return Err(Problem::new(what).into());
    };
    let Some(child) = book.child(to) else {
        let what = format!("book.toml has no child called {}", quoted(to));
        return Err(Problem::new(what)
            .hint("write the child into book.toml first")
            .into());
    };
    let likely = orphan.likely.as_deref() == Some(&*child.name);
    store.rename(Renamed::Child, (&orphan.name, &child.name), today, likely)
}

/// Renames a recipe in the record, with its file; returns the number of the entry.
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
    let entry = store.rename(Renamed::Recipe, (from, &to.to_string()), today, false)?;
    book.move_recipe(from, to)?;
    Ok(entry)
}

/// A child with entries in the record that `book.toml` does not have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Orphan {
    /// The name in the record.
    pub name: String,
    /// The later name of that child in the record, where only `book.toml` has to follow.
    pub renamed_to: Option<String>,
    /// The child of `book.toml` that it most likely is: the only one with nothing on record, or the
    /// one with the nearest name.
    pub likely: Option<String>,
}

impl Orphan {
    /// The problem, and what to do about it.
    pub fn remark(&self) -> Remark {
        let what = format!(
            "the record has entries of {}, whom book.toml does not have",
            quoted(&self.name)
        );
        match (&self.renamed_to, &self.likely) {
            (Some(now), _) => Remark::from(format!("{what}: it was renamed to {}", quoted(now))),
            (None, Some(to)) => Remark::with(
                format!("{what}; if that is {}, join the two", quoted(to)),
                NextStep::RenameChild(Box::new(ChildNames {
                    from: self.name.clone(),
                    to: to.clone(),
                })),
            ),
            (None, None) => Remark::from(format!("{what}: write the child into book.toml")),
        }
    }
}

/// The children with entries in the record that `book.toml` does not have.
pub fn orphaned(book: &Book, store: &Store) -> Result<Vec<Orphan>, BookError> {
    let on_record = store.children_on_record()?;
    let names = || {
        book.settings
            .children
            .iter()
            .map(|child| child.name.as_str())
    };
    let blank: Vec<&str> = names()
        .filter(|name| !on_record.iter().any(|known| known == name))
        .collect();
    let mut orphans = Vec::new();
    for name in on_record.iter().filter(|name| book.child(name).is_none()) {
        let likely = match blank.as_slice() {
            [one] => Some(*one),
            _ => near(name, names()),
        };
        orphans.push(Orphan {
            name: name.clone(),
            renamed_to: store.renamed_to(Renamed::Child, name)?,
            likely: likely.map(String::from),
        });
    }
    Ok(orphans)
}

/// The child whose name is the nearest to another.
fn near<'a>(name: &str, names: impl Iterator<Item = &'a str> + Clone) -> Option<&'a str> {
    let lower: Vec<(String, &str)> = names.map(|name| (name.to_lowercase(), name)).collect();
    let found = nearest(name, lower.iter().map(|(lower, _)| lower.as_str()))?.to_string();
    lower
        .into_iter()
        .find(|(lower, _)| *lower == found)
        .map(|(_, name)| name)
}

/// The differences between the record and the files.
pub fn orphans(book: &Book, store: &Store) -> Result<Vec<Remark>, BookError> {
    let mut found: Vec<Remark> = orphaned(book, store)?.iter().map(Orphan::remark).collect();
    // A renaming of which the second half failed.
    for child in &book.settings.children {
        if let Some(now) = store.renamed_to(Renamed::Child, &child.name)? {
            found.push(Remark::from(format!(
                "book.toml has {}, who is called {} in the record: write the new name into book.toml",
                quoted(&child.name),
                quoted(now)
            )));
        }
    }
    Ok(found)
}
