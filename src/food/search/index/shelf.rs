//! One half of an index: the basic foods, or the branded ones.

use std::sync::Arc;

use super::super::EntryRef;
use super::bytes::Bytes;
use super::read_at::IndexBytes;
use super::table::Table;
use super::{IndexError, ROW, ShelfPlace};

/// Bytes read for the text of a food at first; most need no more.
const TEXT: u64 = 256;

/// The foods of one kind, and their words.
#[derive(Debug)]
pub(in super::super) struct Shelf {
    source: Arc<IndexBytes>,
    place: ShelfPlace,
    words: Table,
    trigrams: Table,
}

/// What the shelf knows of a word.
#[derive(Debug, Clone, Copy)]
pub(in super::super) struct WordInfo {
    /// Foods that have it in their name.
    pub(in super::super) named: u32,
    /// Foods that have it in their name or in that of their maker.
    pub(in super::super) foods: u32,
    /// Foods that have it in the name of their maker.
    pub(in super::super) makers: u32,
    at: u64,
    named_length: u64,
    other_length: u64,
}

impl Shelf {
    pub(super) fn new(source: Arc<IndexBytes>, place: ShelfPlace) -> Self {
        Self {
            source,
            place,
            words: Table::new(place.words),
            trigrams: Table::new(place.trigrams),
        }
    }

    /// Foods on the shelf.
    pub(in super::super) fn foods(&self) -> u32 {
        self.place.foods
    }

    /// What is known of a word, if some food has it.
    pub(in super::super) fn word(&self, word: &str) -> Result<Option<WordInfo>, IndexError> {
        let value = self.words.get(&self.source, word)?;
        value.map(|value| read_info(Bytes(&value))).transpose()
    }

    /// The rows that have a word in the name, in order.
    pub(in super::super) fn named(&self, word: WordInfo) -> Result<Vec<u32>, IndexError> {
        let bytes = self.source.read(word.at, word.named_length)?;
        Bytes(&bytes).ascending(self.place.foods)
    }

    /// The rows that have a word in the name of the maker alone, in order.
    pub(in super::super) fn made(&self, word: WordInfo) -> Result<Vec<u32>, IndexError> {
        let at = word.at.saturating_add(word.named_length);
        let bytes = self.source.read(at, word.other_length)?;
        Bytes(&bytes).ascending(self.place.foods)
    }

    /// The words that begin with `start`, in order.
    pub(in super::super) fn words_from(&self, start: &str) -> Result<Vec<String>, IndexError> {
        let mut words = Vec::new();
        self.words.from(&self.source, start, |row| {
            let begins = row.text.starts_with(start);
            if begins {
                words.push(row.text.to_owned());
            }
            begins
        })?;
        Ok(words)
    }

    /// The words with at least `enough` of these runs of three letters, in order.
    pub(in super::super) fn words_like(
        &self,
        trigrams: &[String],
        enough: usize,
    ) -> Result<Vec<String>, IndexError> {
        let mut having: Vec<u32> = Vec::new();
        for trigram in trigrams {
            if let Some(words) = self.trigrams.get(&self.source, trigram)? {
                having.append(&mut Bytes(&words).ascending(u32::MAX)?);
            }
        }
        having.sort_unstable();
        let same = having.chunk_by(|a, b| a == b);
        let numbers: Vec<u32> = same
            .filter(|same| same.len() >= enough)
            .map(|same| same[0])
            .collect();
        self.words.texts(&self.source, &numbers)
    }

    /// The text of the food in a row.
    pub(in super::super) fn text(&self, row: u32) -> Result<FoodText, IndexError> {
        if row >= self.place.foods {
            return Err(IndexError::Damaged("a row is out of range"));
        }
        let mut place = [0; 8];
        let at = self.place.rows_at + u64::from(row) * ROW as u64;
        self.source.read_into(at, &mut place[..ROW])?;
        let at = u64::from_le_bytes(place);
        let length = TEXT.min(self.source.size().saturating_sub(at));
        let bytes = self.source.read(at, length)?;
        let mut start = Bytes(&bytes);
        let length = start.number()?;
        let head = (bytes.len() - start.0.len()) as u64;
        if start.take(length).is_ok() {
            return Ok(FoodText { bytes });
        }
        let bytes = self.source.read(at, head.saturating_add(length))?;
        Ok(FoodText { bytes })
    }
}

/// The text of a food, and perhaps more after it.
#[derive(Debug, Default)]
pub(in super::super) struct FoodText {
    bytes: Vec<u8>,
}

impl FoodText {
    pub(in super::super) fn entry(&self) -> Result<EntryRef<'_>, IndexError> {
        let mut bytes = Bytes(&self.bytes);
        let length = bytes.number()?;
        let mut bytes = Bytes(bytes.take(length)?);
        let branded = bytes.number()? != 0;
        let source_rank = u8::try_from(bytes.number()?)
            .map_err(|_| IndexError::Damaged("a rank is too large"))?;
        Ok(EntryRef {
            id: bytes.text()?,
            name: bytes.text()?,
            common_names: bytes.text()?,
            manufacturer: bytes.text()?,
            group: bytes.text()?,
            branded,
            source_rank,
        })
    }
}

fn read_info(mut bytes: Bytes<'_>) -> Result<WordInfo, IndexError> {
    Ok(WordInfo {
        named: bytes.small()?,
        foods: bytes.small()?,
        makers: bytes.small()?,
        at: bytes.number()?,
        named_length: bytes.number()?,
        other_length: bytes.number()?,
    })
}
