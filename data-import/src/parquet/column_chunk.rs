//! A few rows of a column, read without decoding the others. The library decodes a column whole, or
//! sets up more for a single row than the row takes to read: a command that asks for three foods of
//! 58 columns waited for that longest.

use std::borrow::Cow;
use std::collections::BTreeSet;
use std::ops::Range;

use polars_parquet::parquet::compression::{Compression, DecompressionContext, decompress};

use super::compact::Compact;
use super::runs::{Run, Runs};

/// The values of a column in a row group: pages of the first version, each row of which may lack its value.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ColumnChunk<'a> {
    pages: &'a [u8],
    codec: Compression,
}

/// How a page is encoded (Encoding in parquet.thrift).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Coding {
    /// Values one after another.
    Plain,
    /// Places in the dictionary.
    Places,
}

/// A page.
struct Page<'a> {
    of_dictionary: bool,
    coding: Coding,
    count: usize,
    body: Cow<'a, [u8]>,
}

/// A column of text, all of its rows: one text after another. A row without a text has an empty one.
#[derive(Debug, Default)]
pub(crate) struct TextColumn {
    texts: String,
    ends: Vec<usize>,
}

impl TextColumn {
    /// How many rows it has.
    pub(crate) fn len(&self) -> usize {
        self.ends.len()
    }

    /// The text of a row.
    pub(crate) fn get(&self, row: usize) -> Option<&str> {
        let end = *self.ends.get(row)?;
        let before = row.checked_sub(1).and_then(|before| self.ends.get(before));
        self.texts.get(before.copied().unwrap_or(0)..end)
    }

    fn push(&mut self, text: Option<&[u8]>) -> Option<()> {
        self.texts
            .push_str(str::from_utf8(text.unwrap_or_default()).ok()?);
        self.ends.push(self.texts.len());
        Some(())
    }
}

/// How wide a value is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Width {
    /// This many bytes.
    Fixed(usize),
    /// As wide as the length says that stands in four bytes before each text.
    Own,
}

/// The first values of some bytes.
enum Plain<'b> {
    Fixed(&'b [u8], usize),
    Own(Vec<&'b [u8]>),
}

impl<'a> ColumnChunk<'a> {
    pub(super) fn new(pages: &'a [u8], codec: Compression) -> Self {
        Self { pages, codec }
    }

    /// Numbers; `None` where the bytes are not as they ought to be, as everywhere here.
    pub(crate) fn numbers(self, rows: &[Range<usize>]) -> Option<Vec<Option<f64>>> {
        self.values(rows, Width::Fixed(8), |bytes| {
            Some(f64::from_le_bytes(bytes.try_into().ok()?))
        })
    }

    /// Counts.
    pub(crate) fn counts(self, rows: &[Range<usize>]) -> Option<Vec<Option<u32>>> {
        self.values(rows, Width::Fixed(4), |bytes| {
            Some(u32::from_le_bytes(bytes.try_into().ok()?))
        })
    }

    /// Text.
    pub(crate) fn texts(self, rows: &[Range<usize>]) -> Option<Vec<Option<String>>> {
        self.values(rows, Width::Own, |bytes| {
            str::from_utf8(bytes).ok().map(String::from)
        })
    }

    /// The texts of all rows.
    pub(crate) fn all_texts(self, rows: usize) -> Option<TextColumn> {
        let mut all = TextColumn::default();
        let rows = 0..rows;
        let put = |text: Option<&[u8]>| all.push(text);
        self.each_value(std::slice::from_ref(&rows), Width::Own, put)?;
        Some(all)
    }

    /// The rows that have one of some texts, in a column of texts that are sorted and that no row lacks.
    pub(crate) fn rows_with(self, wanted: &BTreeSet<&str>) -> Option<Vec<Range<usize>>> {
        let (mut dictionary, mut before, mut found) = (None, 0, Vec::new());
        for page in self.pages()? {
            if page.of_dictionary {
                // Words stand in the dictionary as the rows have them first, so they are sorted too.
                dictionary = Some(places_of(wanted, &page.body, page.count)?);
                continue;
            }
            let (levels, values) = split_levels(&page.body)?;
            if Runs::new(levels, 1, page.count)?
                .map(Run::ones)
                .sum::<usize>()
                < page.count
            {
                return None;
            }
            let rows = if page.coding == Coding::Plain {
                places_of(wanted, values, page.count)?
            } else {
                let rows_below = |limit| {
                    let below = places(values, page.count)?.map(|run| run.count_below(limit));
                    Some(below.sum::<usize>())
                };
                let words = dictionary.as_ref()?.iter();
                let rows = words.map(|word| Some(rows_below(word.start)?..rows_below(word.end)?));
                rows.collect::<Option<_>>()?
            };
            let rows = rows.into_iter().filter(|rows| !rows.is_empty());
            found.extend(rows.map(|rows| before + rows.start..before + rows.end));
            before += page.count;
        }
        Some(found)
    }

    /// The values of some rows, in their order.
    fn values<T>(
        self,
        rows: &[Range<usize>],
        width: Width,
        read: impl Fn(&[u8]) -> Option<T>,
    ) -> Option<Vec<Option<T>>> {
        let mut all = Vec::with_capacity(rows.iter().map(ExactSizeIterator::len).sum());
        self.each_value(rows, width, |bytes| {
            let value = match bytes {
                Some(bytes) => Some(read(bytes)?),
                None => None,
            };
            all.push(value);
            Some(())
        })?;
        Some(all)
    }

    /// Hands on the bytes of the values of some rows, in their order; `None` for a row that lacks its value.
    fn each_value(
        self,
        rows: &[Range<usize>],
        width: Width,
        mut put: impl FnMut(Option<&[u8]>) -> Option<()>,
    ) -> Option<()> {
        let (mut dictionary, mut before, mut count) = (None, 0, 0);
        for page in self.pages()? {
            if page.of_dictionary {
                dictionary = Some(page);
                continue;
            }
            let (start, end) = (before, before + page.count);
            before = end;
            let (levels, values) = split_levels(&page.body)?;
            let (mut given, mut wanted) = (Vec::new(), Vec::new());
            for rows in rows {
                let within =
                    rows.start.clamp(start, end) - start..rows.end.clamp(start, end) - start;
                if within.is_empty() {
                    continue;
                }
                let (earlier, of_rows) = present(levels, &within)?;
                let ranks = earlier..earlier + of_rows.iter().filter(|given| **given).count();
                given.extend(of_rows);
                match page.coding {
                    _ if ranks.is_empty() => {}
                    Coding::Plain => wanted.extend(ranks),
                    Coding::Places => {
                        let places = places(values, ranks.end)?.values(&ranks)?;
                        wanted.extend(places.into_iter().map(|place| place as usize));
                    }
                }
            }
            let bytes = match page.coding {
                _ if wanted.is_empty() => &[],
                Coding::Plain => values,
                Coding::Places => &*dictionary.as_ref()?.body,
            };
            let most = wanted.iter().max().map_or(0, |most| most + 1);
            let plain = Plain::of(bytes, width, most)?;
            let mut wanted = wanted.into_iter();
            for given in given {
                let value = if given {
                    Some(plain.get(wanted.next()?)?)
                } else {
                    None
                };
                put(value)?;
                count += 1;
            }
        }
        (count == rows.iter().map(ExactSizeIterator::len).sum::<usize>()).then_some(())
    }

    /// The pages, unpacked.
    fn pages(self) -> Option<Vec<Page<'a>>> {
        let (mut rest, mut pages) = (self.pages, Vec::new());
        while !rest.is_empty() {
            pages.push(self.page(&mut rest)?);
        }
        Some(pages)
    }

    fn page(self, rest: &mut &'a [u8]) -> Option<Page<'a>> {
        let (mut kind, mut unpacked, mut packed) = (None, None, None);
        let (mut count, mut coding) = (None, None);
        let mut head = Compact::new(rest);
        head.fields(|rest, number, field| match number {
            1 => size(rest, &mut kind),
            2 => size(rest, &mut unpacked),
            3 => size(rest, &mut packed),
            5 | 7 => rest.fields(|rest, number, field| match number {
                1 => size(rest, &mut count),
                2 => size(rest, &mut coding),
                _ => rest.pass(field),
            }),
            _ => rest.pass(field),
        })?;
        let (body, after) = head.rest().split_at_checked(packed?)?;
        *rest = after;
        Some(Page {
            of_dictionary: match kind? {
                0 => false,
                2 => true,
                _ => return None,
            },
            coding: match coding? {
                0 => Coding::Plain,
                2 | 8 => Coding::Places,
                _ => return None,
            },
            count: count?,
            body: self.unpacked(body, unpacked?)?,
        })
    }

    fn unpacked(self, body: &'a [u8], length: usize) -> Option<Cow<'a, [u8]>> {
        if self.codec == Compression::Uncompressed {
            return Some(Cow::Borrowed(body));
        }
        let mut unpacked = vec![0; length];
        let mut context = DecompressionContext::Unset;
        decompress(self.codec, body, &mut unpacked, &mut context).ok()?;
        Some(Cow::Owned(unpacked))
    }
}

impl<'b> Plain<'b> {
    /// The first values, up to a count.
    fn of(bytes: &'b [u8], width: Width, count: usize) -> Option<Self> {
        match width {
            Width::Fixed(width) => Some(Self::Fixed(bytes, width)),
            Width::Own => {
                let mut rest = bytes;
                let values = (0..count).map(|_| next_text(&mut rest));
                values.collect::<Option<_>>().map(Self::Own)
            }
        }
    }

    fn get(&self, place: usize) -> Option<&'b [u8]> {
        match self {
            Self::Fixed(bytes, width) => {
                let start = place.checked_mul(*width)?;
                bytes.get(start..start.checked_add(*width)?)
            }
            Self::Own(values) => values.get(place).copied(),
        }
    }
}

/// The places of some texts among so many sorted ones.
fn places_of(wanted: &BTreeSet<&str>, bytes: &[u8], count: usize) -> Option<Vec<Range<usize>>> {
    let mut rest = bytes;
    let texts = (0..count).map(|_| next_text(&mut rest));
    let texts = texts.collect::<Option<Vec<_>>>()?;
    let places = |text: &&str| {
        let start = texts.partition_point(|one| *one < text.as_bytes());
        let same = texts.iter().skip(start);
        let same = same.take_while(|one| **one == text.as_bytes()).count();
        start..start + same
    };
    let found = wanted.iter().map(places);
    Some(found.filter(|places| !places.is_empty()).collect())
}

/// A text, which is its length in four bytes and as many bytes.
fn next_text<'b>(rest: &mut &'b [u8]) -> Option<&'b [u8]> {
    let (length, after) = rest.split_first_chunk::<4>()?;
    let length = usize::try_from(u32::from_le_bytes(*length)).ok()?;
    let (text, after) = after.split_at_checked(length)?;
    *rest = after;
    Some(text)
}

fn size(rest: &mut Compact<'_>, into: &mut Option<usize>) -> Option<()> {
    *into = rest.size();
    into.map(drop)
}

/// Splits the levels of a page, which say which rows have a value, from the values.
fn split_levels(body: &[u8]) -> Option<(&[u8], &[u8])> {
    let (length, rest) = body.split_first_chunk::<4>()?;
    rest.split_at_checked(usize::try_from(u32::from_le_bytes(*length)).ok()?)
}

/// How many rows before `rows` have a value, and which of them have one.
fn present(levels: &[u8], rows: &Range<usize>) -> Option<(usize, Vec<bool>)> {
    let (mut at, mut earlier, mut given) = (0, 0, Vec::with_capacity(rows.len()));
    for run in Runs::new(levels, 1, rows.end)? {
        let before = rows.start.saturating_sub(at).min(run.len());
        earlier += run.first(before).ones();
        for place in before..run.len() {
            given.push(run.get(place)? == 1);
        }
        at += run.len();
    }
    (at == rows.end).then_some((earlier, given))
}

/// The first places of a page in its dictionary.
fn places(values: &[u8], count: usize) -> Option<Runs<'_>> {
    let (bits, values) = values.split_first()?;
    Runs::new(values, *bits, count)
}
