//! Renaming a child or a recipe with its whole history: every row, and the former rows that changes
//! keep.

use jiff::civil::Date;
use rusqlite::{Connection, ToSql, Transaction, params};

use super::error::BookError;
use super::history::rename_in_changes;
use super::sql::{rows, write_entry};
use super::store::{Store, WriteError};
use crate::problem::Problem;
use crate::words::quoted;

/// The kind of what is renamed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Renamed {
    /// A child.
    Child,
    /// A recipe.
    Recipe,
}

impl Renamed {
    /// The word for it in the record.
    pub fn word(self) -> &'static str {
        match self {
            Self::Child => "child",
            Self::Recipe => "recipe",
        }
    }

    /// The tables that hold the name, each with its column.
    fn places(self) -> &'static [(&'static str, &'static str)] {
        match self {
            Self::Child => &[
                ("feeding", "child"),
                ("milk", "child"),
                ("planned", "child"),
                ("planned_part", "child"),
                ("question", "child"),
                ("clearance", "child"),
                ("known", "child"),
                ("measure", "child"),
                ("supplement", "child"),
                ("note", "child"),
                ("texture", "child"),
                ("whole_day", "child"),
                ("visit", "child"),
            ],
            Self::Recipe => &[("batch", "name"), ("planned_part", "what")],
        }
    }
}

impl Store {
    /// Renames a child or a recipe in the whole record; returns the number of the entry. With
    /// `join` its entries are added to those that the record has under the new name.
    ///
    /// Errors: the record has a child or a recipe of the new name already, and they are not to be
    /// joined.
    pub fn rename(
        &mut self,
        what: Renamed,
        (from, to): (&str, &str),
        today: Date,
        join: bool,
    ) -> Result<i64, BookError> {
        self.write(|transaction| {
            if !join && is_known(transaction, what, to)? {
                let words = format!("the record has a {} {} already", what.word(), quoted(to));
                return Err(Problem::new(words)
                    .hint("choose a name that is free")
                    .into());
            }
            transaction.pragma_update(None, "defer_foreign_keys", true)?;
            for (table, column) in what.places() {
                let sql =
                    format!("UPDATE \"{table}\" SET \"{column}\" = ?2 WHERE \"{column}\" = ?1");
                transaction.execute(&sql, params![from, to])?;
            }
            rename_in_changes(transaction, what.places(), (from, to))?;
            let columns: [(&str, &dyn ToSql); 3] =
                [("what", &what.word()), ("former", &from), ("later", &to)];
            Ok(write_entry(transaction, today, "rename", &columns)?)
        })
    }

    /// The name that a child or a recipe of this former name has now; `None` where it was never
    /// renamed.
    pub fn renamed_to(&self, what: Renamed, former: &str) -> Result<Option<String>, BookError> {
        self.read(|connection| {
            let mut select = connection.prepare(
                "SELECT later FROM rename WHERE what = ?1 AND former = ?2 ORDER BY entry DESC LIMIT 1",
            )?;
            let mut name = former.to_string();
            // A name may have been changed several times, and back.
            for _ in 0..20 {
                let next = select.query_map(params![what.word(), name], |row| row.get(0))?;
                match next.into_iter().next().transpose()? {
                    Some(later) if later != name => name = later,
                    _ => break,
                }
            }
            Ok(Some(name).filter(|name| name != former))
        })
    }

    /// The present name of a child that once had this name, in upper or lower case.
    pub fn children_once_called(&self, name: &str) -> Result<Option<String>, BookError> {
        let sql =
            "SELECT former FROM rename WHERE what = 'child' AND former = ?1 COLLATE NOCASE LIMIT 1";
        let former: Option<String> = self.first(sql, [name], |row| row.get(0))?;
        match former {
            Some(former) => self.renamed_to(Renamed::Child, &former),
            None => Ok(None),
        }
    }

    /// The children with entries in the record.
    pub fn children_on_record(&self) -> Result<Vec<String>, BookError> {
        self.read(|connection| {
            let moment = connection.unchecked_transaction()?;
            let children = &self.kept.children;
            let children = children.get_or_read((&moment, self.path()), (), children_on_record)?;
            Ok(children.to_vec())
        })
    }
}

fn children_on_record(connection: &Connection) -> rusqlite::Result<Vec<String>> {
    let places = Renamed::Child.places().iter();
    let selects = places
        .map(|(table, column)| format!("SELECT DISTINCT \"{column}\" AS name FROM \"{table}\""));
    let all = selects.collect::<Vec<_>>().join(" UNION ");
    let sql = format!("SELECT name FROM ({all}) WHERE name <> '' ORDER BY name");
    rows(connection, &sql, [], |row| row.get(0))
}

fn is_known(transaction: &Transaction<'_>, what: Renamed, name: &str) -> Result<bool, WriteError> {
    for (table, column) in what.places() {
        let sql = format!("SELECT EXISTS (SELECT 1 FROM \"{table}\" WHERE \"{column}\" = ?1)");
        if transaction.query_row(&sql, [name], |row| row.get(0))? {
            return Ok(true);
        }
    }
    Ok(false)
}
