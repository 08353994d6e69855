//! Undo and redo of an entry, or of a correction of one, of any age.

use jiff::civil::Date;
use rusqlite::{Connection, Transaction};

use super::entries::{LogEntry, entry_as};
use super::numbers::{self, Operation, Sort};
use super::rows::Rows;
use super::{Act, NewChange};
use crate::next_step::{NextStep, Remark};
use crate::notebook::error::BookError;
use crate::notebook::store::{Store, WriteError};
use crate::problem::Problem;

/// The result of an undo or a redo.
#[derive(Debug, Clone, PartialEq)]
pub struct Undone {
    /// Number of the change.
    pub change: i64,
    /// The kind of what was done with the entry.
    pub what: Reversal,
    /// The entry that was undone or redone, as it was then.
    pub entry: LogEntry,
    /// The entry as it is now; `None` where it is gone.
    pub now: Option<LogEntry>,
}

impl Undone {
    /// The entries, as they were and as they are.
    pub fn entries(&mut self) -> impl Iterator<Item = &mut LogEntry> {
        std::iter::once(&mut self.entry).chain(&mut self.now)
    }
}

/// The kind of an undo or a redo.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reversal {
    /// An entry is taken back.
    Entry,
    /// A correction is taken back: the entry is as it was before.
    Correction,
    /// What was taken back is restored.
    Redo,
}

impl Store {
    /// The operation that an undo without a number would take back: its number and what it
    /// concerns.
    pub fn to_undo(&self) -> Result<Option<LogEntry>, BookError> {
        self.read(|connection| match numbers::last(connection)? {
            Some(number) => shown(connection, number),
            None => Ok(None),
        })
    }

    /// The number of the last entry or correction in force.
    pub fn last_number(&self) -> Result<Option<i64>, BookError> {
        self.read(numbers::last)
    }

    /// Whether an entry, a correction or an undo of this number is in force, so that it can be
    /// taken back.
    pub fn in_force(&self, number: i64) -> Result<bool, BookError> {
        self.read(|connection| {
            let Some(operation) = numbers::operation(connection, number)? else {
                return Ok(false);
            };
            Ok(match operation.sort {
                Sort::Undo { undoes, .. } => numbers::undo_of(connection, undoes)? == Some(number),
                Sort::Redo { .. } => false,
                _ => {
                    Rows::read(connection, operation.target)?.is_some()
                        && numbers::undo_of(connection, number)?.is_none()
                }
            })
        })
    }

    /// The operation that a redo without a number would put back.
    pub fn to_redo(&self) -> Result<Option<LogEntry>, BookError> {
        self.read(|connection| match numbers::last_undo(connection)? {
            Some(number) => shown(connection, number),
            None => Ok(None),
        })
    }

    /// Takes back the entry or the correction of this number, and of an undo puts back what it
    /// took.
    ///
    /// Errors: there is no operation with this number; it was taken back already; it was corrected
    /// again since; something depends on it.
    pub fn undo(&mut self, number: i64, today: Date) -> Result<Undone, BookError> {
        self.write(|transaction| reverse(transaction, number, today))
    }

    /// Takes back each of several, in this order, or none of them.
    ///
    /// Errors: as of [`Self::undo`].
    pub fn undo_each(&mut self, numbers: &[i64], today: Date) -> Result<Vec<Undone>, BookError> {
        self.write_each(numbers, |transaction, number| {
            reverse(transaction, *number, today)
        })
    }

    /// Restores what the undo with this number took back, or what was taken back of the entry with
    /// this number.
    ///
    /// Errors: as of [`Self::undo`]; nothing was taken back.
    pub fn redo(&mut self, number: i64, today: Date) -> Result<Undone, BookError> {
        self.write(|transaction| {
            let operation = known(transaction, number)?;
            let undo = match operation.sort {
                Sort::Undo { .. } => Some(number),
                _ => numbers::undo_of(transaction, number)?,
            };
            match undo {
                Some(undo) => put_back(transaction, undo, today),
                None => Err(Problem::new(format!("entry {number} was not taken back")).into()),
            }
        })
    }
}

/// The entry that an operation is about, as it is shown before it is reversed.
fn shown(connection: &Connection, number: i64) -> rusqlite::Result<Option<LogEntry>> {
    let Some(operation) = numbers::operation(connection, number)? else {
        return Ok(None);
    };
    let rows = match &operation.sort {
        Sort::Undo { former, .. } => Some(former.clone()),
        _ => Rows::read(connection, operation.target)?,
    };
    let shown = |rows: Rows| entry_as(connection, number, operation.target, &rows);
    rows.map(shown).transpose()
}

/// The operation with this number.
pub(super) fn known(connection: &Connection, number: i64) -> Result<Operation, WriteError> {
    let found = numbers::operation(connection, number)?;
    Ok(found.ok_or_else(|| {
        Problem::new(format!("there is no entry {number}")).hint(NextStep::SeeHistory)
    })?)
}

fn reverse(transaction: &Transaction<'_>, number: i64, today: Date) -> Result<Undone, WriteError> {
    let operation = known(transaction, number)?;
    let (target, correction) = match &operation.sort {
        Sort::Undo { .. } => return put_back(transaction, number, today),
        Sort::Redo { undo } => {
            let again = known(transaction, *undo)?;
            let Sort::Undo { undoes, .. } = again.sort else {
                return Err(rusqlite::Error::QueryReturnedNoRows.into());
            };
            return reverse(transaction, undoes, today);
        }
        Sort::Entry => (number, None),
        Sort::Correction { former, later } => (operation.target, Some((former, later))),
    };
    for taken in [number, target] {
        if let Some(undo) = numbers::undo_of(transaction, taken)? {
            let what = format!("entry {taken} was taken back already, by {undo}");
            return Err(Problem::new(what)
                .hint(Remark::with("to put it back:", NextStep::Redo(undo)))
                .into());
        }
    }
    let Some(now) = Rows::read(transaction, target)? else {
        return Err(rusqlite::Error::QueryReturnedNoRows.into());
    };
    if now.kind() == "rename" {
        let what = format!("entry {target} is a renaming, which concerns the whole record");
        return Err(Problem::new(what).hint("rename it back instead").into());
    }
    let later = match correction {
        None => None,
        Some((former, later)) if *later == now => Some(former.clone()),
        Some(_) => return Err(changed_since(transaction, target)?.into()),
    };
    let entry = entry_as(transaction, number, target, &now)?;
    Rows::replace(transaction, target, later.as_ref())?;
    let change = NewChange {
        day: today,
        target,
        act: Act::Undo,
        undoes: Some(number),
        former: Some(&now),
        later: later.as_ref(),
    }
    .record(transaction)?;
    let what = match later {
        None => Reversal::Entry,
        Some(_) => Reversal::Correction,
    };
    undone(transaction, change, what, entry)
}

/// Restores what an undo took back, if the entry is still as the undo left it.
fn put_back(transaction: &Transaction<'_>, undo: i64, today: Date) -> Result<Undone, WriteError> {
    let operation = known(transaction, undo)?;
    let Sort::Undo {
        undoes,
        former,
        later,
    } = operation.sort
    else {
        return Err(rusqlite::Error::QueryReturnedNoRows.into());
    };
    let target = operation.target;
    if numbers::undo_of(transaction, undoes)? != Some(undo) {
        return Err(Problem::new(format!("what {undo} took back was put back already")).into());
    }
    let now = Rows::read(transaction, target)?;
    if now != later {
        return Err(changed_since(transaction, target)?.into());
    }
    Rows::replace(transaction, target, Some(&former))?;
    let change = NewChange {
        day: today,
        target,
        act: Act::Redo,
        undoes: Some(undo),
        former: now.as_ref(),
        later: Some(&former),
    }
    .record(transaction)?;
    let entry = entry_as(transaction, undoes, target, &former)?;
    undone(transaction, change, Reversal::Redo, entry)
}

fn undone(
    transaction: &Transaction<'_>,
    change: i64,
    what: Reversal,
    entry: LogEntry,
) -> Result<Undone, WriteError> {
    let target = entry.target;
    let rows = Rows::read(transaction, target)?;
    let number = numbers::version(transaction, target)?;
    let now = rows.map(|rows| entry_as(transaction, number, target, &rows));
    Ok(Undone {
        change,
        what,
        entry,
        now: now.transpose()?,
    })
}

/// The problem that a later change of the entry has to be taken back first.
fn changed_since(connection: &Connection, target: i64) -> rusqlite::Result<Problem> {
    let newest = numbers::version(connection, target)?;
    let what = format!("entry {target} was changed again since, by {newest}");
    Ok(Problem::new(what).hint(Remark::with("take that back first", NextStep::Undo(newest))))
}
