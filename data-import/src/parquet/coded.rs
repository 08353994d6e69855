//! A column of text as places in a list of its words: where the file keeps a dictionary its entries
//! are read once, and no text for any row.

use std::collections::HashMap;
use std::ops::Range;

use compact_str::CompactString;
use polars_arrow::array::{Array, Utf8ViewArray};
use polars_parquet::parquet::encoding::Encoding;
use polars_parquet::parquet::encoding::hybrid_rle::{HybridRleChunk, HybridRleDecoder};
use polars_parquet::parquet::error::{ParquetError, ParquetResult};
use polars_parquet::parquet::page::{DataPage, DictPage, split_buffer};
use polars_parquet::read::BasicDecompressor;

/// The code of a row without a value.
pub const NOT_GIVEN: u32 = u32::MAX;

/// A column of text.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Coded {
    /// The words; short ones take no memory of their own.
    pub words: Vec<CompactString>,
    /// For each row the place of its word, or [`NOT_GIVEN`].
    pub codes: Vec<u32>,
}

impl Coded {
    /// The word of a row.
    pub fn get(&self, row: usize) -> Option<&str> {
        let code = *self.codes.get(row)?;
        self.words.get(code as usize).map(CompactString::as_str)
    }

    /// Rows of text, each word once.
    pub fn of<'a>(rows: impl Iterator<Item = Option<&'a str>>) -> Self {
        let mut places: HashMap<&str, u32> = HashMap::new();
        let mut coded = Self::default();
        for row in rows {
            let code = row.map_or(NOT_GIVEN, |word| {
                *places.entry(word).or_insert_with(|| {
                    coded.words.push(word.into());
                    u32::try_from(coded.words.len() - 1).unwrap_or(NOT_GIVEN)
                })
            });
            coded.codes.push(code);
        }
        coded
    }

    pub(super) fn of_arrays(arrays: &[Box<dyn Array>]) -> Self {
        let texts = arrays
            .iter()
            .filter_map(|array| array.as_any().downcast_ref::<Utf8ViewArray>());
        Self::of(texts.flat_map(Utf8ViewArray::iter))
    }

    /// The rows of a column chunk whose pages all refer to its dictionary; `None` where one does not.
    pub(crate) fn of_dictionary(
        mut pages: BasicDecompressor,
        rows: &Range<usize>,
    ) -> ParquetResult<Option<Self>> {
        let Some(dictionary) = pages.read_dict_page()? else {
            return Ok(None);
        };
        let mut coded = Self {
            words: entries(&dictionary)?,
            codes: Vec::new(),
        };
        let mut first = 0;
        while let Some(item) = pages.next() {
            let item = item?;
            let of_page = first..first + item.num_values();
            first = of_page.end;
            if of_page.end <= rows.start || of_page.start >= rows.end {
                continue;
            }
            let page = item.decompress(&mut pages)?;
            if !matches!(
                page.encoding(),
                Encoding::PlainDictionary | Encoding::RleDictionary
            ) {
                return Ok(None);
            }
            let codes = codes(&page, coded.words.len())?;
            if *rows == of_page {
                coded.codes = codes;
                continue;
            }
            let from = rows.start.saturating_sub(of_page.start);
            let to = rows.end.min(of_page.end) - of_page.start;
            coded.codes.extend(codes.get(from..to).unwrap_or_default());
        }
        Ok(Some(coded))
    }
}

fn wrong(what: &str) -> ParquetError {
    ParquetError::OutOfSpec(what.to_owned())
}

/// The words of a dictionary page: each is its length in four bytes, and its bytes.
fn entries(page: &DictPage) -> ParquetResult<Vec<CompactString>> {
    let mut rest: &[u8] = &page.buffer;
    let mut words = Vec::with_capacity(page.num_values);
    for _ in 0..page.num_values {
        let split = rest.split_first_chunk::<4>().and_then(|(length, rest)| {
            let length = usize::try_from(u32::from_le_bytes(*length)).ok()?;
            rest.split_at_checked(length)
        });
        let (word, after) = split.ok_or_else(|| wrong("a dictionary ends before its entries"))?;
        let word =
            str::from_utf8(word).map_err(|_| wrong("a dictionary holds what is not text"))?;
        words.push(word.into());
        rest = after;
    }
    Ok(words)
}

/// Whether levels say of all rows at once that they have a value, as most writers do.
fn is_one_run_of_ones(levels: &HybridRleDecoder<'_>) -> ParquetResult<bool> {
    let first = levels.clone().next_chunk()?;
    Ok(matches!(first, Some(HybridRleChunk::Rle(1, length)) if length == levels.len()))
}

/// The codes of a page.
fn codes(page: &DataPage, words: usize) -> ParquetResult<Vec<u32>> {
    let count = page.num_values();
    let parts = split_buffer(page)?;
    let levels = HybridRleDecoder::new(parts.def, 1, count);
    let given = if page.descriptor.max_def_level > 0 && !is_one_run_of_ones(&levels)? {
        Some(levels.collect()?)
    } else {
        None
    };
    let given_count = given
        .as_ref()
        .map_or(count, |given| given.iter().filter(|one| **one == 1).count());
    let found = match parts.values.split_first() {
        Some((bits, values)) if given_count > 0 => {
            HybridRleDecoder::new(values, u32::from(*bits), given_count).collect()?
        }
        _ => Vec::new(),
    };
    if found.len() != given_count || found.iter().any(|code| *code as usize >= words) {
        return Err(wrong("a page refers to no entry of its dictionary"));
    }
    let Some(given) = given.filter(|_| given_count < count) else {
        return Ok(found);
    };
    let mut found = found.into_iter();
    let next = |given: u32| match given {
        1 => found.next().unwrap_or(NOT_GIVEN),
        _ => NOT_GIVEN,
    };
    Ok(given.into_iter().map(next).collect())
}
