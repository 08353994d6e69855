//! A Parquet file sorted by food id, of which single row groups are decoded.

use std::borrow::Cow;
use std::collections::BTreeSet;
use std::fmt::Display;
use std::fs::File;
use std::io::{self, Cursor, Read, Seek, SeekFrom};
use std::ops::Range;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use polars::prelude::{
    Column, DataFrame, FileMetadata, FileMetadataRef, Float64Chunked, IntoColumn, NewChunkedArray,
    ParallelStrategy, ParquetReader, PolarsResult, SerReader, StringChunked, UInt32Chunked,
};

use super::columns::{ID, ROW_GROUPS};
use crate::digest::sha256;
use crate::error::Error;
use crate::manifest::TableFile;
use crate::parquet::{Footer, FooterColumn, StoredValues};

/// One opened table.
#[derive(Debug)]
pub(super) struct SortedTable {
    path: PathBuf,
    content: Content,
    footer: Footer,
    groups: Vec<Group>,
    /// The whole footer, for those who read whole row groups.
    whole_footer: OnceLock<FileMetadataRef>,
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
        Self::new(path, Content::Embedded(bytes), bytes.into())
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
        Self::new(path, Content::File(Mutex::new(file), length), footer.into())
    }

    fn new(path: PathBuf, content: Content, end: Cow<'static, [u8]>) -> Result<Self, Error> {
        let Some(footer) = Footer::read(end) else {
            return Err(Error::corrupt(&path, &"its footer does not read"));
        };
        let groups = footer.note(ROW_GROUPS).and_then(groups).unwrap_or_default();
        if groups.len() != footer.group_count() {
            let problem = "its index does not fit its row groups";
            return Err(Error::corrupt(&path, &problem));
        }
        Ok(Self {
            path,
            content,
            footer,
            groups,
            whole_footer: OnceLock::new(),
        })
    }

    /// Whether it is a table in the program.
    pub(super) fn is_embedded(&self) -> bool {
        matches!(self.content, Content::Embedded(_))
    }

    /// Names of the columns.
    pub(super) fn column_names(&self) -> impl Iterator<Item = &str> {
        self.footer
            .columns()
            .iter()
            .map(|column| column.name.as_str())
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

    /// How many rows a row group has.
    pub(super) fn row_count(&self, group: usize) -> usize {
        self.footer.group(group).map_or(0, |group| group.rows)
    }

    /// Decodes the named columns of one row group; `None`: all columns.
    pub(super) fn whole(&self, group: usize, columns: Option<&[&str]>) -> Result<DataFrame, Error> {
        let bytes = self.load(group)?;
        let decoded = self.decode(&bytes, group, columns);
        decoded.map_err(|source| self.corrupt(&source))
    }

    /// Decodes all rows with one of the `ids`.
    pub(super) fn find(&self, ids: &BTreeSet<&str>) -> Result<Vec<DataFrame>, Error> {
        let mut groups = ids
            .iter()
            .filter_map(|id| self.group_of(id))
            .collect::<Vec<_>>();
        groups.dedup();
        let mut frames = Vec::with_capacity(groups.len());
        for group in groups {
            let bytes = self.load(group)?;
            let Some(columns) = self.rows_of(&bytes, group, ids) else {
                return Err(self.corrupt(&"a row group does not read"));
            };
            if !columns.is_empty() {
                let frame = DataFrame::new_infer_height(columns);
                frames.push(frame.map_err(|source| self.corrupt(&source))?);
            }
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

    /// The rows of some foods in a row group, column after column; no column where none of the foods is there, and `None` where the row group
    /// does not read.
    fn rows_of(&self, bytes: &[u8], group: usize, ids: &BTreeSet<&str>) -> Option<Vec<Column>> {
        let layout = self.footer.group(group)?;
        let columns = self.footer.columns();
        let id_column = columns.iter().position(|column| column.name == ID)?;
        let id_chunk = layout.chunk(id_column, bytes)?;
        let rows = id_chunk.rows_with(ids)?;
        if rows.is_empty() {
            return Some(Vec::new());
        }
        let read = |(place, column): (usize, &FooterColumn)| {
            let (chunk, name) = (layout.chunk(place, bytes)?, column.name.as_str().into());
            Some(match column.values {
                StoredValues::Texts => {
                    StringChunked::from_iter_options(name, chunk.texts(&rows)?.into_iter())
                        .into_column()
                }
                StoredValues::Numbers => {
                    Float64Chunked::from_iter_options(name, chunk.numbers(&rows)?.into_iter())
                        .into_column()
                }
                StoredValues::Counts => {
                    UInt32Chunked::from_iter_options(name, chunk.counts(&rows)?.into_iter())
                        .into_column()
                }
            })
        };
        columns.iter().enumerate().map(read).collect()
    }

    /// Decodes one row group on the calling thread.
    fn decode(
        &self,
        bytes: &[u8],
        group: usize,
        columns: Option<&[&str]>,
    ) -> PolarsResult<DataFrame> {
        let mut reader = ParquetReader::new(Cursor::new(bytes))
            .read_parallel(ParallelStrategy::None)
            .with_columns(columns.map(|names| names.iter().map(ToString::to_string).collect()));
        reader.set_metadata(Arc::new(self.footer_of(group)?));
        reader.finish()
    }

    /// The footer of a file that has this row group alone: the decoder would look into every row
    /// group before the rows it is asked for.
    fn footer_of(&self, group: usize) -> PolarsResult<FileMetadata> {
        let footer = self.whole_footer()?;
        let row_group = footer.row_groups[group].clone();
        Ok(FileMetadata {
            version: footer.version,
            num_rows: row_group.num_rows(),
            max_row_group_height: footer.max_row_group_height,
            created_by: None,
            row_groups: vec![row_group],
            key_value_metadata: None,
            schema_descr: footer.schema_descr.clone(),
            column_orders: None,
            footer_buf: footer.footer_buf.clone(),
        })
    }

    fn whole_footer(&self) -> PolarsResult<&FileMetadataRef> {
        if let Some(footer) = self.whole_footer.get() {
            return Ok(footer);
        }
        let mut reader = ParquetReader::new(Cursor::new(self.footer.bytes()));
        let footer = Arc::clone(reader.get_metadata()?);
        Ok(self.whole_footer.get_or_init(|| footer))
    }

    /// An error that names this file.
    pub(super) fn corrupt(&self, problem: &dyn Display) -> Error {
        Error::corrupt(&self.path, problem)
    }
}

/// What is wrong with bytes that are not as written.
const CHANGED: &str = "its SHA-256 is not that of the file written";

/// The row groups by the footer's own index; `None` if it does not read.
fn groups(index: &str) -> Option<Vec<Group>> {
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

fn read_at(file: &mut File, start: usize, into: &mut [u8]) -> io::Result<()> {
    file.seek(SeekFrom::Start(start as u64))?;
    file.read_exact(into)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::cache::shape::{Kind, Packing, Shape, counts, numbers, text};
    use crate::cache::writer::TableWriter;

    const COLUMNS: [(&str, Kind); 5] = [
        (ID, Kind::Text),
        ("name", Kind::Name),
        ("word", Kind::Text),
        ("number", Kind::Number),
        ("count", Kind::Count),
    ];

    /// A row: how many ids it is from the row before, a word, a number, a count.
    type Row = (u32, u8, Option<u8>, Option<u32>);

    /// Writes the rows as a table of two row groups, and opens it.
    fn table(
        rows: &[Row],
        ids_as: Kind,
        packing: Packing,
        folder: &std::path::Path,
    ) -> SortedTable {
        let path = folder.join("table.parquet");
        let columns = COLUMNS.map(|(name, kind)| (name, if name == ID { ids_as } else { kind }));
        let shape = Shape::new(columns.into_iter(), packing).unwrap();
        let mut writer = TableWriter::new(File::create_new(&path).unwrap(), &shape).unwrap();
        let mut id = 0;
        let mut ids = Vec::new();
        for row in rows {
            id += row.0;
            ids.push(format!("{id:05}"));
        }
        // No food lies in two groups.
        let middle = rows.len() / 2;
        let middle = (middle..rows.len()).find(|at| *at == 0 || ids[*at] != ids[*at - 1]);
        let middle = middle.unwrap_or(rows.len());
        for part in [0..middle, middle..rows.len()] {
            let Some(first) = ids.get(part.start).filter(|_| !part.is_empty()) else {
                continue;
            };
            let rows = &rows[part.clone()];
            let names = rows
                .iter()
                .enumerate()
                .map(|(at, row)| format!("{at} {}", row.1));
            let words = rows.iter().map(|row| "x".repeat(usize::from(row.1)));
            let cells = [
                text(&ids[part.clone()]),
                text(&names.collect::<Vec<_>>()),
                text(&words.collect::<Vec<_>>()),
                numbers(
                    &rows
                        .iter()
                        .map(|row| row.2.map(f64::from))
                        .collect::<Vec<_>>(),
                ),
                counts(&rows.iter().map(|row| row.3).collect::<Vec<_>>()),
            ];
            writer.write(&shape.encode(first, &cells).unwrap()).unwrap();
        }
        let (_, file) = writer.finish("table.parquet").unwrap();
        SortedTable::open(path, &file).unwrap()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn single_rows_are_those_that_the_library_reads(
            rows in prop::collection::vec(
                (0_u32..3, 0_u8..20, prop::option::weighted(0.8, 0_u8..9), prop::option::of(0_u32..70_000)),
                1..700,
            ),
            wanted in prop::collection::btree_set(0_u32..900, 0..12),
            packing in prop::sample::select(vec![Packing::None, Packing::Fast, Packing::Small]),
            ids_as in prop::sample::select(vec![Kind::Text, Kind::Name]),
        ) {
            let folder = tempfile::tempdir().unwrap();
            let table = table(&rows, ids_as, packing, folder.path());
            let wanted: Vec<String> = wanted.iter().map(|id| format!("{id:05}")).collect();
            let wanted: BTreeSet<&str> = wanted.iter().map(String::as_str).collect();
            let (found, all) = (table.find(&wanted).unwrap(), table.all(None).unwrap());
            let rows_of = |frames: &[DataFrame]| {
                let mut rows = Vec::new();
                for frame in frames {
                    for row in 0..frame.height() {
                        let cells = frame.columns().iter().map(|column| column.get(row).unwrap().to_string());
                        rows.push(cells.collect::<Vec<_>>());
                    }
                }
                rows
            };
            let is_wanted = |row: &Vec<String>| wanted.contains(row[0].trim_matches('"'));
            let theirs: Vec<_> = rows_of(&all).into_iter().filter(|row| is_wanted(row)).collect();
            prop_assert_eq!(rows_of(&found), theirs);
        }
    }
}
