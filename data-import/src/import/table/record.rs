//! The records of a block, and the fields of a record.

use std::borrow::Cow;

use super::blocks::{Block, count};
use crate::error::{Error, Place};

/// Where the wanted columns are in a record.
#[derive(Debug)]
pub(super) struct Frame<'f> {
    pub(super) file: &'f str,
    /// The place of each wanted column; `None` if the file lacks it.
    pub(super) places: Vec<Option<usize>>,
    /// Columns of the header.
    pub(super) columns: usize,
}

/// A field between `start` and `end`, its quotes left out. A block is far shorter than 2^32.
#[derive(Debug, Clone, Copy)]
struct Field {
    start: u32,
    end: u32,
}

impl Field {
    fn new(start: usize, end: usize) -> Self {
        let short = |place| u32::try_from(place).unwrap_or(u32::MAX);
        Self {
            start: short(start),
            end: short(end),
        }
    }

    fn range(self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }
}

/// Takes a block apart, record by record.
pub(super) struct Fields<'b> {
    block: &'b Block,
    file: &'b str,
    at: usize,
    start: usize,
    fields: Vec<Field>,
}

impl<'b> Fields<'b> {
    pub(super) fn new(block: &'b Block, file: &'b str) -> Self {
        Self {
            block,
            file,
            at: block.start,
            start: block.start,
            fields: Vec::with_capacity(32),
        }
    }

    /// Where the record ends.
    pub(super) fn end(&self) -> usize {
        self.at
    }

    /// Moves to the next record; false at the end of the block. Empty lines are no records.
    pub(super) fn next(&mut self) -> Result<bool, Error> {
        let bytes = self.block.bytes.as_slice();
        while let Some(b'\n' | b'\r') = bytes.get(self.at) {
            self.at += 1;
        }
        self.start = self.at;
        self.fields.clear();
        if self.at >= bytes.len() {
            return Ok(false);
        }
        loop {
            let field = match bytes.get(self.at) {
                Some(b'"') => self.quoted(bytes)?,
                _ => self.plain(bytes)?,
            };
            self.fields.push(field);
            match bytes.get(self.at) {
                Some(b',') => self.at += 1,
                Some(b'\n') => {
                    self.at += 1;
                    return Ok(true);
                }
                _ => return Ok(true),
            }
        }
    }

    /// A field without quotes: up to a comma or the end of the line.
    #[inline]
    fn plain(&mut self, bytes: &[u8]) -> Result<Field, Error> {
        let start = self.at;
        let rest = bytes.get(start..).unwrap_or_default();
        let ends = |byte: &u8| matches!(byte, b',' | b'\n' | b'"');
        let length = rest.iter().position(ends).unwrap_or(rest.len());
        self.at = start + length;
        let mut end = self.at;
        match bytes.get(self.at) {
            Some(b'"') => return Err(self.wrong(self.at, "a quote within a field without quotes")),
            Some(b',') => (),
            _ if rest
                .get(..length)
                .is_some_and(|field| field.ends_with(b"\r")) =>
            {
                end -= 1;
            }
            _ => (),
        }
        Ok(Field::new(start, end))
    }

    /// A field between quotes.
    #[inline]
    fn quoted(&mut self, bytes: &[u8]) -> Result<Field, Error> {
        let start = self.at + 1;
        let mut at = start;
        loop {
            let Some(quote) = quote(bytes, at) else {
                return Err(self.wrong(self.at, "the quote that begins here is never closed"));
            };
            at = quote + 1;
            if bytes.get(at) != Some(&b'"') {
                break;
            }
            at += 1;
        }
        let end = at - 1;
        if let Some(b',' | b'\n') = bytes.get(at) {
            self.at = at;
            return Ok(Field::new(start, end));
        }
        if bytes.get(at) == Some(&b'\r') && matches!(bytes.get(at + 1), None | Some(b'\n')) {
            at += 1;
        }
        if !matches!(bytes.get(at), None | Some(b'\n')) {
            return Err(self.wrong(at, "text after a closing quote"));
        }
        self.at = at;
        Ok(Field::new(start, end))
    }

    /// All fields of the record as text.
    pub(super) fn texts(&self) -> Result<Vec<String>, Error> {
        let bytes = self.block.bytes.as_slice();
        let texts = self.fields.iter().map(|field| {
            let text = std::str::from_utf8(bytes.get(field.range()).unwrap_or_default());
            let text = text.map_err(|_| self.wrong(field.start as usize, NOT_UTF8))?;
            Ok(text.trim().to_owned())
        });
        texts.collect()
    }

    /// The record with the wanted columns.
    pub(super) fn row<'r>(&'r self, frame: &'r Frame<'_>) -> Result<Row<'r>, Error> {
        if self.fields.len() == frame.columns {
            return Ok(Row {
                fields: self,
                frame,
            });
        }
        let (found, columns) = (self.fields.len(), frame.columns);
        let problem = format!("{found} fields where the header has {columns}");
        Err(self.wrong_line(self.start, &problem))
    }

    fn wrong(&self, at: usize, problem: &str) -> Error {
        let before = self.block.bytes.get(..at).unwrap_or_default();
        let begin = before.iter().rposition(|byte| *byte == b'\n');
        let column = at - begin.map_or(0, |begin| begin + 1) + 1;
        self.error(at, Some(column as u64), problem)
    }

    fn wrong_line(&self, at: usize, problem: &str) -> Error {
        self.error(at, None, problem)
    }

    fn error(&self, at: usize, column: Option<u64>, problem: &str) -> Error {
        Error::Data {
            place: Place {
                file: self.file.to_owned(),
                line: Some(self.line(at)),
                column,
            },
            problem: problem.to_owned(),
        }
    }

    fn line(&self, at: usize) -> u64 {
        let before = self.block.bytes.get(..at).unwrap_or_default();
        self.block.line + count(before, b'\n') as u64
    }
}

/// The first quote from `at` on, eight bytes at a time. A byte of `odd` is zero where there is a
/// quote, and the borrow of a subtraction marks the lowest zero (H. S. Warren, "Hacker's Delight",
/// section 6-1).
#[inline]
fn quote(bytes: &[u8], mut at: usize) -> Option<usize> {
    const ONES: u64 = u64::from_ne_bytes([1; 8]);
    const QUOTES: u64 = u64::from_ne_bytes([b'"'; 8]);
    while let Some(eight) = bytes.get(at..).and_then(|rest| rest.first_chunk::<8>()) {
        let odd = u64::from_le_bytes(*eight) ^ QUOTES;
        let zeros = odd.wrapping_sub(ONES) & !odd & (ONES << 7);
        if zeros != 0 {
            return Some(at + (zeros.trailing_zeros() / 8) as usize);
        }
        at += 8;
    }
    let rest = bytes.get(at..)?;
    Some(at + rest.iter().position(|byte| *byte == b'"')?)
}

const NOT_UTF8: &str = "is not text in UTF-8; is the file in another encoding?";

/// A record by its wanted columns.
#[derive(Clone, Copy)]
pub(in crate::import) struct Row<'r> {
    fields: &'r Fields<'r>,
    frame: &'r Frame<'r>,
}

impl<'r> Row<'r> {
    /// The bytes of a wanted column as they are written; empty if the file lacks it.
    #[inline]
    pub(in crate::import) fn raw(&self, column: usize) -> &'r [u8] {
        let range = self.field(column).map_or(0..0, Field::range);
        self.fields.block.bytes.get(range).unwrap_or_default()
    }

    #[inline]
    fn field(&self, column: usize) -> Option<Field> {
        let place = self.frame.places.get(column).copied().flatten()?;
        self.fields.fields.get(place).copied()
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
        let raw = self.raw(column);
        if raw.is_empty() {
            return Ok(None);
        }
        match digits(raw) {
            Some(number) => Ok(Some(number)),
            None => Err(self.wrong(column, &format!("{} is not a whole number", shown(raw)))),
        }
    }

    /// A number that is not negative; `None` where it is blank.
    #[inline]
    pub(in crate::import) fn number(&self, column: usize) -> Result<Option<f64>, Error> {
        let raw = self.raw(column);
        if raw.is_empty() {
            return Ok(None);
        }
        match decimal(raw) {
            Some(number) => Ok(Some(number)),
            None => self.odd_number(column, raw).map(Some),
        }
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
        self.fields.line(self.fields.start)
    }

    /// An error about one field.
    pub(in crate::import) fn wrong(&self, column: usize, problem: &str) -> Error {
        match self.field(column) {
            Some(field) => self.fields.wrong(field.start as usize, problem),
            None => self.fields.wrong_line(self.fields.start, problem),
        }
    }
}

/// Up to nine digits.
#[inline]
fn digits(bytes: &[u8]) -> Option<u32> {
    if bytes.len() > 9 {
        return None;
    }
    let mut number = 0;
    for byte in bytes {
        let digit = byte.wrapping_sub(b'0');
        if digit > 9 {
            return None;
        }
        number = number * 10 + u32::from(digit);
    }
    Some(number)
}

/// Powers of ten that a double holds exactly.
const TENS: [f64; 16] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
];

/// Digits with at most one point, fifteen of them at most: the digits as a whole number and the
/// power of ten are both exact, so their quotient is the nearest double (W. D. Clinger, "How to
/// read floating point numbers accurately", 1990). `None` for anything else.
#[inline]
fn decimal(bytes: &[u8]) -> Option<f64> {
    if bytes.len() > 16 {
        return None;
    }
    let (mut number, mut count, mut after) = (0_u64, 0_usize, None);
    for byte in bytes {
        let digit = byte.wrapping_sub(b'0');
        if digit < 10 {
            number = number * 10 + u64::from(digit);
            count += 1;
        } else if *byte == b'.' && after.is_none() {
            after = Some(count);
        } else {
            return None;
        }
    }
    if count == 0 || count > 15 {
        return None;
    }
    let decimals = after.map_or(0, |before| count - before);
    Some(number as f64 / TENS.get(decimals)?)
}

/// A field as it is shown in an error: its beginning, with odd bytes spelled out.
fn shown(bytes: &[u8]) -> String {
    let start = bytes.get(..40).unwrap_or(bytes);
    let more = if bytes.len() > start.len() { "..." } else { "" };
    format!("`{}{more}`", start.escape_ascii())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quotes_are_found_wherever_they_are() {
        for place in 0..40 {
            let mut bytes = vec![b'!'; 40];
            bytes[place] = b'"';
            for at in 0..40 {
                let expected = (at <= place).then_some(place);
                assert_eq!(quote(&bytes, at), expected, "{place} from {at}");
            }
            bytes.insert(place, b'"');
            assert_eq!(quote(&bytes, 0), Some(place));
        }
    }

    #[test]
    fn decimals_are_the_nearest_doubles() {
        for text in [
            "0",
            "0.0",
            "56.3",
            "1.28",
            ".5",
            "7.",
            "0.1",
            "123456789.012345",
            "999999999999999",
            "0.00000000000001",
            "0.30000000000000",
        ] {
            let expected = text.parse::<f64>().unwrap();
            let found = decimal(text.as_bytes()).map(f64::to_bits);
            assert_eq!(found, Some(expected.to_bits()), "{text}");
        }
        for text in [
            "",
            ".",
            "-1",
            "1e3",
            "1.2.3",
            "nan",
            "1234567890123456",
            " 1",
        ] {
            assert_eq!(decimal(text.as_bytes()), None, "{text}");
        }
    }
}
