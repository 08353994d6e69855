//! The fields of a form or of a query string.

use std::borrow::Cow;

use super::error::PageError;
use super::wording::in_words;
use crate::notebook::BookError;
use crate::problem::Problem;
use crate::safety::emergency;

/// Names and values, in their order.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Fields(Vec<(String, String)>);

/// A form has no more fields than this.
const MOST: usize = 200;

impl Fields {
    /// Reads `a=1&b=2`.
    pub(super) fn parse(text: &[u8]) -> Self {
        let fields = form_urlencoded::parse(text).take(MOST);
        Self(
            fields
                .map(|(name, value)| (name.into_owned(), value.into_owned()))
                .collect(),
        )
    }

    /// The fields that begin with `start`: the rest of the name, and the value without blanks at its ends.
    pub(super) fn beginning<'a>(
        &'a self,
        start: &'a str,
    ) -> impl Iterator<Item = (&'a str, &'a str)> {
        let named = self.0.iter();
        named.filter_map(move |(name, value)| Some((name.strip_prefix(start)?, value.trim())))
    }

    /// The value of a field without blanks at its ends; empty where it was not sent.
    pub(super) fn text(&self, name: &str) -> &str {
        self.value(name).unwrap_or_default()
    }

    /// The value of a field without blanks at its ends; `None` where it was not sent.
    pub(super) fn value(&self, name: &str) -> Option<&str> {
        let field = self.0.iter().find(|(known, _)| known == name);
        field.map(|(_, value)| value.trim())
    }
}

/// The validation errors of a form, by field.
#[derive(Debug, Default)]
pub(super) struct Wrong {
    errors: Vec<(Cow<'static, str>, String)>,
    emergency: Option<String>,
}

impl Wrong {
    /// Adds an error to a field.
    pub(super) fn say(&mut self, field: impl Into<Cow<'static, str>>, words: impl Into<String>) {
        self.errors.push((field.into(), words.into()));
    }

    /// Adds problems found by the rules of the book to a field.
    pub(super) fn problems(&mut self, field: &'static str, problems: &[Problem]) {
        self.errors.extend(
            problems
                .iter()
                .map(|problem| (field.into(), in_words(problem))),
        );
    }

    /// Whether there are no errors.
    pub(super) fn is_empty(&self) -> bool {
        self.errors.is_empty()
    }

    /// Notes what was seen after a meal: the call for help comes before all errors.
    pub(super) fn heed(&mut self, seen: &str) {
        self.emergency = emergency(seen);
    }

    /// The call for help, where the form tells of a severe reaction.
    pub(super) fn emergency(&self) -> Option<&str> {
        self.emergency.as_deref()
    }

    /// All errors for the summary: field and message.
    pub(super) fn all(&self) -> &[(Cow<'static, str>, String)] {
        &self.errors
    }

    /// The error of one field; empty for none.
    pub(super) fn of(&self, field: &str) -> &str {
        let found = self.errors.iter().find(|(name, _)| *name == field);
        found.map_or("", |(_, words)| words)
    }

    /// As [`Wrong::take`], for results of a page.
    pub(super) fn check<T>(
        &mut self,
        field: &'static str,
        result: Result<T, PageError>,
    ) -> Result<Option<T>, PageError> {
        match result {
            Ok(value) => Ok(Some(value)),
            Err(PageError::Problems(problems)) => {
                self.problems(field, &problems);
                Ok(None)
            }
            Err(fault) => Err(fault),
        }
    }

    /// The value, or `None` after noting of the field what is wrong; other faults go on.
    pub(super) fn take<T>(
        &mut self,
        field: &'static str,
        result: Result<T, BookError>,
    ) -> Result<Option<T>, BookError> {
        match result {
            Ok(value) => Ok(Some(value)),
            Err(BookError::Problems(problems)) => {
                self.problems(field, &problems);
                Ok(None)
            }
            Err(error) => Err(error),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fields_are_decoded_and_trimmed() {
        let fields = Fields::parse(b"cubes=+2+&why=freezer%20burn%0d%0aX: 1&cubes=9&empty");
        assert_eq!(
            (fields.text("cubes"), fields.text("why")),
            ("2", "freezer burn\r\nX: 1")
        );
        assert_eq!((fields.text("empty"), fields.text("none")), ("", ""));
    }
}
