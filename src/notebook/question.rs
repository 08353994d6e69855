//! Questions for the next visit, in the parent's words.

use jiff::civil::Date;
use rusqlite::{ToSql, Transaction, params};
use serde::Serialize;

use super::BookError;
use super::sql::{parsed, rows, write_entry};
use super::store::{Store, WriteError};
use crate::next_step::NextStep;
use crate::problem::Problem;

/// A question for the next visit.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Question {
    /// The day.
    #[serde(rename = "date")]
    pub day: Date,
    /// The question.
    pub words: String,
    /// The number of the entry; 0 while it is not recorded.
    #[serde(rename = "entry")]
    pub id: i64,
    /// The answers, in the parent's words.
    pub answers: Vec<QuestionAnswer>,
}

/// An answer to a question.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct QuestionAnswer {
    /// The day.
    #[serde(rename = "date")]
    pub day: Date,
    /// The answer, in the parent's words.
    pub words: String,
}

impl Question {
    /// A question that is to be recorded.
    pub fn new(day: Date, words: impl Into<String>) -> Self {
        Self {
            day,
            words: words.into(),
            id: 0,
            answers: Vec::new(),
        }
    }
}

fn write_question(
    transaction: &Transaction<'_>,
    child: &str,
    question: &Question,
) -> Result<i64, WriteError> {
    let columns: [(&str, &dyn ToSql); 2] = [("child", &child), ("words", &question.words)];
    Ok(write_entry(
        transaction,
        question.day,
        "question",
        &columns,
    )?)
}

impl Store {
    /// Records a question; returns the number of the entry.
    pub fn ask(&mut self, child: &str, question: &Question) -> Result<i64, BookError> {
        self.write(|transaction| write_question(transaction, child, question))
    }

    /// Records a question about each of some children, or nothing; returns the numbers of the
    /// entries.
    pub fn ask_each(
        &mut self,
        children: &[&str],
        question: &Question,
    ) -> Result<Vec<i64>, BookError> {
        self.write_each(children, |transaction, child| {
            write_question(transaction, child, question)
        })
    }

    /// Records an answer to the question of this number; returns the number of the entry.
    ///
    /// Errors: there is no question with this number.
    pub fn answer(&mut self, question: i64, answer: &QuestionAnswer) -> Result<i64, BookError> {
        self.write(|transaction| {
            let sql = "SELECT EXISTS (SELECT 1 FROM question WHERE entry = ?1)";
            if !transaction.query_row(sql, [question], |row| row.get(0))? {
                let what = format!("entry {question} is not a question on record");
                return Err(Problem::new(what).hint(NextStep::SeeHistory).into());
            }
            let columns: [(&str, &dyn ToSql); 2] =
                [("question", &question), ("words", &answer.words)];
            Ok(write_entry(transaction, answer.day, "answer", &columns)?)
        })
    }

    /// The questions about a child from one day to another, both included, in the order of their
    /// days, each with its answers up to then.
    pub fn questions(&self, child: &str, from: Date, to: Date) -> Result<Vec<Question>, BookError> {
        self.read(|connection| {
            let answers = "SELECT entry.day, words FROM answer JOIN entry ON entry.id = answer.entry \
                           WHERE question = ?1 AND entry.day <= ?2 ORDER BY entry.day, entry.id";
            let sql = "SELECT entry.day, words, question.entry FROM question \
                       JOIN entry ON entry.id = question.entry \
                       WHERE child = ?1 AND entry.day BETWEEN ?2 AND ?3 ORDER BY entry.day, entry.id";
            let asked = [child, &from.to_string(), &to.to_string()];
            let mut questions: Vec<Question> = rows(connection, sql, asked, |row| {
                let words: String = row.get(1)?;
                Ok(Question {
                    id: row.get(2)?,
                    ..Question::new(parsed(row, 0)?, words)
                })
            })?;
            for question in &mut questions {
                let until = params![question.id, to.to_string()];
                question.answers = rows(connection, answers, until, |row| {
                    Ok(QuestionAnswer {
                        day: parsed(row, 0)?,
                        words: row.get(1)?,
                    })
                })?;
            }
            Ok(questions)
        })
    }
}
