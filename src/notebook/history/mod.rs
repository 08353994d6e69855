//! The history of the record: every entry can be corrected, undone and redone, and nothing is lost.
//! A change is an entry of its own that keeps the rows of its target before and after; the target
//! keeps its number.

mod correction;
mod correction_fields;
mod detail;
mod entries;
mod numbers;
mod rows;
mod undo;

pub(super) use correction::rewrite;
pub use correction::{Corrected, Correction};
pub use detail::{EntryDetail, EntryPart};
pub use entries::{ChildEntry, LogEntry, Standing};
pub use undo::{Reversal, Undone};

use rusqlite::{Connection, ToSql, Transaction, params};

use self::rows::Rows;
use super::sql::{first, rows, write_entry};
use super::store::WriteError;
use crate::problem::Problem;
use crate::words::{counted, stored_day};
use jiff::civil::Date;

/// The entry that a number names: its first number.
///
/// Errors: there is no entry of this number.
pub(super) fn target(connection: &Connection, number: i64) -> Result<i64, WriteError> {
    Ok(undo::known(connection, number)?.target)
}

/// The kind of a change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Act {
    Correction,
    Undo,
    Redo,
}

impl Act {
    fn word(self) -> &'static str {
        match self {
            Self::Correction => "correction",
            Self::Undo => "undo",
            Self::Redo => "redo",
        }
    }
}

/// A change that is to be recorded.
struct NewChange<'a> {
    day: Date,
    target: i64,
    act: Act,
    undoes: Option<i64>,
    former: Option<&'a Rows>,
    later: Option<&'a Rows>,
}

impl NewChange<'_> {
    /// Records the change, if nothing depends on what is gone; returns its number.
    fn record(&self, transaction: &Transaction<'_>) -> Result<i64, WriteError> {
        if let Some(problem) = depends(transaction, self.target, self.later)? {
            return Err(problem.into());
        }
        let json = |rows: Option<&Rows>| rows.map(Rows::to_json).transpose();
        let columns: [(&str, &dyn ToSql); 5] = [
            ("target", &self.target),
            ("act", &self.act.word()),
            ("undoes", &self.undoes),
            ("former", &json(self.former)?),
            ("later", &json(self.later)?),
        ];
        Ok(write_entry(transaction, self.day, "change", &columns)?)
    }
}

/// The problem that forbids a change of an entry: cubes that were used already, a reaction to a
/// meal that is gone; `None` for none.
fn depends(
    transaction: &Transaction<'_>,
    target: i64,
    later: Option<&Rows>,
) -> rusqlite::Result<Option<Problem>> {
    // Every batch, because a corrected meal may take cubes of any.
    let sql = "SELECT stock.batch, batch.title, batch.cubes - stock.cubes, batch.cubes FROM stock \
               JOIN batch ON batch.entry = stock.batch WHERE stock.cubes < 0";
    let short = first(transaction, sql, [], |row| {
        let (batch, title): (i64, String) = (row.get(0)?, row.get(1)?);
        let (used, cubes): (u32, u32) = (row.get(2)?, row.get(3)?);
        Ok((batch, title, used, cubes))
    })?;
    if let Some((batch, title, used, cubes)) = short {
        let what = format!(
            "{} of {title} (#{batch}) {} eaten or thrown away already, so it cannot have been {cubes}",
            counted(used, "cube"),
            if used == 1 { "was" } else { "were" }
        );
        return Ok(Some(
            Problem::new(what).hint("correct those entries first; the history lists them"),
        ));
    }
    if later.is_some() {
        return used_too_early(transaction, target);
    }
    let sql = "SELECT feeding, 'a meal with ' || cubes || ' of its cubes' FROM feeding_part WHERE batch = ?1 \
               UNION ALL SELECT entry, cubes || ' of its cubes thrown away' FROM discard WHERE batch = ?1 \
               UNION ALL SELECT entry, 'the reaction to it' FROM reaction WHERE feeding = ?1 \
               UNION ALL SELECT entry, 'the answer to it' FROM answer WHERE question = ?1 ORDER BY 1";
    let hanging: Vec<(i64, String)> = rows(transaction, sql, [target], |row| {
        Ok((row.get(0)?, row.get(1)?))
    })?;
    if hanging.is_empty() {
        return Ok(None);
    }
    let listed: Vec<String> = hanging
        .iter()
        .take(3)
        .map(|(entry, what)| format!("{what} (entry {entry})"))
        .collect();
    let more = match hanging.len() {
        0..=3 => String::new(),
        many => format!(", and {} more", many - 3),
    };
    let what = format!(
        "entry {target} cannot be taken back: on it hangs {}{more}",
        listed.join(", ")
    );
    Ok(Some(Problem::new(what).hint("take that back first")))
}

/// The problem that cubes would have been used before they were cooked.
fn used_too_early(transaction: &Transaction<'_>, target: i64) -> rusqlite::Result<Option<Problem>> {
    let sql = "SELECT used.day, cooked.day FROM (SELECT feeding AS entry, batch FROM feeding_part \
               UNION ALL SELECT entry, batch FROM discard) AS part \
               JOIN entry AS used ON used.id = part.entry JOIN entry AS cooked ON cooked.id = part.batch \
               WHERE (part.entry = ?1 OR part.batch = ?1) AND used.day < cooked.day LIMIT 1";
    let early: Option<(String, String)> = first(transaction, sql, [target], |row| {
        Ok((row.get(0)?, row.get(1)?))
    })?;
    Ok(early.map(|(used, cooked)| {
        Problem::new(format!(
            "cubes that were cooked on {} cannot have been used on {}",
            stored_day(&cooked),
            stored_day(&used)
        ))
    }))
}

/// Replaces a former name in all rows that changes keep.
pub(super) fn rename_in_changes(
    transaction: &Transaction<'_>,
    places: &[(&str, &str)],
    (from, to): (&str, &str),
) -> rusqlite::Result<()> {
    let mut select = transaction.prepare("SELECT entry, former, later FROM change")?;
    let mut update =
        transaction.prepare("UPDATE change SET former = ?2, later = ?3 WHERE entry = ?1")?;
    let mut changes = select.query([])?;
    while let Some(change) = changes.next()? {
        let renamed = |column| -> rusqlite::Result<Option<String>> {
            let text: Option<String> = change.get(column)?;
            let Some(text) = text else {
                return Ok(None);
            };
            let mut rows = Rows::from_json(&text)?;
            for (table, column) in places {
                rows.rename(table, column, (from, to));
            }
            rows.to_json().map(Some)
        };
        let (former, later) = (renamed(1)?, renamed(2)?);
        update.execute(params![change.get::<_, i64>(0)?, former, later])?;
    }
    Ok(())
}
