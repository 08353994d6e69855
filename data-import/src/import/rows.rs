//! Rows of the USDA text files: fields separated by `^`, text between `~`, lines ended CRLF. A lone
//! CR ends a line too, but within text it is a blank.
//!
//! The documentation names ISO 8859-1, but typographic quotes in the text show that it is
//! Windows-1252, which is the same but for the bytes 80 to 9F.
//!
//! The `~` are taken off field by field instead of by the CSV reader, so that a stray one is
//! reported at its own place and cannot swallow the rest of the file.

use csv::{ByteRecord, ReaderBuilder, Terminator};

use super::input::Input;
use super::lines::Lines;
use crate::error::{Error, Place};
use crate::manifest::FileDigest;

/// The rows of a file, each with the same number of fields.
pub(super) struct Rows<'a, 'w> {
    reader: csv::Reader<Lines<Input<'a, 'w>>>,
    record: ByteRecord,
    file: &'a str,
    fields: usize,
}

impl<'a, 'w> Rows<'a, 'w> {
    pub(super) fn new(input: Input<'a, 'w>, fields: usize) -> Self {
        let file = input.name();
        let reader = ReaderBuilder::new()
            .delimiter(b'^')
            // The CRLF of the reader would count the lines one behind.
            .terminator(Terminator::Any(b'\n'))
            .quoting(false)
            .has_headers(false)
            .flexible(true)
            .buffer_capacity(64 * 1024)
            .from_reader(Lines::new(input));
        Self {
            reader,
            record: ByteRecord::new(),
            file,
            fields,
        }
    }

    /// The next row; `None` at the end of the file.
    pub(super) fn next(&mut self) -> Result<Option<Row<'_>>, Error> {
        let line = self.reader.position().line();
        let more = self
            .reader
            .read_byte_record(&mut self.record)
            .map_err(|error| {
                Error::in_file(self.file, Some(line), format!("cannot be read: {error}"))
            })?;
        if !more {
            return Ok(None);
        }
        let row = Row {
            record: &self.record,
            file: self.file,
        };
        if row.record.len() == self.fields {
            return Ok(Some(row));
        }
        let (found, fields) = (row.record.len(), self.fields);
        Err(row.wrong(format!("{found} fields where {} has {fields}", self.file)))
    }

    /// The digest of the file, once all rows are read.
    pub(super) fn finish(self) -> FileDigest {
        self.reader.into_inner().into_inner().finish()
    }
}

/// One row.
#[derive(Clone, Copy)]
pub(super) struct Row<'a> {
    record: &'a ByteRecord,
    file: &'a str,
}

impl Row<'_> {
    /// The line it stands on, counted from 1.
    pub(super) fn line(&self) -> u64 {
        self.record.position().map_or(0, csv::Position::line)
    }

    /// A text field, without its `~` and the blanks around it.
    pub(super) fn text(&self, field: usize) -> Result<String, Error> {
        let raw = self.raw(field);
        let inside = raw
            .strip_prefix(b"~")
            .and_then(|rest| rest.strip_suffix(b"~"));
        match inside {
            Some(text) if !text.contains(&b'~') => Ok(decoded(text).trim().to_owned()),
            _ => Err(self.wrong_at(field, format!("{} is not text between ~", shown(raw)))),
        }
    }

    /// A number field, written in digits with a point; `None` where it is blank. `name` is used
    /// in errors.
    pub(super) fn number(&self, field: usize, name: &str) -> Result<Option<f64>, Error> {
        let raw = self.raw(field);
        if raw.is_empty() {
            return Ok(None);
        }
        let plain = raw
            .iter()
            .all(|byte| byte.is_ascii_digit() || *byte == b'.');
        if let Some(value) = decoded(raw).parse().ok().filter(|_| plain) {
            return Ok(Some(value));
        }
        let negative = raw.starts_with(b"-") && raw.get(1).is_some_and(u8::is_ascii_digit);
        let problem = if negative {
            "is negative"
        } else {
            "is not a number"
        };
        Err(self.wrong_at(field, format!("{name}: {} {problem}", shown(raw))))
    }

    /// How many decimals a number field is written with.
    pub(super) fn decimals(&self, field: usize) -> usize {
        let raw = self.raw(field);
        raw.iter()
            .position(|byte| *byte == b'.')
            .map_or(0, |point| raw.len() - point - 1)
    }

    /// An error about the whole row.
    pub(super) fn wrong(&self, problem: String) -> Error {
        self.error(None, problem)
    }

    /// An error about one field.
    pub(super) fn wrong_at(&self, field: usize, problem: String) -> Error {
        let before = self
            .record
            .iter()
            .take(field)
            .map(|bytes| bytes.len() as u64 + 1);
        self.error(Some(1 + before.sum::<u64>()), problem)
    }

    fn error(&self, column: Option<u64>, problem: String) -> Error {
        let place = Place {
            file: self.file.to_owned(),
            line: Some(self.line()),
            column,
        };
        Error::Data { place, problem }
    }

    fn raw(&self, field: usize) -> &[u8] {
        let raw = self.record.get(field).unwrap_or_default();
        raw.strip_suffix(b"\r").unwrap_or(raw)
    }
}

/// The characters of the bytes 80 to 9F in Windows-1252 (WHATWG Encoding Standard, index
/// windows-1252); those without one are marked as not known.
const FROM_80: [char; 32] = [
    '€', '\u{FFFD}', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\u{FFFD}', 'Ž',
    '\u{FFFD}', '\u{FFFD}', '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\u{FFFD}',
    'ž', 'Ÿ',
];

fn decoded(bytes: &[u8]) -> String {
    let character = |byte: &u8| match byte {
        0x80..=0x9F => FROM_80[usize::from(byte - 0x80)],
        _ => char::from(*byte),
    };
    bytes.iter().map(character).collect()
}

/// The most bytes of a field that an error shows.
const MOST_SHOWN: usize = 40;

/// A field as it is shown in an error: its beginning, with odd bytes spelled out.
pub(super) fn shown(bytes: &[u8]) -> String {
    let start = bytes.get(..MOST_SHOWN).unwrap_or(bytes);
    let more = if bytes.len() > start.len() { "..." } else { "" };
    format!("“{}{more}”", start.escape_ascii())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_windows_1252() {
        assert_eq!(
            decoded(b"Entr\xE9e \x91Zesy002\x92 1\xB5g"),
            "Entrée ‘Zesy002’ 1µg"
        );
    }

    #[test]
    fn odd_fields_are_shown_short_and_plain() {
        assert_eq!(shown(b"\x00\xFFa"), "“\\x00\\xffa”");
        assert_eq!(shown(&[b'a'; 50]).chars().count(), 40 + 2 + 3);
    }
}
