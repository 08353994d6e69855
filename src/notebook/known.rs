//! Foods that a child had outside the record: before the book began, or at somebody else's table.

use jiff::civil::Date;

use super::error::BookError;
use super::store::Store;

/// A food that a child had in an unknown amount.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KnownFood<'a> {
    /// The day, or the nearest that is remembered.
    pub day: Date,
    /// The child.
    pub child: &'a str,
    /// Id of the food.
    pub food: &'a str,
    /// The name of the food.
    pub name: &'a str,
    /// The major allergens that its name gives away.
    pub allergens: &'a [String],
    /// The reaction that was seen afterwards; empty for none.
    pub reaction: &'a str,
    /// Where or how it was, in the parent's words; may be empty.
    pub words: &'a str,
}

impl Store {
    /// Records that a child knows a food; returns the number of the entry.
    pub fn know(&mut self, known: &KnownFood<'_>) -> Result<i64, BookError> {
        self.write_entry(
            known.day,
            "known",
            &[
                ("child", &known.child),
                ("food", &known.food),
                ("name", &known.name),
                ("allergens", &known.allergens.join("|")),
                ("reaction", &known.reaction),
                ("words", &known.words),
            ],
        )
    }
}
