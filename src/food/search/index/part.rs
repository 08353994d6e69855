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

/// Where the records of some words lie.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bucket {
    at: u64,
    length: u64,
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

    fn directory_at(&self) -> u64 {
        self.places_at() + u64::from(self.shape.foods) * NUMBER
    }

    fn bounds_at(&self, term: Term) -> u64 {
        self.directory_at() + self.shape.bucket(term) as u64 * NUMBER
    }

    fn steps_at(&self) -> u64 {
        self.directory_at() + self.shape.directory() * NUMBER
    }

    fn records_at(&self) -> u64 {
        self.steps_at() + self.shape.steps
    }

    /// The stems, a line each.
    pub(super) fn stems(&self, source: &IndexBytes) -> Result<Vec<u8>, IndexError> {
        source.read(self.records_at() + self.shape.records, self.shape.stems)
    }

    /// The foods in steps, the plainest first: how plain, and how many there are.
    pub(super) fn steps(&self, source: &IndexBytes) -> Result<Vec<(u32, u32)>, IndexError> {
        let bytes = source.read(self.steps_at(), self.shape.steps)?;
        let mut bytes = Bytes(&bytes);
        let mut steps = Vec::with_capacity(bytes.0.len() / 2);
        let mut plainness = 0_u32;
        while !bytes.is_empty() {
            plainness = plainness.saturating_add(bytes.small()?);
            steps.push((plainness, bytes.small()?));
        }
        Ok(steps)
    }

    /// Says that the bucket of a word will be asked for.
    pub(super) fn will_ask(&self, source: &IndexBytes, term: Term) {
        source.will_read(self.bounds_at(term), 2 * NUMBER);
    }

    /// The bucket of a word; says that it will be read.
    pub(super) fn bucket(&self, source: &IndexBytes, term: Term) -> Result<Bucket, IndexError> {
        let [from, to] = numbers_at(source, self.bounds_at(term))?;
        let length = to
            .checked_sub(from)
            .filter(|_| u64::from(to) <= self.shape.records)
            .ok_or(IndexError::Damaged("a bucket lies beyond its end"))?;
        let bucket = Bucket {
            at: self.records_at() + u64::from(from),
            length: u64::from(length),
        };
        source.will_read(bucket.at, bucket.length);
        Ok(bucket)
    }

    /// The record of a word of a bucket, if some food has it.
    pub(super) fn word(
        &self,
        source: &IndexBytes,
        bucket: Bucket,
        term: Term,
    ) -> Result<Option<WordRecord>, IndexError> {
        let records = source.read(bucket.at, bucket.length)?;
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

    /// Says that the place of a text will be asked for.
    pub(super) fn will_ask_text(&self, source: &IndexBytes, food: u32) {
        source.will_read(self.places_at() + u64::from(food) * NUMBER, NUMBER);
    }

    /// Where the text of a food begins; says that it will be read.
    pub(super) fn text_place(&self, source: &IndexBytes, food: u32) -> Result<u64, IndexError> {
        let [place] = numbers_at(source, self.places_at() + u64::from(food) * NUMBER)?;
        let place = u64::from(place);
        if place > self.shape.texts {
            return Err(IndexError::Damaged("a text lies beyond its end"));
        }
        source.will_read(self.at + place, TEXT.min(self.shape.texts - place));
        Ok(place)
    }

    /// The bytes that begin with the text at a place.
    pub(super) fn text(&self, source: &IndexBytes, place: u64) -> Result<Vec<u8>, IndexError> {
        let at = self.at + place;
        let bytes = source.read(at, TEXT.min(self.shape.texts - place))?;
        let mut start = Bytes(&bytes);
        let length = start.number()?;
        let head = (bytes.len() - start.0.len()) as u64;
        if start.take(length).is_ok() {
            return Ok(bytes);
        }
        source.read(at, head.saturating_add(length))
    }
}

/// Numbers that stand one after another.
fn numbers_at<const N: usize>(source: &IndexBytes, at: u64) -> Result<[u32; N], IndexError> {
    let mut bytes = [[0; size_of::<u32>()]; N];
    source.read_into(at, bytes.as_flattened_mut())?;
    Ok(bytes.map(u32::from_le_bytes))
}
