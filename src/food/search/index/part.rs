//! Reading a part of an index.

use super::super::term::Term;
use super::bytes::Bytes;
use super::read_at::IndexBytes;
use super::{IndexError, NUMBER, PartShape};

/// Bytes read for the text of a food at first; most need no more.
const TEXT: u64 = 256;

/// A part, and where it begins.
#[derive(Debug, Clone, Copy)]
pub(super) struct IndexPart {
    pub(super) shape: PartShape,
    pub(super) at: u64,
}

/// The record of a word.
#[derive(Debug)]
pub(super) struct WordRecord {
    /// The foods that have it in the name, in order.
    pub(super) named: Vec<u32>,
    /// The foods that have it in the name of the maker alone, in order.
    pub(super) made: Vec<u32>,
    /// How many have it in the name of the maker.
    pub(super) makers: u32,
}

impl IndexPart {
    fn places_at(&self) -> u64 {
        self.at + self.shape.texts
    }

    fn orders_at(&self) -> u64 {
        self.places_at() + u64::from(self.shape.foods) * NUMBER
    }

    fn directory_at(&self) -> u64 {
        self.orders_at() + self.shape.ordered() * NUMBER
    }

    fn records_at(&self) -> u64 {
        self.directory_at() + self.shape.directory() * NUMBER
    }

    /// The stems, a line each.
    pub(super) fn stems(&self, source: &IndexBytes) -> Result<Vec<u8>, IndexError> {
        source.read(self.records_at() + self.shape.records, self.shape.stems)
    }

    /// The place of each food among branded foods.
    pub(super) fn orders(&self, source: &IndexBytes) -> Result<Vec<u32>, IndexError> {
        let bytes = source.read(self.orders_at(), self.shape.ordered() * NUMBER)?;
        let (numbers, _) = bytes.as_chunks();
        Ok(numbers
            .iter()
            .map(|number| u32::from_le_bytes(*number))
            .collect())
    }

    /// The record of a word, if some food has it.
    pub(super) fn word(
        &self,
        source: &IndexBytes,
        term: Term,
    ) -> Result<Option<WordRecord>, IndexError> {
        let bounds = self.directory_at() + self.shape.bucket(term) as u64 * NUMBER;
        let (from, to) = (
            number_at(source, bounds)?,
            number_at(source, bounds + NUMBER)?,
        );
        let length = to
            .checked_sub(from)
            .filter(|_| u64::from(to) <= self.shape.records)
            .ok_or(IndexError::Damaged("a bucket lies beyond its end"))?;
        let records = source.read(self.records_at() + u64::from(from), u64::from(length))?;
        let mut records = Bytes(&records);
        while !records.is_empty() {
            let digest = records.long()?;
            let makers = records.small()?;
            let (named, made) = (records.number()?, records.number()?);
            let (named, made) = (records.take(named)?, records.take(made)?);
            if digest == term.0 {
                return Ok(Some(WordRecord {
                    named: Bytes(named).ascending(self.shape.foods)?,
                    made: Bytes(made).ascending(self.shape.foods)?,
                    makers,
                }));
            }
        }
        Ok(None)
    }

    /// The bytes that begin with the text of a food.
    pub(super) fn text(&self, source: &IndexBytes, food: u32) -> Result<Vec<u8>, IndexError> {
        let place = number_at(source, self.places_at() + u64::from(food) * NUMBER)?;
        let rest = self.shape.texts.checked_sub(u64::from(place));
        let rest = rest.ok_or(IndexError::Damaged("a text lies beyond its end"))?;
        let at = self.at + u64::from(place);
        let bytes = source.read(at, TEXT.min(rest))?;
        let mut start = Bytes(&bytes);
        let length = start.number()?;
        let head = (bytes.len() - start.0.len()) as u64;
        if start.take(length).is_ok() {
            return Ok(bytes);
        }
        source.read(at, head.saturating_add(length))
    }
}

fn number_at(source: &IndexBytes, at: u64) -> Result<u32, IndexError> {
    let mut number = [0; 4];
    source.read_into(at, &mut number)?;
    Ok(u32::from_le_bytes(number))
}
