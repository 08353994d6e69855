//! The fields of a form or of a query string.

use std::borrow::Cow;
use std::str::FromStr;

use form_urlencoded::Serializer;

use super::wording::in_words;
use super::{PageError, PageResult};
use crate::notebook::BookError;
use crate::problem::Problem;
use crate::safety::emergency;
use crate::spoken::{Unclear, parts};
use crate::words::joined;

/// Names and values, in their order.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Fields(Vec<(String, String)>);

/// The most fields of a form that are read (judgement).
const MOST_FIELDS: usize = 200;
/// The prefix of the name of a button that chooses the meaning of a field, before the name of the
/// field.
const MEANT: &str = "meant-";

impl Fields {
    /// Reads `a=1&b=2`.
    pub(super) fn parse(text: &[u8]) -> Self {
        let fields = form_urlencoded::parse(text).take(MOST_FIELDS);
        Self(
            fields
                .map(|(name, value)| (name.into_owned(), value.into_owned()))
                .collect(),
        )
    }

    /// Fields as a form is filled in with them.
    pub(super) fn of(
        fields: impl IntoIterator<Item = (impl Into<String>, impl Into<String>)>,
    ) -> Self {
        let fields = fields.into_iter();
        Self(
            fields
                .map(|(name, value)| (name.into(), value.into()))
                .collect(),
        )
    }

    /// The fields that begin with `start`: the rest of the name, and the value without blanks at
    /// its ends.
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

    /// The value of a field without blanks at its ends; `None` where it was not sent. What a button
    /// chose replaces what was typed.
    pub(super) fn value(&self, name: &str) -> Option<&str> {
        let meant = self.beginning(MEANT).find(|(of, _)| *of == name);
        let typed = || self.0.iter().find(|(known, _)| known == name);
        meant
            .map(|(_, value)| value)
            .or_else(|| typed().map(|(_, value)| value.trim()))
    }

    /// The value of a field that the page itself filled in. One that does not parse is
    /// [`PageError::NotFound`]: the form is not from this page.
    pub(super) fn parsed<T: FromStr>(&self, name: &str) -> PageResult<T> {
        let value = self.text(name).parse();
        value.map_err(|_| PageError::NotFound)
    }

    /// Whether the form was sent by a button that chooses the meaning of a field.
    pub(super) fn is_choice(&self) -> bool {
        self.beginning(MEANT).next().is_some()
    }
}

/// The address of a page with these fields.
pub(super) fn with_query(
    path: &str,
    fields: impl IntoIterator<Item = (impl AsRef<str>, impl AsRef<str>)>,
) -> String {
    let query = Serializer::new(String::new()).extend_pairs(fields).finish();
    format!("{path}?{query}")
}

/// The validation errors of a form, by field.
#[derive(Debug, Default)]
pub(super) struct Wrong {
    errors: Vec<(Cow<'static, str>, String)>,
    offers: Vec<FieldOffer>,
    emergency: Option<String>,
}

/// A meaning that a field may have, offered as a button.
#[derive(Debug)]
pub(super) struct FieldOffer {
    field: &'static str,
    pub(super) label: String,
    /// The value of the field with this meaning.
    pub(super) value: String,
}

impl FieldOffer {
    /// The name of its button.
    pub(super) fn name(&self) -> String {
        format!("{MEANT}{}", self.field)
    }
}

/// The text of a field with the unclear part replaced by what is meant; `None` where the text does
/// not have that part.
pub(super) fn with_meant(typed: &str, unclear: &str, meant: &str) -> Option<String> {
    let without_blanks = |text: &str| text.split_whitespace().collect::<String>();
    let mut all = parts(&[typed.to_string()]);
    let part = all
        .iter_mut()
        .find(|part| without_blanks(part) == without_blanks(unclear))?;
    *part = meant.to_string();
    Some(all.join(", "))
}

/// The problem of unclear food, with the names of the foods that may be meant instead of their ids.
pub(super) fn by_names(unclear: &Unclear) -> Problem {
    let names = joined(unclear.choices.iter().map(|choice| &choice.name), "; ");
    if names.is_empty() {
        return unclear.problem();
    }
    let hint = match unclear.apart() {
        Some(_) => "write them one at a time, each with its amount".to_string(),
        None => format!("say which, with its amount: {names}"),
    };
    Problem::new(unclear.what()).hint(hint)
}

impl Wrong {
    /// Adds an error to a field.
    pub(super) fn say(&mut self, field: impl Into<Cow<'static, str>>, words: impl Into<String>) {
        self.errors.push((field.into(), words.into()));
    }

    /// The value; where there is none, adds an error to the field.
    pub(super) fn needed<T>(
        &mut self,
        field: &'static str,
        value: Option<T>,
        words: impl Into<String>,
    ) -> Option<T> {
        if value.is_none() {
            self.say(field, words);
        }
        value
    }

    /// The value, or `None` after adding the problem to the field.
    pub(super) fn noted<T>(&mut self, field: &'static str, read: Result<T, Problem>) -> Option<T> {
        read.map_err(|problem| self.problems(field, &[problem]))
            .ok()
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

    /// Checks what was seen after a meal for signs of an emergency, whose call for help the form
    /// shows before all errors.
    pub(super) fn check_emergency(&mut self, seen: &str) {
        self.emergency = emergency(seen);
    }

    /// The call for help, where the form describes a severe reaction.
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

    /// The meanings that a field may have.
    pub(super) fn offers(&self, field: &str) -> Vec<&FieldOffer> {
        let offers = self.offers.iter();
        offers.filter(|offer| offer.field == field).collect()
    }

    /// Adds to each offer the figure by which it differs from the others; `figures` are by the
    /// names of the offers.
    pub(super) fn tell_apart(&mut self, figures: &[(String, String)]) {
        for offer in &mut self.offers {
            let figure = figures.iter().find(|(name, _)| *name == offer.label);
            if let Some((name, figure)) = figure {
                offer.label = format!("{name}: {figure}");
            }
        }
    }

    /// Adds the error of unclear food in a field, and offers what may be meant: `value` gives the
    /// text of the field, from the unclear part and what is meant by it.
    pub(super) fn unclear(
        &mut self,
        field: &'static str,
        unclear: &Unclear,
        value: impl Fn(&str, &str) -> Option<String>,
    ) {
        let offers = unclear.offers().into_iter().filter_map(|offer| {
            Some(FieldOffer {
                field,
                label: offer.name,
                value: value(&unclear.typed, &offer.retyped)?,
            })
        });
        let offers: Vec<FieldOffer> = offers.collect();
        let problem = if offers.is_empty() {
            by_names(unclear)
        } else {
            unclear.problem_with_offers()
        };
        self.offers.extend(offers);
        self.problems(field, &[problem]);
    }

    /// As [`Wrong::check`], for food that was typed in a field: what may be meant is offered.
    pub(super) fn check_food<T>(
        &mut self,
        field: &'static str,
        result: Result<T, PageError>,
        value: impl Fn(&str, &str) -> Option<String>,
    ) -> PageResult<Option<T>> {
        match result {
            Err(PageError::Unclear(unclear)) => {
                self.unclear(field, &unclear, value);
                Ok(None)
            }
            result => self.check(field, result),
        }
    }

    /// As [`Wrong::take`], for results of a page.
    pub(super) fn check<T>(
        &mut self,
        field: &'static str,
        result: Result<T, PageError>,
    ) -> PageResult<Option<T>> {
        match result {
            Ok(value) => Ok(Some(value)),
            Err(PageError::Problems(problems)) => {
                self.problems(field, &problems);
                Ok(None)
            }
            Err(PageError::Unclear(unclear)) => {
                self.problems(field, &[by_names(&unclear)]);
                Ok(None)
            }
            Err(fault) => Err(fault),
        }
    }

    /// The value, or `None` after noting the problems at the field; other errors are returned.
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

    #[test]
    fn what_a_button_chose_replaces_what_was_typed() {
        let fields = Fields::parse(b"other=50g+tuna&meant-other=50+g+15121&on=2026-11-16");
        assert_eq!(fields.text("other"), "50 g 15121");
        assert!(fields.is_choice() && fields.text("on") == "2026-11-16");
        assert!(!Fields::parse(b"other=50g+tuna").is_choice());
    }

    #[test]
    fn only_the_unclear_part_is_replaced() {
        let meant = |typed| with_meant(typed, "50 g tuna", "50 g 15121");
        assert_eq!(
            meant("150 g tuna steak, 50g tuna; 20 g banana").as_deref(),
            Some("150 g tuna steak, 50 g 15121, 20 g banana")
        );
        assert_eq!(meant("20 g banana"), None);
    }
}
