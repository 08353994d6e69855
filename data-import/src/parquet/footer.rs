//! The footer of a file of which a few rows are wanted: the names of its columns, and where each
//! row group lies. What it says of the columns of a row group is read when that one is asked for.
//! The library reads all of it, which takes longer than the rows.

use std::borrow::Cow;

use polars_parquet::parquet::compression::Compression;

use super::column_chunk::ColumnChunk;
use super::compact::Compact;

/// The magic bytes and the length that a file ends with.
const END: usize = 8;

/// The footer of a file, of which the columns of a row group are read when they are asked for.
#[derive(Debug)]
pub(crate) struct Footer {
    /// Its bytes, with [`END`].
    bytes: Cow<'static, [u8]>,
    columns: Vec<FooterColumn>,
    /// How many of the bytes are left where each row group begins.
    groups: Vec<usize>,
    notes: Vec<(String, String)>,
}

/// A column.
#[derive(Debug)]
pub(crate) struct FooterColumn {
    pub(crate) name: String,
    pub(crate) values: StoredValues,
}

/// The type of the values of a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum StoredValues {
    Counts,
    Numbers,
    Texts,
}

/// The number of rows of a row group, and where each of its columns lies.
#[derive(Debug, Default)]
pub(crate) struct GroupLayout {
    /// How many rows it has.
    pub(crate) rows: usize,
    chunks: Vec<ChunkPlace>,
}

/// Where the values of a column lie.
#[derive(Debug)]
struct ChunkPlace {
    start: usize,
    length: usize,
    codec: Compression,
}

impl Footer {
    /// Reads the footer from the end of a file; `None` where there is none.
    pub(crate) fn read(end: Cow<'static, [u8]>) -> Option<Self> {
        let start = start(&end)?;
        let bytes = match end {
            Cow::Borrowed(end) => Cow::Borrowed(end.get(start..)?),
            Cow::Owned(mut end) => Cow::Owned(end.split_off(start)),
        };
        let (mut columns, mut groups, mut notes) = (Vec::new(), Vec::new(), Vec::new());
        Compact::new(&bytes).fields(|rest, number, kind| match number {
            2 => {
                // The first element stands for the whole table.
                let mut element = 0;
                rest.structs(|rest| {
                    element += 1;
                    if element == 1 {
                        return rest.pass_struct();
                    }
                    columns.push(column(rest)?);
                    Some(())
                })
            }
            4 => rest.structs(|rest| {
                groups.push(rest.rest().len());
                rest.pass_struct()
            }),
            5 => rest.structs(|rest| {
                notes.push(note(rest)?);
                Some(())
            }),
            _ => rest.pass(kind),
        })?;
        Some(Self {
            bytes,
            columns,
            groups,
            notes,
        })
    }

    /// The columns.
    pub(crate) fn columns(&self) -> &[FooterColumn] {
        &self.columns
    }

    /// How many row groups there are.
    pub(crate) fn group_count(&self) -> usize {
        self.groups.len()
    }

    /// The text that was written under a key.
    pub(crate) fn note(&self, key: &str) -> Option<&str> {
        let mut notes = self.notes.iter();
        Some(&notes.find(|note| note.0 == key)?.1)
    }

    /// Reads what the footer says of a row group; `None` where the file has no such group.
    pub(crate) fn group(&self, group: usize) -> Option<GroupLayout> {
        let left = self.groups.get(group)?;
        let start = self.bytes.len().checked_sub(*left)?;
        let mut layout = GroupLayout::default();
        layout.chunks.reserve(self.columns.len());
        Compact::new(self.bytes.get(start..)?).fields(|rest, number, kind| match number {
            1 => rest.structs(|rest| {
                layout.chunks.push(chunk(rest)?);
                Some(())
            }),
            3 => {
                layout.rows = rest.size()?;
                Some(())
            }
            _ => rest.pass(kind),
        })?;
        Some(layout)
    }
}

impl GroupLayout {
    /// The values of a column, out of bytes that begin at `start` in the file; `None` where they lie elsewhere.
    pub(crate) fn chunk<'a>(
        &self,
        column: usize,
        bytes: &'a [u8],
        start: usize,
    ) -> Option<ColumnChunk<'a>> {
        let place = self.chunks.get(column)?;
        let from = place.start.checked_sub(start)?;
        let pages = bytes.get(from..from.checked_add(place.length)?)?;
        Some(ColumnChunk::new(pages, place.codec))
    }
}

/// Where the footer begins in the end of a file.
fn start(end: &[u8]) -> Option<usize> {
    let (before, last) = end.split_at_checked(end.len().checked_sub(END)?)?;
    let (length, magic) = last.split_first_chunk::<4>()?;
    let length = usize::try_from(u32::from_le_bytes(*length)).ok()?;
    let start = before.len().checked_sub(length)?;
    (magic == b"PAR1").then_some(start)
}

/// Reads an element of the schema.
fn column(rest: &mut Compact<'_>) -> Option<FooterColumn> {
    let (mut physical, mut name) = (None, None);
    rest.fields(|rest, number, kind| match number {
        1 => {
            physical = rest.size();
            physical.map(drop)
        }
        4 => {
            name = rest.text();
            name.map(drop)
        }
        _ => rest.pass(kind),
    })?;
    Some(FooterColumn {
        name: name?.into(),
        // Numbers of the format (Type in parquet.thrift); no other is written.
        values: match physical? {
            1 => StoredValues::Counts,
            5 => StoredValues::Numbers,
            6 => StoredValues::Texts,
            _ => return None,
        },
    })
}

/// Reads a key and its value.
fn note(rest: &mut Compact<'_>) -> Option<(String, String)> {
    let (mut key, mut value) = (None, "");
    rest.fields(|rest, number, kind| match number {
        1 => {
            key = rest.text();
            key.map(drop)
        }
        2 => {
            value = rest.text()?;
            Some(())
        }
        _ => rest.pass(kind),
    })?;
    Some((key?.into(), value.into()))
}

/// Reads where a column lies in a row group.
fn chunk(rest: &mut Compact<'_>) -> Option<ChunkPlace> {
    let mut place = None;
    rest.fields(|rest, number, kind| match number {
        3 => {
            place = chunk_place(rest);
            place.as_ref().map(drop)
        }
        _ => rest.pass(kind),
    })?;
    place
}

fn chunk_place(rest: &mut Compact<'_>) -> Option<ChunkPlace> {
    let (mut codec, mut length, mut data, mut dictionary) = (None, None, None, None);
    rest.fields(|rest, number, kind| {
        let into = match number {
            4 => &mut codec,
            7 => &mut length,
            9 => &mut data,
            11 => &mut dictionary,
            _ => return rest.pass(kind),
        };
        *into = rest.size();
        into.map(drop)
    })?;
    // Numbers of the format (CompressionCodec in parquet.thrift); no other is written.
    let codec = match codec? {
        0 => Compression::Uncompressed,
        6 => Compression::Zstd,
        7 => Compression::Lz4Raw,
        _ => return None,
    };
    Some(ChunkPlace {
        start: dictionary.into_iter().fold(data?, usize::min),
        length: length?,
        codec,
    })
}
