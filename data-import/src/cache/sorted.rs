//! A Parquet file sorted by food id, of which single row groups are decoded.

use std::borrow::Cow;
use std::collections::BTreeSet;
use std::fmt::Display;
use std::fs::File;
use std::io::{self, Cursor, Read, Seek, SeekFrom};
use std::ops::Range;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};

use polars::prelude::{
    DataFrame, FileMetadata, FileMetadataRef, ParallelStrategy, ParquetReader, PolarsResult,
    SerReader,
};

use polars_parquet::read::{BasicDecompressor, PageReader};

use super::columns::{ID, ROW_GROUPS};
use crate::digest::sha256;
use crate::error::Error;
use crate::manifest::TableFile;
use crate::parquet::Coded;

/// One opened table.
#[derive(Debug)]
pub(super) struct SortedTable {
    path: PathBuf,
    content: Content,
    footer: FileMetadataRef,
    groups: Vec<Group>,
}

/// Where the bytes are.
#[derive(Debug)]
enum Content {
    /// In the program: nothing can have changed them.
    Embedded(&'static [u8]),
    /// In a file of this length, of which what is needed is read and checked.
    File(Mutex<File>, usize),
}

/// A row group of the file.
#[derive(Debug)]
struct Group {
    first_id: String,
    bytes: Range<usize>,
    sha256: String,
}

impl SortedTable {
    /// Opens a table in the program. `path` is used in errors only.
    pub(super) fn embedded(path: PathBuf, bytes: &'static [u8]) -> Result<Self, Error> {
        Self::new(path, Content::Embedded(bytes), bytes)
    }

    /// Opens a file, and checks its length and its footer: the Parquet decoder can abort the
    /// process on damaged bytes, which nothing here could catch.
    pub(super) fn open(path: PathBuf, table: &TableFile) -> Result<Self, Error> {
        let failed = |source| Error::io("read", &path, source);
        let mut file = File::open(&path).map_err(failed)?;
        let length = file.metadata().map_err(failed)?.len();
        if length != table.bytes {
            let problem = format!("{length} bytes where {} were written", table.bytes);
            return Err(Error::corrupt(&path, &problem));
        }
        let size = |bytes| usize::try_from(bytes).map_err(|error| Error::corrupt(&path, &error));
        let length = size(length)?;
        let start = length.saturating_sub(size(table.footer_bytes)?);
        let mut footer = vec![0; length - start];
        read_at(&mut file, start, &mut footer).map_err(failed)?;
        if sha256(&footer) != table.footer_sha256 {
            return Err(Error::corrupt(&path, &CHANGED));
        }
        Self::new(path, Content::File(Mutex::new(file), length), &footer)
    }

    fn new(path: PathBuf, content: Content, end: &[u8]) -> Result<Self, Error> {
        let mut reader = ParquetReader::new(Cursor::new(end));
        let footer = match reader.get_metadata() {
            Ok(footer) => Arc::clone(footer),
            Err(source) => return Err(Error::corrupt(&path, &source)),
        };
        drop(reader);
        let groups = groups(&footer).unwrap_or_default();
        if groups.len() != footer.row_groups.len() {
            let problem = "its index does not fit its row groups";
            return Err(Error::corrupt(&path, &problem));
        }
        Ok(Self {
            path,
            content,
            footer,
            groups,
        })
    }

    /// Whether it is a table in the program.
    pub(super) fn is_embedded(&self) -> bool {
        matches!(self.content, Content::Embedded(_))
    }

    /// Names of the columns.
    pub(super) fn column_names(&self) -> impl Iterator<Item = &str> {
        self.footer
            .schema_descr
            .fields()
            .iter()
            .map(|field| field.get_field_info().name.as_str())
    }

    /// Decodes the named columns of all rows, one frame for each row group; `None`: all columns.
    pub(super) fn all(&self, columns: Option<&[&str]>) -> Result<Vec<DataFrame>, Error> {
        (0..self.groups.len())
            .map(|group| self.whole(group, columns))
            .collect()
    }

    /// How many row groups there are.
    pub(super) fn group_count(&self) -> usize {
        self.groups.len()
    }

    /// Decodes the named columns of one row group; `None`: all columns.
    pub(super) fn whole(&self, group: usize, columns: Option<&[&str]>) -> Result<DataFrame, Error> {
        let bytes = self.load(group)?;
        self.decode(&bytes, group, columns, None)
            .map_err(|source| self.corrupt(&source))
    }

    /// Decodes all rows with one of the `ids`; rows of other foods may lie between them.
    pub(super) fn find(&self, ids: &BTreeSet<&str>) -> Result<Vec<DataFrame>, Error> {
        let mut groups = ids
            .iter()
            .filter_map(|id| self.group_of(id))
            .collect::<Vec<_>>();
        groups.dedup();
        let mut frames = Vec::with_capacity(groups.len());
        for group in groups {
            let bytes = self.load(group)?;
            let found = self.find_in(&bytes, group, ids);
            frames.extend(found.map_err(|source| self.corrupt(&source))?);
        }
        Ok(frames)
    }

    /// The row group that would hold an id.
    fn group_of(&self, id: &str) -> Option<usize> {
        self.groups
            .partition_point(|group| group.first_id.as_str() <= id)
            .checked_sub(1)
    }

    /// The bytes of the file, of which those of one row group are there, and are as written.
    fn load(&self, group: usize) -> Result<Cow<'static, [u8]>, Error> {
        let (file, length) = match &self.content {
            Content::Embedded(bytes) => return Ok(Cow::Borrowed(*bytes)),
            Content::File(file, length) => (file, *length),
        };
        // Zeroed pages cost nothing until they are touched, and offsets stay those of the file.
        let mut bytes = vec![0; length];
        let group = self.groups.get(group);
        let part = group.and_then(|group| Some((group, bytes.get_mut(group.bytes.clone())?)));
        let Some((group, part)) = part else {
            return Err(self.corrupt(&"a row group lies beyond its end"));
        };
        let mut file = file.lock().unwrap_or_else(PoisonError::into_inner);
        read_at(&mut file, group.bytes.start, part)
            .map_err(|source| Error::io("read", &self.path, source))?;
        if sha256(part) != group.sha256 {
            return Err(self.corrupt(&CHANGED));
        }
        Ok(bytes.into())
    }

    fn find_in(
        &self,
        bytes: &[u8],
        group: usize,
        ids: &BTreeSet<&str>,
    ) -> PolarsResult<Option<DataFrame>> {
        let rows = self.footer.row_groups[group].num_rows();
        // Of a food that has many rows the id is a code in each, which need not be made a text to be found.
        let found = if let Some(coded) = self.coded_ids(bytes, group)? {
            rows_between(rows, ids, |row| coded.get(row))
        } else {
            let frame = self.decode(bytes, group, Some(&[ID]), None)?;
            let column = frame.column(ID)?.str()?;
            rows_between(rows, ids, |row| column.get(row))
        };
        let Some(found) = found else {
            return Ok(None);
        };
        self.decode(bytes, group, None, Some(found)).map(Some)
    }

    /// The ids of a row group as codes; `None` where they are written as they are.
    fn coded_ids(&self, bytes: &[u8], group: usize) -> PolarsResult<Option<Coded>> {
        let row_group = &self.footer.row_groups[group];
        let mut chunks = row_group.columns_under_root_iter(ID).into_iter().flatten();
        let Some(chunk) = chunks.next() else {
            return Ok(None);
        };
        let place = chunk.byte_range();
        let place = usize::try_from(place.start)
            .ok()
            .zip(usize::try_from(place.end).ok());
        let Some(pages) = place.and_then(|(start, end)| bytes.get(start..end)) else {
            return Ok(None);
        };
        let pages = Cursor::new(pages.to_vec().into());
        let pages = PageReader::new(pages, chunk, Vec::new(), usize::MAX);
        let pages = BasicDecompressor::new(pages, Vec::new());
        Ok(Coded::of_dictionary(pages, &(0..row_group.num_rows()))?)
    }

    /// Decodes one row group, or the given rows of it, on the calling thread.
    fn decode(
        &self,
        bytes: &[u8],
        group: usize,
        columns: Option<&[&str]>,
        rows: Option<Range<usize>>,
    ) -> PolarsResult<DataFrame> {
        let mut reader = ParquetReader::new(Cursor::new(bytes))
            .read_parallel(ParallelStrategy::None)
            .with_columns(columns.map(|names| names.iter().map(ToString::to_string).collect()))
            .with_slice(rows.map(|rows| (rows.start, rows.len())));
        reader.set_metadata(Arc::new(self.footer_of(group)));
        reader.finish()
    }

    /// The footer of a file that has this row group alone: the decoder would look into every row
    /// group before the rows it is asked for.
    fn footer_of(&self, group: usize) -> FileMetadata {
        let row_group = self.footer.row_groups[group].clone();
        FileMetadata {
            version: self.footer.version,
            num_rows: row_group.num_rows(),
            max_row_group_height: self.footer.max_row_group_height,
            created_by: None,
            row_groups: vec![row_group],
            key_value_metadata: None,
            schema_descr: self.footer.schema_descr.clone(),
            column_orders: None,
            footer_buf: self.footer.footer_buf.clone(),
        }
    }

    /// An error that names this file.
    pub(super) fn corrupt(&self, problem: &dyn Display) -> Error {
        Error::corrupt(&self.path, problem)
    }
}

/// What is wrong with bytes that are not as written.
const CHANGED: &str = "its SHA-256 is not that of the file written";

/// The row groups by the footer's own index; `None` if it does not read.
fn groups(footer: &FileMetadata) -> Option<Vec<Group>> {
    let entries = footer.key_value_metadata.iter().flatten();
    let index = entries
        .filter(|entry| entry.key == ROW_GROUPS)
        .find_map(|entry| entry.value.as_deref())?;
    index.lines().map(group).collect()
}

fn group(line: &str) -> Option<Group> {
    let mut parts = line.split(' ');
    let first_id = parts.next()?.to_owned();
    let start = parts.next()?.parse::<usize>().ok()?;
    let end = start.checked_add(parts.next()?.parse().ok()?)?;
    Some(Group {
        first_id,
        bytes: start..end,
        sha256: parts.next()?.to_owned(),
    })
}

/// The rows from the first of some foods to the last, of so many rows sorted by id; `None` where none of the foods is there.
fn rows_between<'a>(
    rows: usize,
    ids: &BTreeSet<&str>,
    id_of: impl Fn(usize) -> Option<&'a str>,
) -> Option<Range<usize>> {
    let before = |id: &str| partition_point(rows, |row| id_of(row) < Some(id));
    let through = |id: &str| partition_point(rows, |row| id_of(row) <= Some(id));
    // Most of many ids lie in other row groups.
    let ends = id_of(0)?..=id_of(rows.checked_sub(1)?)?;
    let mut hits = ids.range(ends).filter(|id| before(id) < through(id));
    let first = hits.next()?;
    let last = hits.next_back().unwrap_or(first);
    Some(before(first)..through(last))
}

/// The first of so many rows for which a condition that holds for the rows before it does not hold.
fn partition_point(rows: usize, holds: impl Fn(usize) -> bool) -> usize {
    let (mut from, mut to) = (0, rows);
    while from < to {
        let middle = from.midpoint(to);
        if holds(middle) {
            from = middle + 1;
        } else {
            to = middle;
        }
    }
    from
}

fn read_at(file: &mut File, start: usize, into: &mut [u8]) -> io::Result<()> {
    file.seek(SeekFrom::Start(start as u64))?;
    file.read_exact(into)
}
