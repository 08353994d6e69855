//! The records of a block, and the fields of a record.

use super::blocks::Block;
use super::marks::{Separator, Separators};
use crate::error::Error;

/// A field between `start` and `end`, its quotes left out. A block is far shorter than 2^32.
#[derive(Debug, Default, Clone, Copy)]
pub(super) struct Field {
    pub(super) start: u32,
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

    #[inline]
    pub(super) fn range(self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }
}

/// A record: where it begins, and how many fields it has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Record {
    pub(super) start: usize,
    pub(super) count: usize,
}

/// Takes a block apart, record by record.
///
/// Records are found by their separators; once one is not as it ought to be, the rest of the block is
/// gone through byte by byte, which finds what is wrong or takes what is merely rare.
pub(super) struct Fields<'b> {
    block: &'b Block<'b>,
    /// `None` once the block is gone through byte by byte.
    separators: Option<Separators<'b>>,
    at: usize,
}

impl<'b> Fields<'b> {
    pub(super) fn new(block: &'b Block<'b>) -> Self {
        Self {
            block,
            separators: Some(Separators::new(block.bytes(), block.start)),
            at: block.start,
        }
    }

    /// Where the record ends.
    pub(super) fn end(&self) -> usize {
        self.at
    }

    /// Moves to the next record, and puts its first fields into `into`; `None` at the end of the block.
    /// Empty lines are not records.
    #[inline]
    pub(super) fn next(&mut self, into: &mut [Field]) -> Result<Option<Record>, Error> {
        if let Some(separators) = &mut self.separators {
            let bytes = self.block.bytes();
            if let Some((record, end)) = by_separators(separators, bytes, self.at, into) {
                self.at = end;
                return Ok(Some(record));
            }
            self.separators = None;
        }
        self.by_bytes(|place, field| {
            if let Some(slot) = into.get_mut(place) {
                *slot = field;
            }
        })
    }

    /// Moves to the next record, and returns all its fields; `None` at the end of the block. Only `next`
    /// byte by byte may follow.
    pub(super) fn all(&mut self) -> Result<Option<Vec<Field>>, Error> {
        let mut fields = Vec::new();
        self.separators = None;
        let found = self.by_bytes(|_, field| fields.push(field))?;
        Ok(found.map(|_| fields))
    }

    /// Moves to the next record from where the one before ended.
    fn by_bytes(&mut self, mut put: impl FnMut(usize, Field)) -> Result<Option<Record>, Error> {
        let bytes = self.block.bytes();
        while let Some(b'\n' | b'\r') = bytes.get(self.at) {
            self.at += 1;
        }
        if self.at >= bytes.len() {
            return Ok(None);
        }
        let (start, mut count) = (self.at, 0);
        loop {
            let field = match bytes.get(self.at) {
                Some(b'"') => self.quoted(bytes)?,
                _ => self.plain(bytes)?,
            };
            put(count, field);
            count += 1;
            let more = bytes.get(self.at) == Some(&b',');
            self.at += usize::from(self.at < bytes.len());
            if !more {
                return Ok(Some(Record { start, count }));
            }
        }
    }

    /// A field without quotes: up to a comma or the end of the line.
    fn plain(&mut self, bytes: &[u8]) -> Result<Field, Error> {
        let start = self.at;
        let rest = bytes.get(start..).unwrap_or_default();
        let ends = |byte: &u8| matches!(byte, b',' | b'\n' | b'"');
        let length = rest.iter().position(ends).unwrap_or(rest.len());
        self.at = start + length;
        let mut end = self.at;
        match bytes.get(self.at) {
            Some(b'"') => {
                return Err(self
                    .block
                    .wrong(self.at, "a quote within a field without quotes"));
            }
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
    fn quoted(&mut self, bytes: &[u8]) -> Result<Field, Error> {
        let start = self.at + 1;
        let mut at = start;
        loop {
            let Some(quote) = quote(bytes, at) else {
                return Err(self
                    .block
                    .wrong(self.at, "the quote that begins here is never closed"));
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
            return Err(self.block.wrong(at, "text after a closing quote"));
        }
        self.at = at;
        Ok(Field::new(start, end))
    }
}

/// The record from `start` on by its separators, and where it ends. `None` at the end of the block, or if it
/// is not as it ought to be.
#[inline]
fn by_separators(
    separators: &mut Separators<'_>,
    bytes: &[u8],
    mut start: usize,
    into: &mut [Field],
) -> Option<(Record, usize)> {
    loop {
        let (mut from, mut count, mut ended) = (start, 0, false);
        for slot in into.iter_mut() {
            let Separator { at, line } = separators.next()?;
            *slot = inside(bytes, from, at, line);
            (from, count, ended) = (at + 1, count + 1, line);
            if line {
                break;
            }
        }
        if !ended {
            let (more, end) = separators.skip()?;
            (from, count) = (end + 1, count + more);
        }
        let empty = |field: &Field| field.start as usize == start && field.start == field.end;
        if count > 1 || !into.first().is_some_and(empty) {
            return Some((Record { start, count }, from));
        }
        // An empty line.
        start = from;
    }
}

/// A field between separators, without its quotes and the CR before the end of a line.
#[inline]
fn inside(bytes: &[u8], start: usize, mut end: usize, line: bool) -> Field {
    if line && end > start && bytes.get(end - 1) == Some(&b'\r') {
        end -= 1;
    }
    if end > start && bytes.get(start) == Some(&b'"') {
        return Field::new(start + 1, end - 1);
    }
    Field::new(start, end)
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

    /// What a block holds, and the error that ends it.
    type Found = (Vec<(Record, Vec<std::ops::Range<usize>>)>, Option<String>);

    fn found(text: &[u8], wanted: usize, by_bytes: bool) -> Found {
        let block = Block::of(text);
        let mut fields = Fields::new(&block);
        if by_bytes {
            fields.separators = None;
        }
        let mut records = Vec::new();
        loop {
            let mut first = vec![Field::default(); wanted];
            match fields.next(&mut first) {
                Ok(Some(record)) => {
                    let ranges = first.iter().map(|field| field.range());
                    records.push((record, ranges.collect()));
                }
                Ok(None) => return (records, None),
                Err(error) => return (records, Some(error.to_string())),
            }
        }
    }

    #[test]
    fn both_ways_of_reading_find_the_same() {
        // A linear congruential generator (D. E. Knuth, MMIX).
        let mut seed = 28_u64;
        let mut random = |below: usize| {
            seed = seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (seed >> 33) as usize % below
        };
        let pieces = [
            "a",
            "1.5",
            ",",
            ",",
            "\"",
            "\"\"",
            "\n",
            "\r\n",
            "\r",
            " ",
            "\",\"",
            "\"\n\"",
            "long text",
        ];
        let whole = [
            "\"a\",b\n",
            "\"1\",\"\",\"x, \"\"y\"\"\"\r\n",
            ",,\n",
            "\n",
            "\"x\ny\",\"\"\n",
        ];
        let mut errors = 0;
        for round in 0..20_000 {
            let mut text = String::new();
            for _ in 0..random(40) {
                // Most records are whole, in half of the rounds all are.
                let odd = round % 2 == 0 && random(20) == 0;
                text += if odd {
                    pieces[random(13)]
                } else {
                    whole[random(5)]
                };
            }
            if random(3) == 0 {
                text += pieces[random(13)];
            }
            let wanted = 1 + random(3);
            let slow = found(text.as_bytes(), wanted, true);
            assert_eq!(found(text.as_bytes(), wanted, false), slow, "{text:?}");
            errors += usize::from(slow.1.is_some());
        }
        assert!((2_000..18_000).contains(&errors), "{errors}");
    }
}
