//! Changes to `book.toml`: one value at a time, the rest of the file with its comments as it was. A
//! change after which the file would not be valid is refused.

use std::fs::File;
use std::io;
use std::path::Path;

use toml_edit::{ArrayOfTables, DocumentMut, Item, Table, TableLike, Value};

use super::error::BookError;
use super::settings::Settings;
use super::{Book, Child};
use crate::problem::{Problem, SourceText};
use crate::whole_file;
use crate::words::quoted;

/// A new value of a key of `book.toml`; `None` takes the key out of the file.
pub type Setting<'a> = (&'a str, Option<Value>);

impl Book {
    /// Sets values of the household as a whole.
    ///
    /// Errors: the file would not be valid; it cannot be read or written.
    pub fn set(&mut self, settings: &[Setting<'_>]) -> Result<(), BookError> {
        self.edit(|document| {
            set_all(document.as_table_mut(), settings);
            Ok(())
        })
    }

    /// Adds a child, a tray, a jar: a table of a list.
    ///
    /// Errors: as of [`Self::set`].
    pub fn add(&mut self, list: &str, settings: &[Setting<'_>]) -> Result<(), BookError> {
        self.edit(|document| {
            let mut table = Table::new();
            set_all(&mut table, settings);
            list_of(document, list)?.push(table);
            Ok(())
        })
    }

    /// Sets values of the child, the tray or the jar of this name.
    ///
    /// Errors: as of [`Self::set`]; nothing has this name.
    pub fn set_in(
        &mut self,
        list: &str,
        name: &str,
        settings: &[Setting<'_>],
    ) -> Result<(), BookError> {
        self.edit(|document| {
            let mut tables = list_of(document, list)?.iter_mut();
            let of_name =
                |table: &&mut Table| table.get("name").and_then(Item::as_str) == Some(name);
            let Some(table) = tables.find(of_name) else {
                let what = format!("book.toml has no {list} of the name {}", quoted(name));
                return Err(Problem::new(what).into());
            };
            set_all(table, settings);
            Ok(())
        })
    }

    /// Takes the child, the tray or the jar of this name out of the file.
    ///
    /// Errors: as of [`Self::set_in`].
    pub fn remove(&mut self, list: &str, name: &str) -> Result<(), BookError> {
        self.edit(|document| {
            let tables = list_of(document, list)?;
            let before = tables.len();
            tables.retain(|table| table.get("name").and_then(Item::as_str) != Some(name));
            if tables.len() == before {
                let what = format!("book.toml has no {list} of the name {}", quoted(name));
                return Err(Problem::new(what).into());
            }
            Ok(())
        })
    }

    /// The child of a name, or the only one where no name is given. A former name is understood
    /// where the record knows the renamed child.
    ///
    /// Errors: there is no such child; there are several, and none is named.
    pub fn named_child(&self, name: Option<&str>) -> Result<&Child, BookError> {
        match (self.settings.child(name), name) {
            (Ok(child), _) => Ok(child),
            // A name that two children have but for case is that of neither, nor of a third who once had it.
            (Err(problem), Some(name)) if self.has_record() && !self.is_called(name) => {
                let store = self.store()?;
                let known = store.children_once_called(name)?;
                let now = known.as_deref().and_then(|now| self.child(now));
                now.ok_or_else(|| problem.into())
            }
            (Err(problem), _) => Err(problem.into()),
        }
    }

    /// Whether a child has this name but for case.
    fn is_called(&self, name: &str) -> bool {
        let mut children = self.settings.children.iter();
        children.any(|child| child.name.to_lowercase() == name.to_lowercase())
    }

    /// The child of this name in the settings.
    pub fn child(&self, name: &str) -> Option<&Child> {
        self.settings
            .children
            .iter()
            .find(|child| child.name == name)
    }

    pub(super) fn edit(
        &mut self,
        change: impl FnOnce(&mut DocumentMut) -> Result<(), BookError>,
    ) -> Result<(), BookError> {
        let path = self.settings_path();
        let failed = BookError::io("change", &path);
        let _alone = alone_in(whole_file::folder_of(&path)).map_err(&failed)?;
        let text = std::fs::read_to_string(&path).map_err(&failed)?;
        let mut document: DocumentMut = text
            .parse()
            .map_err(|error: toml_edit::TomlError| failed(io::Error::other(error)))?;
        change(&mut document)?;
        let text = document.to_string();
        // The text is read before it is written, so that the book stays valid.
        let settings = Settings::parse(&SourceText::new("book.toml", text.as_str()))?;
        whole_file::write(&path, &text).map_err(failed)?;
        self.settings = settings;
        Ok(())
    }
}

/// Waits until nobody else changes the settings in this folder, and keeps others waiting for as long as the value lives:
/// of two changes at once, the later is made to what the earlier left.
#[cfg(unix)]
fn alone_in(folder: &Path) -> io::Result<File> {
    // A file that is written anew is another file, so that the folder is what stays to be locked.
    let folder = File::open(folder)?;
    folder.lock()?;
    Ok(folder)
}

/// Only Unix opens folders as files: elsewhere a file beside the settings is locked.
#[cfg(not(unix))]
fn alone_in(folder: &Path) -> io::Result<File> {
    let beside = File::create(folder.join(".book.toml.lock"))?;
    beside.lock()?;
    Ok(beside)
}

pub(super) fn list_of<'a>(
    document: &'a mut DocumentMut,
    list: &str,
) -> Result<&'a mut ArrayOfTables, BookError> {
    let item = document
        .entry(list)
        .or_insert_with(|| Item::ArrayOfTables(ArrayOfTables::new()));
    item.as_array_of_tables_mut().ok_or_else(|| {
        Problem::new(format!(
            "{} is no list of tables in book.toml",
            quoted(list)
        ))
        .hint(format!("write it as [[{list}]]"))
        .into()
    })
}

fn set_all(table: &mut dyn TableLike, settings: &[Setting<'_>]) {
    for (key, value) in settings {
        match value {
            None => {
                table.remove(key);
            }
            Some(value) => match table.get_mut(key) {
                // The comment behind the old value stays.
                Some(Item::Value(old)) => {
                    let decor = old.decor().clone();
                    *old = value.clone();
                    *old.decor_mut() = decor;
                }
                _ => {
                    table.insert(key, Item::Value(value.clone()));
                }
            },
        }
    }
}
