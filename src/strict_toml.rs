//! Strict reading of TOML: every key must be known, every value of the right kind, and all problems
//! are reported at once with their places.

use crate::next_step::Remark;
use std::cell::RefCell;
use std::rc::Rc;
use std::sync::Arc;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::problem::{Located, Place, Problem, SourceText, nearest};

/// Sorts the problems of one text by their places.
pub(crate) fn in_order(problems: &mut [Problem]) {
    problems.sort_by_key(|problem| problem.place.as_ref().map(|place| place.span.start));
}

/// One table of the document, from which known keys are taken one by one.
pub(crate) struct StrictTable<'a> {
    /// The kind of the table, for messages: "an ingredient".
    what: &'static str,
    table: DeTable<'a>,
    place: Place,
    asked: Vec<&'static str>,
    problems: Rc<RefCell<Vec<Problem>>>,
}

impl<'a> StrictTable<'a> {
    /// Parses a whole document.
    pub(crate) fn parse(what: &'static str, source: &'a Arc<SourceText>) -> Result<Self, Problem> {
        let table = DeTable::parse(&source.text).map_err(|error| {
            let span = error.span().unwrap_or(0..0);
            Problem::at(
                Place::new(source, span),
                error.message().trim().replace('\n', ", "),
            )
            .hint("this is not TOML; compare with the recipes in demo/recipes")
        })?;
        Ok(Self {
            what,
            table: table.into_inner(),
            place: Place::whole(source),
            asked: Vec::new(),
            problems: Rc::default(),
        })
    }

    /// The place of the table.
    pub(crate) fn place(&self) -> &Place {
        &self.place
    }

    /// Reports a problem beside those found while reading.
    pub(crate) fn report(&self, problem: Problem) {
        self.problems.borrow_mut().push(problem);
    }

    /// Takes a text.
    pub(crate) fn text(&mut self, key: &'static str) -> Option<Located<String>> {
        self.take(key, "a text in quotes", |value| {
            value.as_str().map(String::from)
        })
    }

    /// Takes a text that is required.
    pub(crate) fn required(
        &mut self,
        key: &'static str,
        hint: impl Into<Remark>,
    ) -> Option<Located<String>> {
        // A misspelt key is reported as an unknown key.
        let is_present = self
            .table
            .keys()
            .any(|known| nearest(known.get_ref(), [key]).is_some());
        if !is_present {
            let what = format!("{} needs “{key}”", self.what);
            self.report(Problem::at(self.place.clone(), what).hint(hint));
        }
        self.text(key)
    }

    /// Takes a number, whole or not.
    pub(crate) fn number(&mut self, key: &'static str) -> Option<Located<f64>> {
        self.take(key, "a number", |value| {
            let digits = match value {
                DeValue::Integer(whole) => whole.as_str(),
                DeValue::Float(number) => number.as_str(),
                _ => return None,
            };
            digits.replace('_', "").parse().ok()
        })
    }

    /// Takes a whole number.
    pub(crate) fn whole(&mut self, key: &'static str) -> Option<Located<u32>> {
        self.take(key, "a whole number, zero or more", |value| {
            value
                .as_integer()
                .and_then(|whole| u32::from_str_radix(whole.as_str(), whole.radix()).ok())
        })
    }

    /// Takes `true` or `false`.
    pub(crate) fn flag(&mut self, key: &'static str) -> Option<Located<bool>> {
        self.take(key, "true or false", DeValue::as_bool)
    }

    /// Takes a text, or `true` or `false` as a text; `kind` names the allowed values in a message.
    pub(crate) fn word(&mut self, key: &'static str, kind: &str) -> Option<Located<String>> {
        self.take(key, kind, |value| match value.as_bool() {
            Some(flag) => Some(flag.to_string()),
            None => value.as_str().map(String::from),
        })
    }

    /// Takes a list of texts; empty where there is none.
    pub(crate) fn texts(&mut self, key: &'static str) -> Vec<String> {
        self.located_texts(key)
            .map_or_else(Vec::new, |list| list.value)
    }

    /// Takes a list of texts, with the place of the list.
    pub(crate) fn located_texts(&mut self, key: &'static str) -> Option<Located<Vec<String>>> {
        let read = |value: &DeValue<'a>| {
            let texts = value.as_array()?.iter();
            texts
                .map(|text| text.get_ref().as_str().map(String::from))
                .collect()
        };
        self.take(key, "a list of texts, such as [\"egg\"]", read)
    }

    /// Takes a list of months, 1 to 12; empty where there is none.
    pub(crate) fn months(&mut self, key: &'static str) -> Vec<u32> {
        let month = |value: &DeValue<'a>| {
            let month = value.as_integer()?.as_str().parse().ok()?;
            (1..=12).contains(&month).then_some(month)
        };
        let read = |value: &DeValue<'a>| {
            value
                .as_array()?
                .iter()
                .map(|value| month(value.get_ref()))
                .collect()
        };
        self.take(key, "a list of months, such as [9, 10, 11]", read)
            .map_or_else(Vec::new, |list| list.value)
    }

    /// Takes a text and parses it with `read`, whose error is a sentence and a hint.
    pub(crate) fn parsed<T>(
        &mut self,
        key: &'static str,
        read: impl Fn(&str) -> Result<T, (String, String)>,
    ) -> Option<Located<T>> {
        let text = self.text(key)?;
        self.read(&text, read)
    }

    /// Parses a text that was taken before.
    pub(crate) fn read<T>(
        &self,
        text: &Located<String>,
        read: impl Fn(&str) -> Result<T, (String, String)>,
    ) -> Option<Located<T>> {
        match read(&text.value) {
            Ok(value) => Some(text.with(value)),
            Err((what, hint)) => {
                self.report(text.problem(what).hint(hint));
                None
            }
        }
    }

    /// Takes a table inside this one.
    pub(crate) fn table(&mut self, key: &'static str, what: &'static str) -> Option<Self> {
        let (span, value) = self.remove(key)?;
        match value {
            DeValue::Table(table) => Some(self.inner(what, table, span)),
            _ => {
                self.wrong_kind(key, span, &format!("a table, written [{key}]"));
                None
            }
        }
    }

    /// Takes an array of tables inside this one.
    pub(crate) fn tables(&mut self, key: &'static str, what: &'static str) -> Vec<Self> {
        let Some((span, value)) = self.remove(key) else {
            return Vec::new();
        };
        let DeValue::Array(array) = value else {
            self.wrong_kind(key, span, &format!("tables, written [[{key}]]"));
            return Vec::new();
        };
        let mut tables = Vec::new();
        for element in array {
            let place = Place::new(&self.place.source, element.span());
            match element.into_inner() {
                DeValue::Table(table) => tables.push(self.inner(what, table, place)),
                _ => self.wrong_kind(key, place, &format!("tables, written [[{key}]]")),
            }
        }
        tables
    }

    /// Reports the keys that were not taken.
    pub(crate) fn finish(self) {
        for (key, _) in self.table {
            let place = Place::new(&self.place.source, key.span());
            let known = self.asked.join(", ");
            let hint = match nearest(key.get_ref(), self.asked.iter().copied()) {
                Some(word) => format!("did you mean “{word}”?"),
                None => format!("the keys are {known}"),
            };
            let what = format!("“{}” is not a key of {}", key.get_ref(), self.what);
            self.problems
                .borrow_mut()
                .push(Problem::at(place, what).hint(hint));
        }
    }

    /// Finishes the outermost table: returns its value, or every problem found, in the order of the
    /// text.
    pub(crate) fn finish_document<T>(self, value: Option<T>) -> Result<T, Vec<Problem>> {
        let problems = self.problems_of(value.is_some());
        value.filter(|_| problems.is_empty()).ok_or(problems)
    }

    /// Finishes the outermost table: returns every problem found, in the order of the text; there
    /// is at least one where it is not `whole`.
    pub(crate) fn problems_of(self, whole: bool) -> Vec<Problem> {
        let problems = Rc::clone(&self.problems);
        let place = self.place.clone();
        self.finish();
        let mut problems = problems.take();
        in_order(&mut problems);
        if !whole && problems.is_empty() {
            problems.push(Problem::at(place, "nothing to read here"));
        }
        problems
    }

    fn inner(&self, what: &'static str, table: DeTable<'a>, place: Place) -> Self {
        Self {
            what,
            table,
            place,
            asked: Vec::new(),
            problems: Rc::clone(&self.problems),
        }
    }

    fn take<T>(
        &mut self,
        key: &'static str,
        kind: &str,
        read: impl Fn(&DeValue<'a>) -> Option<T>,
    ) -> Option<Located<T>> {
        let (place, value) = self.remove(key)?;
        let Some(value) = read(&value) else {
            self.wrong_kind(key, place, kind);
            return None;
        };
        Some(Located::at(value, place))
    }

    fn remove(&mut self, key: &'static str) -> Option<(Place, DeValue<'a>)> {
        self.asked.push(key);
        let value: Spanned<DeValue<'a>> = self.table.remove(key)?;
        Some((
            Place::new(&self.place.source, value.span()),
            value.into_inner(),
        ))
    }

    fn wrong_kind(&self, key: &str, place: Place, kind: &str) {
        self.report(Problem::at(
            place,
            format!("“{key}” of {} must be {kind}", self.what),
        ));
    }
}
