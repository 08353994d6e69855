//! Something found in what a person wrote about their foods.

use std::ops::Range;

use super::cells::Cell;

/// What was found, and where.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// The place: bytes of the text.
    pub span: Range<usize>,
    /// What it is.
    pub what: String,
    /// What to do next, where `what` does not say it all.
    pub hint: Option<String>,
    /// The words that would have been known in this place; empty where no word was looked up.
    pub known: Vec<&'static str>,
}

impl Finding {
    pub(super) fn new(span: Range<usize>, what: impl Into<String>, hint: &str) -> Self {
        Self {
            span,
            what: what.into(),
            hint: Some(hint.to_owned()).filter(|hint| !hint.is_empty()),
            known: Vec::new(),
        }
    }

    pub(super) fn at(cell: &Cell, what: impl Into<String>, hint: &str) -> Self {
        Self::new(cell.span.clone(), what, hint)
    }

    /// The same finding, naming the column it is about.
    pub(super) fn about(self, column: &str) -> Self {
        Self {
            what: format!("{column}: {}", self.what),
            ..self
        }
    }

    /// The same finding with something better to do.
    pub(super) fn hinting(self, hint: &str) -> Self {
        Self {
            hint: Some(hint.to_owned()),
            ..self
        }
    }

    /// A word that is not known in its place.
    pub(super) fn unknown(
        cell: &Cell,
        what: impl Into<String>,
        known: impl IntoIterator<Item = &'static str>,
    ) -> Self {
        Self {
            known: known.into_iter().collect(),
            ..Self::at(cell, what, "")
        }
    }
}
