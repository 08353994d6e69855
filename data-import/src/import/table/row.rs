//! A record by its wanted columns.

use std::borrow::Cow;

use super::blocks::Block;
use super::record::Field;
use crate::error::Error;
use crate::import::decimal::{self, Decimal, Short};
use crate::import::rows::shown;

pub(super) const NOT_UTF8: &str = "is not text in UTF-8; is the file in another encoding?";

/// Where the wanted columns are in a record.
#[derive(Debug)]
pub(super) struct Frame {
    /// The place of each wanted column; `None` if the file lacks it.
    pub(super) places: Vec<Option<usize>>,
    /// How many fields of a record it takes to have them all.
    pub(super) wanted: usize,
    /// Columns of the header.
    pub(super) columns: usize,
}

/// A record by its wanted columns.
#[derive(Clone, Copy)]
pub(in crate::import) struct Row<'r> {
    pub(super) block: &'r Block<'r>,
    pub(super) frame: &'r Frame,
    /// The fields up to the last that is wanted.
    pub(super) fields: &'r [Field],
    /// Where it begins.
    pub(super) start: usize,
}

impl<'r> Row<'r> {
    /// The bytes of a wanted column as they are written; empty if the file lacks it.
    #[inline]
    pub(in crate::import) fn raw(&self, column: usize) -> &'r [u8] {
        let range = self.field(column).map_or(0..0, Field::range);
        self.block.bytes().get(range).unwrap_or_default()
    }

    #[inline]
    fn field(&self, column: usize) -> Option<Field> {
        let place = self.frame.places.get(column).copied().flatten()?;
        self.fields.get(place).copied()
    }

    /// The first wanted column as a whole number; `None` if it is not one, or longer than eight
    /// digits.
    #[inline]
    pub(super) fn key(&self) -> Option<u32> {
        self.short(0).0.and_then(Short::whole)
    }

    /// A wanted column as text, without blanks around it.
    pub(in crate::import) fn text(&self, column: usize) -> Result<Cow<'r, str>, Error> {
        let text = std::str::from_utf8(self.raw(column));
        let text = text.map_err(|_| self.wrong(column, NOT_UTF8))?.trim();
        if text.contains("\"\"") {
            return Ok(text.replace("\"\"", "\"").into());
        }
        Ok(text.into())
    }

    /// A whole number of up to nine digits; `None` where it is blank.
    #[inline]
    pub(in crate::import) fn whole(&self, column: usize) -> Result<Option<u32>, Error> {
        let (short, raw) = self.short(column);
        if let Some(number) = short.and_then(Short::whole) {
            return Ok(Some(number));
        }
        if raw.is_empty() {
            return Ok(None);
        }
        match decimal::digits(raw) {
            Some(number) => Ok(Some(number)),
            None => Err(self.wrong(column, &format!("{} is not a whole number", shown(raw)))),
        }
    }

    /// A number that is not negative; `None` where it is blank.
    pub(in crate::import) fn number(&self, column: usize) -> Result<Option<f64>, Error> {
        Ok(self.written(column)?.map(|(number, _)| number))
    }

    /// A number that is not negative, and how it is written if that is short; `None` where it is blank.
    #[inline]
    pub(in crate::import) fn written(
        &self,
        column: usize,
    ) -> Result<Option<(f64, Option<Decimal>)>, Error> {
        let (short, raw) = self.short(column);
        if let Some(decimal) = short.and_then(Short::decimal) {
            return Ok(Some((decimal.value(), Some(decimal))));
        }
        if raw.is_empty() {
            return Ok(None);
        }
        match decimal::long(raw) {
            Some(number) => Ok(Some((number, None))),
            None => Ok(Some((self.odd_number(column, raw)?, None))),
        }
    }

    /// A wanted column, to be read eight characters at a time if it is short.
    #[inline]
    fn short(&self, column: usize) -> (Option<Short>, &'r [u8]) {
        let range = self.field(column).map_or(0..0, Field::range);
        let bytes = self.block.bytes();
        let short = Short::new(bytes, range.start, range.end);
        (short, bytes.get(range).unwrap_or_default())
    }

    /// A number in a less plain form: blanks around it, an exponent, many digits.
    #[cold]
    fn odd_number(&self, column: usize, raw: &[u8]) -> Result<f64, Error> {
        let plain = |byte: &u8| matches!(byte, b'0'..=b'9' | b'.' | b'e' | b'E' | b'-' | b'+');
        let trimmed = raw.trim_ascii();
        let number = std::str::from_utf8(trimmed)
            .ok()
            .filter(|_| trimmed.iter().all(plain))
            .and_then(|text| text.parse::<f64>().ok())
            .filter(|number| number.is_finite());
        match number {
            Some(number) if number.is_sign_positive() => Ok(number),
            Some(_) => Err(self.wrong(column, &format!("{} is negative", shown(raw)))),
            None => Err(self.wrong(column, &format!("{} is not a number", shown(raw)))),
        }
    }

    /// The line the record begins on, counted from 1.
    pub(in crate::import) fn line(&self) -> u64 {
        self.block.line_of(self.start)
    }

    /// An error about one field.
    pub(in crate::import) fn wrong(&self, column: usize, problem: &str) -> Error {
        match self.field(column) {
            Some(field) => self.block.wrong(field.start as usize, problem),
            None => self.block.wrong_line(self.start, problem),
        }
    }
}
