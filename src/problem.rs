//! What is wrong with something a person wrote, where, and what to do next.
//!
//! A [`Problem`] is data: the words, the [`Place`] and the hint. How it looks on a terminal is
//! decided in the command line, so that the library never prints.

use std::fmt;
use std::ops::Range;
use std::sync::Arc;

use crate::next_step::Remark;
use crate::spelling::edits_within;

/// A text a person wrote: a file, or an option of the command line.
#[derive(Debug, PartialEq, Eq)]
pub struct SourceText {
    /// The file's path, or the option's name.
    pub name: String,
    /// The whole text.
    pub text: String,
}

impl SourceText {
    /// Keeps `text` together with the name under which errors will speak of it.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Arc<Self> {
        Arc::new(Self {
            name: name.into(),
            text: text.into(),
        })
    }
}

/// A stretch of a [`SourceText`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The text.
    pub source: Arc<SourceText>,
    /// The byte range inside the text.
    pub span: Range<usize>,
}

impl Place {
    /// The bytes `span` of `source`.
    pub fn new(source: &Arc<SourceText>, span: Range<usize>) -> Self {
        let end = span.end.min(source.text.len());
        Self {
            source: Arc::clone(source),
            span: span.start.min(end)..end,
        }
    }

    /// The whole of `source`.
    pub fn whole(source: &Arc<SourceText>) -> Self {
        Self::new(source, 0..source.text.len())
    }

    /// Line and column of the first character, both counted from 1.
    pub fn line_and_column(&self) -> (usize, usize) {
        let before = self.source.text.get(..self.span.start).unwrap_or("");
        let line = before.matches('\n').count() + 1;
        let column = before
            .rsplit('\n')
            .next()
            .map_or(0, |last| last.chars().count())
            + 1;
        (line, column)
    }
}

/// A value together with the place where it was written.
#[derive(Debug, Clone, PartialEq)]
pub struct Located<T> {
    /// The value.
    pub value: T,
    /// The place; `None` for a default that nobody wrote.
    pub place: Option<Place>,
}

impl<T> Located<T> {
    /// A value written at `place`.
    pub fn at(value: T, place: Place) -> Self {
        Self {
            value,
            place: Some(place),
        }
    }

    /// A default that nobody wrote.
    pub fn default_of(value: T) -> Self {
        Self { value, place: None }
    }

    /// Another value at the same place.
    pub fn with<U>(&self, value: U) -> Located<U> {
        Located {
            value,
            place: self.place.clone(),
        }
    }

    /// A problem with the value at this place.
    pub fn problem(&self, what: impl Into<String>) -> Problem {
        Problem {
            what: what.into(),
            place: self.place.clone(),
            hint: None,
            meant: None,
        }
    }
}

/// Words that may be meant in place of others.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Instead {
    /// The words that were written.
    pub written: String,
    /// The possible replacements, the likeliest first.
    pub instead: Vec<String>,
}

/// One problem.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// What is wrong.
    pub what: String,
    /// Where it is wrong.
    pub place: Option<Place>,
    /// What to do next.
    pub hint: Option<Remark>,
    /// The words that may be meant, where others in place of the written ones would be right.
    pub meant: Option<Box<Instead>>,
}

impl Problem {
    /// A problem without a place in a text.
    pub fn new(what: impl Into<String>) -> Self {
        Self {
            what: what.into(),
            place: None,
            hint: None,
            meant: None,
        }
    }

    /// A problem at `place`.
    pub fn at(place: Place, what: impl Into<String>) -> Self {
        Self {
            what: what.into(),
            place: Some(place),
            hint: None,
            meant: None,
        }
    }

    /// Adds what to do next.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<Remark>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    /// Adds the words that may be meant in place of those that were `written`.
    #[must_use]
    pub fn meant(mut self, written: &str, instead: &str) -> Self {
        let empty = || {
            Box::new(Instead {
                written: written.to_string(),
                instead: Vec::new(),
            })
        };
        let meant = self.meant.get_or_insert_with(empty);
        meant.instead.push(instead.to_string());
        self
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(place) = &self.place {
            let (line, column) = place.line_and_column();
            write!(f, "{}:{line}:{column}: ", place.source.name)?;
        }
        f.write_str(&self.what)?;
        match &self.hint {
            Some(hint) if !hint.words.is_empty() => write!(f, " ({})", hint.words),
            _ => Ok(()),
        }
    }
}

impl std::error::Error for Problem {}

/// The nearest of `known` to `word`, where one is near enough to be a likely typing mistake.
///
/// Optimal string alignment distance of at most a third of the longer word; ties go to the
/// alphabetically first, so that the answer never varies.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = word.to_lowercase();
    known
        .into_iter()
        .map(|candidate| (edit_distance(&word, candidate), candidate))
        .filter(|(distance, candidate)| {
            *distance <= (word.chars().count().max(candidate.chars().count()) / 3).max(1)
        })
        .min()
        .map(|(_, candidate)| candidate)
}

/// The longest beginning of a word, in letters, that is compared with the known ones.
const MOST_LETTERS: usize = 64;

/// Insertions, deletions, replacements and exchanges of neighbours between two words, each counted
/// as one and no place edited twice.
pub(crate) fn edit_distance(word: &str, known: &str) -> usize {
    let word: Vec<char> = word.chars().take(MOST_LETTERS).collect();
    let known: Vec<char> = known.chars().collect();
    // No two words are further apart than the longer one is long.
    let most = word.len().max(known.len());
    edits_within(&word, &known, most).unwrap_or(most)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn line_and_column_count_characters_from_one() {
        let source = SourceText::new("a.toml", "título = 1\nmetod = 2\n");
        let at = source.text.find("metod").unwrap();
        assert_eq!(Place::new(&source, at..at + 5).line_and_column(), (2, 1));
        let at = source.text.find("= 1").unwrap();
        assert_eq!(Place::new(&source, at..at + 1).line_and_column(), (1, 8));
    }

    #[test]
    fn a_place_beyond_the_text_is_its_end() {
        let source = SourceText::new("a", "abc");
        assert_eq!(Place::new(&source, 7..9).line_and_column(), (1, 4));
    }

    #[test]
    fn the_nearest_word_is_found_only_when_it_is_near() {
        assert_eq!(nearest("metod", ["method", "amount"]), Some("method"));
        assert_eq!(nearest("ammount", ["method", "amount"]), Some("amount"));
        assert_eq!(nearest("zzzz", ["method", "amount"]), None);
    }

    #[test]
    fn a_problem_says_where() {
        let source = SourceText::new("a.toml", "x = 1");
        let problem = Problem::at(Place::new(&source, 0..1), "“x” is no key").hint("drop it");
        assert_eq!(problem.to_string(), "a.toml:1:1: “x” is no key (drop it)");
    }
}
