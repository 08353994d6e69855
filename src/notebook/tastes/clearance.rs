//! A doctor's clearance of a food after a reaction, as the parent records it.

use jiff::civil::Date;
use rusqlite::{ToSql, Transaction};

use super::TasteHistory;
use crate::notebook::error::BookError;
use crate::notebook::sql::write_entry;
use crate::notebook::store::{Store, WriteError};
use crate::problem::{Problem, nearest};
use crate::safety::{NotedReaction, is_in_name, stem};
use crate::words;

/// A doctor's clearance of a food after a reaction, as the parent records it; the program does not
/// judge it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clearance<'a> {
    /// The day.
    pub day: Date,
    /// The child.
    pub child: &'a str,
    /// Id of the food, or words of its name where they fit one food alone.
    pub food: &'a str,
    /// The doctor's words, as the parent writes them; empty for none.
    pub words: &'a str,
}

/// A clearance that was recorded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cleared {
    /// Number of the entry.
    pub entry: i64,
    /// Name of the food.
    pub name: String,
}

impl Store {
    /// Records that a doctor cleared a food.
    ///
    /// Errors: no reaction to the food is open on that day.
    pub fn clear(&mut self, clearance: &Clearance<'_>) -> Result<Cleared, BookError> {
        self.write(|transaction| write_clearance(transaction, clearance))
    }

    /// Records what a doctor cleared of each of some children, or nothing.
    ///
    /// Errors: as of [`Self::clear`], of any of them.
    pub fn clear_each(&mut self, all: &[Clearance<'_>]) -> Result<Vec<Cleared>, BookError> {
        self.write_each(all, write_clearance)
    }
}

fn write_clearance(
    transaction: &Transaction<'_>,
    clearance: &Clearance<'_>,
) -> Result<Cleared, WriteError> {
    let history = TasteHistory::read(transaction, clearance.child)?;
    let record = history.up_to(clearance.day);
    let open = record.open_reactions();
    let found = meant(&open, clearance.food);
    let [food] = found[..] else {
        return Err(nothing_to_clear(&open, &found, clearance).into());
    };
    let columns: [(&str, &dyn ToSql); 3] = [
        ("child", &clearance.child),
        ("food", &food.food),
        ("words", &clearance.words),
    ];
    let entry = write_entry(transaction, clearance.day, "clearance", &columns)?;
    Ok(Cleared {
        entry,
        name: food.name.clone(),
    })
}

/// The food of this id; else those with the words in their names, or with an allergen of that name.
fn meant<'a>(open: &'a [NotedReaction], food: &str) -> Vec<&'a NotedReaction> {
    if let Some(by_id) = open.iter().find(|noted| noted.food == food) {
        return vec![by_id];
    }
    let words: Vec<String> = food.split_whitespace().map(stem).collect();
    let is_called = |noted: &&NotedReaction| {
        let name = noted.name.to_lowercase();
        let by_name = words.iter().all(|word| is_in_name(word, &name));
        !words.is_empty() && (by_name || noted.allergens.iter().any(|held| held == food))
    };
    open.iter().filter(is_called).collect()
}

fn nothing_to_clear(
    open: &[NotedReaction],
    found: &[&NotedReaction],
    clearance: &Clearance<'_>,
) -> Problem {
    let Clearance {
        child, food, day, ..
    } = clearance;
    let listed = open
        .iter()
        .map(|open| format!("{} ({})", open.food, open.name));
    let listed: Vec<_> = listed.collect();
    if !found.is_empty() {
        let called = found
            .iter()
            .map(|noted| format!("{} ({})", noted.food, noted.name));
        let called: Vec<_> = called.collect();
        return Problem::new(format!(
            "reactions to {} foods that “{food}” fits are open for {child}",
            found.len()
        ))
        .hint(format!(
            "say which the doctor cleared, one by one: {}",
            called.join("; ")
        ));
    }
    let near = nearest(food, open.iter().map(|open| open.food.as_str()));
    let hint = match near {
        Some(near) => format!("did you mean “{near}”?"),
        None if open.is_empty() => "no reaction is open, so there is nothing to clear".to_string(),
        None => format!("name one of {}", listed.join("; ")),
    };
    Problem::new(format!(
        "no reaction to “{food}” is open for {child} on {}",
        words::day(*day)
    ))
    .hint(hint)
}
