//! A Parquet file sorted by food id, of which single row groups are decoded.

use std::borrow::Cow;
use std::collections::BTreeSet;
use std::fmt::Display;
use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom};
use std::ops::Range;
use std::path::PathBuf;
use std::sync::{Mutex, PoisonError};

use polars::prelude::{
    Column, DataFrame, Float64Chunked, IntoColumn, NewChunkedArray, StringChunked, UInt32Chunked,
};

use super::columns::{ID, ROW_GROUPS};
use crate::digest::sha256;
use crate::error::Error;
use crate::manifest::TableFile;
use crate::parquet::{ColumnChunk, Footer, FooterColumn, GroupLayout, StoredValues, TextColumn};

/// One opened table.
#[derive(Debug)]
pub(super) struct SortedTable {
    path: PathBuf,
    content: Content,
    footer: Footer,
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

/// The bytes of a row group, and where they begin in the file.
struct GroupBytes {
    bytes: Cow<'static, [u8]>,
    start: usize,
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

    /// Decodes all rows, one frame for each row group.
    pub(super) fn all(&self) -> Result<Vec<DataFrame>, Error> {
        (0..self.groups.len())
            .map(|group| self.whole(group))
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

    /// Decodes one row group.
    pub(super) fn whole(&self, group: usize) -> Result<DataFrame, Error> {
        let loaded = self.load(group)?;
        let layout = self.footer.group(group);
        let columns = layout.and_then(|layout| {
            let rows = 0..layout.rows;
            self.columns(&loaded, &layout, std::slice::from_ref(&rows))
        });
        let columns = columns.ok_or_else(|| self.corrupt(&UNREADABLE))?;
        DataFrame::new_infer_height(columns).map_err(|source| self.corrupt(&source))
    }

    /// Reads columns of text of one row group, in the order of their names here.
    pub(super) fn texts<const N: usize>(
        &self,
        group: usize,
        names: [&str; N],
    ) -> Result<[TextColumn; N], Error> {
        let loaded = self.load(group)?;
        let layout = self.footer.group(group);
        let read = |name: &str| {
            let (columns, layout) = (self.footer.columns(), layout.as_ref()?);
            let place = columns.iter().position(|column| column.name == name)?;
            loaded.chunk(layout, place)?.all_texts(layout.rows)
        };
        let columns = names.map(read);
        if columns.iter().any(Option::is_none) {
            return Err(self.corrupt(&UNREADABLE));
        }
        Ok(columns.map(Option::unwrap_or_default))
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
            let loaded = self.load(group)?;
            let Some(columns) = self.rows_of(&loaded, group, ids) else {
                return Err(self.corrupt(&UNREADABLE));
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

    /// The bytes of one row group, which are as written.
    fn load(&self, group: usize) -> Result<GroupBytes, Error> {
        let (file, length) = match &self.content {
            Content::Embedded(bytes) => {
                let bytes = Cow::Borrowed(*bytes);
                return Ok(GroupBytes { bytes, start: 0 });
            }
            Content::File(file, length) => (file, *length),
        };
        let group = self.groups.get(group);
        let group = group.filter(|group| group.bytes.end <= length);
        let group = group.ok_or_else(|| self.corrupt(&"a row group lies beyond its end"))?;
        let start = group.bytes.start;
        let mut bytes = vec![0; group.bytes.len()];
        let mut file = file.lock().unwrap_or_else(PoisonError::into_inner);
        let read = read_at(&mut file, start, &mut bytes);
        drop(file);
        read.map_err(|source| Error::io("read", &self.path, source))?;
        if sha256(&bytes) != group.sha256 {
            return Err(self.corrupt(&CHANGED));
        }
        let bytes = bytes.into();
        Ok(GroupBytes { bytes, start })
    }

    /// The rows of some foods in a row group, column after column; no column where none of the
    /// foods is there, and `None` where the row group does not read.
    fn rows_of(
        &self,
        loaded: &GroupBytes,
        group: usize,
        ids: &BTreeSet<&str>,
    ) -> Option<Vec<Column>> {
        let layout = self.footer.group(group)?;
        let columns = self.footer.columns();
        let id_column = columns.iter().position(|column| column.name == ID)?;
        let rows = loaded.chunk(&layout, id_column)?.rows_with(ids)?;
        if rows.is_empty() {
            return Some(Vec::new());
        }
        self.columns(loaded, &layout, &rows)
    }

    /// Some rows of a row group, column after column; `None` where it does not read.
    fn columns(
        &self,
        loaded: &GroupBytes,
        layout: &GroupLayout,
        rows: &[Range<usize>],
    ) -> Option<Vec<Column>> {
        let read = |(place, column): (usize, &FooterColumn)| {
            let (chunk, name) = (loaded.chunk(layout, place)?, column.name.as_str().into());
            Some(match column.values {
                StoredValues::Texts => {
                    StringChunked::from_iter_options(name, chunk.texts(rows)?.into_iter())
                        .into_column()
                }
                StoredValues::Numbers => {
                    Float64Chunked::from_iter_options(name, chunk.numbers(rows)?.into_iter())
                        .into_column()
                }
                StoredValues::Counts => {
                    UInt32Chunked::from_iter_options(name, chunk.counts(rows)?.into_iter())
                        .into_column()
                }
            })
        };
        self.footer.columns().iter().enumerate().map(read).collect()
    }

    /// An error that names this file.
    pub(super) fn corrupt(&self, problem: &dyn Display) -> Error {
        Error::corrupt(&self.path, problem)
    }
}

impl GroupBytes {
    /// The values of a column; `None` where they do not lie here.
    fn chunk(&self, layout: &GroupLayout, column: usize) -> Option<ColumnChunk<'_>> {
        layout.chunk(column, &self.bytes, self.start)
    }
}

/// The problem that is named where the columns of a row group cannot be read.
const UNREADABLE: &str = "a row group does not read";
/// The problem that is named where a digest differs from the one taken when the file was written.
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
    use polars::prelude::{ParquetReader, SerReader};
    use polars_parquet::write::CompressionOptions;
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
        packing: CompressionOptions,
        folder: &std::path::Path,
    ) -> SortedTable {
        let path = folder.join("table.parquet");
        let columns = COLUMNS.map(|(name, kind)| (name, if name == ID { ids_as } else { kind }));
        let mut shape = Shape::new(columns.into_iter(), Packing::Fast).unwrap();
        shape.options.compression = packing;
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
            // The last is that of large tables of former versions.
            packing in prop::sample::select(vec![
                CompressionOptions::Uncompressed,
                CompressionOptions::Lz4Raw,
                CompressionOptions::Zstd(None),
            ]),
            ids_as in prop::sample::select(vec![Kind::Text, Kind::Name]),
        ) {
            let folder = tempfile::tempdir().unwrap();
            let table = table(&rows, ids_as, packing, folder.path());
            let wanted: Vec<String> = wanted.iter().map(|id| format!("{id:05}")).collect();
            let wanted: BTreeSet<&str> = wanted.iter().map(String::as_str).collect();
            let (found, whole) = (table.find(&wanted).unwrap(), table.all().unwrap());
            let file = File::open(folder.path().join("table.parquet")).unwrap();
            let all = [ParquetReader::new(file).finish().unwrap()];
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
            prop_assert_eq!(rows_of(&whole), rows_of(&all));
            let of_group = |group| table.texts(group, ["word", "name"]).unwrap();
            let texts = (0..table.group_count()).map(of_group).collect::<Vec<_>>();
            let texts = texts.iter().flat_map(|[words, names]| {
                (0..words.len()).map(|row| [words.get(row).unwrap(), names.get(row).unwrap()])
            });
            let written = rows.iter().map(|row| "x".repeat(usize::from(row.1)));
            let written = written.zip(all[0].column("name").unwrap().str().unwrap().iter());
            let written = written.map(|(word, name)| [word, name.unwrap().to_owned()]);
            prop_assert!(texts.eq(written));
        }
    }
}
