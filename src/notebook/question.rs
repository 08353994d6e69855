//! Questions for the next visit, in the parent's words.

use jiff::civil::Date;
use rusqlite::{Transaction, params};
use serde::Serialize;

use super::BookError;
use super::freezer::parsed;
use super::store::{Store, WriteError, new_entry};

/// A question that was written down.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Question {
    /// The day.
    #[serde(rename = "date")]
    pub day: Date,
    /// The question.
    pub words: String,
}

fn write_question(
    transaction: &Transaction<'_>,
    child: &str,
    question: &Question,
) -> Result<i64, WriteError> {
    let id = new_entry(transaction, question.day, "question")?;
    transaction.execute(
        "INSERT INTO question (entry, child, words) VALUES (?1, ?2, ?3)",
        params![id, child, question.words],
    )?;
    Ok(id)
}

impl Store {
    /// Records a question; gives the number of the entry.
    pub fn ask(&mut self, child: &str, question: &Question) -> Result<i64, BookError> {
        self.write(|transaction| write_question(transaction, child, question))
    }

    /// Records a question about each of some children, or nothing; gives the numbers of the entries.
    pub fn ask_each(
        &mut self,
        children: &[&str],
        question: &Question,
    ) -> Result<Vec<i64>, BookError> {
        self.write(|transaction| {
            let children = children.iter();
            children
                .map(|child| write_question(transaction, child, question))
                .collect()
        })
    }

    /// The questions about a child from one day to another, both included, in the order of the record.
    pub fn questions(&self, child: &str, from: Date, to: Date) -> Result<Vec<Question>, BookError> {
        self.read(|connection| {
            connection
                .prepare(
                    "SELECT entry.day, words FROM question JOIN entry ON entry.id = question.entry \
                     WHERE child = ?1 AND entry.day BETWEEN ?2 AND ?3 ORDER BY entry.day, entry.id",
                )?
                .query_map(params![child, from.to_string(), to.to_string()], |row| {
                    Ok(Question {
                        day: parsed(row, 0)?,
                        words: row.get(1)?,
                    })
                })?
                .collect()
        })
    }
}
