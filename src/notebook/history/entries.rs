//! The entries of the record as a reader sees them: those in force now, and on request all former
//! versions.

use std::collections::{BTreeMap, BTreeSet};

use data_import::FoodId;
use jiff::civil::Date;
use rusqlite::{Connection, Params};

use super::detail::{EntryDetail, EntryPart, detail};
use super::numbers::{self, Operation, Sort};
use super::rows::Rows;
use crate::notebook::error::BookError;
use crate::notebook::sql::{parsed, rows};
use crate::notebook::store::Store;
use crate::safety::tells_of_reaction;

/// An entry of the record, or a former version of one.
#[derive(Debug, Clone, PartialEq)]
pub struct LogEntry {
    /// The number of this version of the entry.
    pub number: i64,
    /// The first number of the entry, which names a batch for good.
    pub target: i64,
    /// The day that the entry is about; for an undo or a redo, the day on which it was done.
    pub day: Date,
    /// The kind of entry: `meal`, `batch`, `purchase` and so on.
    pub kind: &'static str,
    /// The child; empty where the entry is not about a child.
    pub child: String,
    /// Whether the entry is in force.
    pub standing: Standing,
    /// The details of the entry, by its kind.
    pub detail: EntryDetail,
}

/// Whether an entry is in force.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// In force as it was first written.
    First,
    /// In force, and a correction of what was first written.
    Corrected,
    /// No longer in force, because of the change with this number.
    Former(i64),
    /// An undo; the number is that of its redo, if there was one.
    TookBack(Option<i64>),
    /// A redo.
    PutBack,
}

impl LogEntry {
    /// Whether a reaction was recorded with the entry, or the entry is a reaction.
    pub fn has_reaction(&self) -> bool {
        match &self.detail {
            EntryDetail::Meal { reaction, .. } | EntryDetail::Known { reaction, .. } => {
                tells_of_reaction(reaction)
            }
            EntryDetail::Reaction { words, .. } => tells_of_reaction(words),
            _ => false,
        }
    }

    /// The foods of a plan for which the record has no name, because they were not eaten, cooked or
    /// bought yet: an id stands in place of each name.
    pub fn unnamed_foods(&mut self) -> impl Iterator<Item = (FoodId, &mut String)> {
        let parts = match &mut self.detail {
            EntryDetail::Plan { parts, .. } => parts.as_mut_slice(),
            _ => &mut [],
        };
        parts.iter_mut().filter_map(|part| match part {
            EntryPart::Food { name, id, .. } if name == id => Some((id.parse().ok()?, name)),
            EntryPart::Wanted(name) => Some((name.parse().ok()?, name)),
            _ => None,
        })
    }
}

impl Standing {
    /// The change that put this out of force.
    pub fn superseded_by(self) -> Option<i64> {
        match self {
            Self::Former(by) | Self::TookBack(Some(by)) => Some(by),
            _ => None,
        }
    }
}

impl Store {
    /// The entries of the days from one to another, both included, the newest first; with `all`,
    /// also former versions, undos and redos.
    pub fn log(&self, (from, to): (Date, Date), all: bool) -> Result<Vec<LogEntry>, BookError> {
        self.read(|connection| {
            // One transaction, so that all values are of one moment.
            let moment = connection.unchecked_transaction()?;
            let mut entries = current(&moment, from, to)?;
            if all {
                for target in changed(&moment)? {
                    let more = former(&moment, target)?.into_iter();
                    entries.extend(more.filter(|entry| (from..=to).contains(&entry.day)));
                }
            }
            entries.sort_by_key(|entry| std::cmp::Reverse((entry.day, entry.number)));
            Ok(entries)
        })
    }

    /// The entries in force that are about the last days, at most `most`, the newest first, and how
    /// many there are in all.
    pub fn newest(&self, most: u32) -> Result<(Vec<LogEntry>, u32), BookError> {
        self.read(|connection| {
            let moment = connection.unchecked_transaction()?;
            let all: u32 = moment.query_row(
                "SELECT count(*) FROM entry WHERE kind <> 'change'",
                [],
                |row| row.get(0),
            )?;
            let sql =
                "SELECT id FROM entry WHERE kind <> 'change' ORDER BY day DESC, id DESC LIMIT ?1";
            let mut entries = selected(&moment, sql, [most])?;
            entries.sort_by_key(|entry| std::cmp::Reverse((entry.day, entry.number)));
            Ok((entries, all))
        })
    }

    /// The corrections in force by which the cubes of a batch were counted again, each on the day
    /// it was made, from one day to another, both included.
    pub fn counted_again(&self, (from, to): (Date, Date)) -> Result<Vec<LogEntry>, BookError> {
        let sql = "SELECT change.entry, entry.day, batch.title, batch.entry, \
                   former ->> '$.batch[0].cubes' AS was, later ->> '$.batch[0].cubes' AS now \
                   FROM change JOIN entry ON entry.id = change.entry \
                   JOIN batch ON batch.entry = change.target \
                   WHERE act = 'correction' AND was <> now AND day BETWEEN ?1 AND ?2 \
                   AND change.entry NOT IN (SELECT entry FROM taken_back)";
        self.rows(sql, [from.to_string(), to.to_string()], |row| {
            Ok(LogEntry {
                number: row.get(0)?,
                target: row.get(0)?,
                day: parsed(row, 1)?,
                kind: "count",
                child: String::new(),
                standing: Standing::First,
                detail: EntryDetail::Count {
                    title: row.get(2)?,
                    batch: row.get(3)?,
                    was: row.get(4)?,
                    now: row.get(5)?,
                },
            })
        })
    }

    /// The entry that a number names, as it is now; `None` where it is gone or never existed.
    pub fn entry(&self, number: i64) -> Result<Option<LogEntry>, BookError> {
        self.read(|connection| {
            let Some(operation) = numbers::operation(connection, number)? else {
                return Ok(None);
            };
            present(connection, operation.target)
        })
    }
}

/// The kinds of entries about a child other than meals.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChildEntry {
    /// The milk that it drinks.
    Milk,
    /// Weight, length, head size.
    Measure,
    /// Supplements.
    Supplement,
    /// Notes.
    Note,
    /// Foods that it had outside the record.
    Known,
    /// The texture of its food.
    Texture,
}

impl ChildEntry {
    /// The table with a row for each entry.
    fn table(self) -> &'static str {
        match self {
            Self::Milk => "milk",
            Self::Measure => "measure",
            Self::Supplement => "supplement",
            Self::Note => "note",
            Self::Known => "known",
            Self::Texture => "texture",
        }
    }
}

impl Store {
    /// The entries of a kind about a child since a day, the newest first, as they are now.
    pub fn entries_about(
        &self,
        child: &str,
        kind: ChildEntry,
        from: Date,
    ) -> Result<Vec<LogEntry>, BookError> {
        let table = kind.table();
        let sql = format!(
            "SELECT entry.id FROM {table} JOIN entry ON entry.id = {table}.entry \
             WHERE child = ?1 AND entry.day >= ?2 ORDER BY entry.day DESC, entry.id DESC"
        );
        self.read(|connection| {
            let moment = connection.unchecked_transaction()?;
            selected(&moment, &sql, [child, &from.to_string()])
        })
    }
}

/// The entry with this first number as it is now.
fn present(connection: &Connection, target: i64) -> rusqlite::Result<Option<LogEntry>> {
    let Some(rows) = Rows::read(connection, target)? else {
        return Ok(None);
    };
    let number = numbers::version(connection, target)?;
    entry_as(connection, number, target, &rows).map(Some)
}

/// An entry from its rows.
pub(super) fn entry_as(
    connection: &Connection,
    number: i64,
    target: i64,
    rows: &Rows,
) -> rusqlite::Result<LogEntry> {
    let (kind, child, detail) = detail(connection, rows)?;
    let unread = |error: jiff::Error| rusqlite::Error::ToSqlConversionFailure(Box::new(error));
    Ok(LogEntry {
        number,
        target,
        day: rows.text("entry", "day").parse().map_err(unread)?,
        kind,
        child,
        standing: if number == target {
            Standing::First
        } else {
            Standing::Corrected
        },
        detail,
    })
}

fn current(connection: &Connection, from: Date, to: Date) -> rusqlite::Result<Vec<LogEntry>> {
    let sql =
        "SELECT id FROM entry WHERE kind <> 'change' AND day BETWEEN ?1 AND ?2 ORDER BY day, id";
    selected(connection, sql, [from.to_string(), to.to_string()])
}

/// The entries, as they are now, whose first numbers are selected.
fn selected(
    connection: &Connection,
    sql: &str,
    parameters: impl Params,
) -> rusqlite::Result<Vec<LogEntry>> {
    let ids: Vec<i64> = rows(connection, sql, parameters, |row| row.get(0))?;
    let mut entries = Vec::new();
    for id in ids {
        entries.extend(present(connection, id)?);
    }
    Ok(entries)
}

/// The entries that were changed.
fn changed(connection: &Connection) -> rusqlite::Result<BTreeSet<i64>> {
    let sql = "SELECT DISTINCT target FROM change";
    rows(connection, sql, [], |row| row.get(0))
}

/// Every former version of an entry, and every undo and redo of it.
fn former(connection: &Connection, target: i64) -> rusqlite::Result<Vec<LogEntry>> {
    let changes = changes(connection, target)?;
    let mut history = Versions {
        at: target,
        ..Versions::default()
    };
    let mut entries = Vec::new();
    for (day, change) in &changes {
        history.follow(change);
        let (standing, rows) = match &change.sort {
            Sort::Undo { former, .. } => {
                let redo = redo_of(&changes, change.number);
                (Standing::TookBack(redo), former)
            }
            Sort::Redo { undo } => match history.taken.get(undo) {
                Some((_, former)) => (Standing::PutBack, former),
                None => continue,
            },
            _ => continue,
        };
        let entry = entry_as(connection, change.number, target, rows)?;
        entries.push(LogEntry {
            day: *day,
            standing,
            ..entry
        });
    }
    for (number, by) in history.fate {
        if let Some(rows) = history.rows.get(&number) {
            let entry = entry_as(connection, number, target, rows)?;
            entries.push(LogEntry {
                standing: Standing::Former(by),
                ..entry
            });
        }
    }
    Ok(entries)
}

fn changes(connection: &Connection, target: i64) -> rusqlite::Result<Vec<(Date, Operation)>> {
    let sql = "SELECT change.entry, entry.day FROM change JOIN entry ON entry.id = change.entry \
               WHERE target = ?1 ORDER BY change.entry";
    let each: Vec<(i64, Date)> = rows(connection, sql, [target], |row| {
        Ok((row.get(0)?, parsed(row, 1)?))
    })?;
    let mut changes = Vec::new();
    for (number, day) in each {
        if let Some(change) = numbers::operation(connection, number)? {
            changes.push((day, change));
        }
    }
    Ok(changes)
}

fn redo_of(changes: &[(Date, Operation)], undo: i64) -> Option<i64> {
    let mut changes = changes.iter();
    let redo = changes.find(|(_, change)| change.sort == Sort::Redo { undo });
    redo.map(|(_, change)| change.number)
}

/// The versions of an entry while its changes are followed.
#[derive(Default)]
struct Versions {
    /// The version in force.
    at: i64,
    /// The versions that are no longer in force, each with the change that ended it.
    fate: BTreeMap<i64, i64>,
    rows: BTreeMap<i64, Rows>,
    /// The version that each undo took back, with its rows.
    taken: BTreeMap<i64, (i64, Rows)>,
    /// The version before each correction.
    before: BTreeMap<i64, i64>,
}

impl Versions {
    fn follow(&mut self, change: &Operation) {
        let by = change.number;
        match &change.sort {
            Sort::Entry => {}
            Sort::Correction { former, later } => {
                self.rows.insert(self.at, former.clone());
                self.rows.insert(by, later.clone());
                self.before.insert(by, self.at);
                self.fate.insert(self.at, by);
                self.at = by;
            }
            Sort::Undo { former, later, .. } => {
                self.rows.insert(self.at, former.clone());
                self.taken.insert(by, (self.at, former.clone()));
                self.fate.insert(self.at, by);
                if later.is_some() {
                    self.at = self.before.get(&self.at).copied().unwrap_or(change.target);
                    self.fate.remove(&self.at);
                }
            }
            Sort::Redo { undo } => {
                let Some((version, _)) = self.taken.get(undo) else {
                    return;
                };
                if *version != self.at {
                    self.fate.insert(self.at, by);
                }
                self.at = *version;
                self.fate.remove(version);
            }
        }
    }
}
