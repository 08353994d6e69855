//! A Parquet file sorted by food id, of which single row groups are decoded.

use std::borrow::Cow;
use std::collections::BTreeSet;
use std::fmt::Display;
use std::io::Cursor;
use std::ops::Range;
use std::path::PathBuf;
use std::sync::Arc;

use polars::prelude::{
    DataFrame, FileMetadata, FileMetadataRef, ParallelStrategy, ParquetReader, PolarsResult,
    SerReader,
};

use super::columns::{FIRST_IDS, ID};
use crate::error::Error;

/// One opened table.
#[derive(Debug)]
pub(super) struct SortedTable {
    path: PathBuf,
    bytes: Cow<'static, [u8]>,
    footer: FileMetadataRef,
    /// The first id of each row group.
    first_ids: Vec<String>,
}

impl SortedTable {
    /// Reads the footer of a file. `path` is used in errors only.
    pub(super) fn open(path: PathBuf, bytes: Cow<'static, [u8]>) -> Result<Self, Error> {
        let mut reader = ParquetReader::new(Cursor::new(bytes.as_ref()));
        let footer = match reader.get_metadata() {
            Ok(footer) => Arc::clone(footer),
            Err(source) => return Err(Error::corrupt(&path, &source)),
        };
        drop(reader);
        let first_ids = first_ids(&footer);
        if first_ids.len() != footer.row_groups.len() {
            return Err(Error::corrupt(
                &path,
                &"its index does not fit its row groups",
            ));
        }
        Ok(Self {
            path,
            bytes,
            footer,
            first_ids,
        })
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
        let frames = (0..self.first_ids.len()).map(|group| self.decode(group, columns, None));
        frames
            .collect::<PolarsResult<_>>()
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
            frames.extend(
                self.find_in(group, ids)
                    .map_err(|source| self.corrupt(&source))?,
            );
        }
        Ok(frames)
    }

    /// The row group that would hold an id.
    fn group_of(&self, id: &str) -> Option<usize> {
        self.first_ids
            .partition_point(|first| first.as_str() <= id)
            .checked_sub(1)
    }

    fn find_in(&self, group: usize, ids: &BTreeSet<&str>) -> PolarsResult<Option<DataFrame>> {
        let frame = self.decode(group, Some(&[ID]), None)?;
        let column = frame.column(ID)?.str()?;
        let wanted = |row: &usize| column.get(*row).is_some_and(|id| ids.contains(id));
        let mut hits = (0..column.len()).filter(wanted);
        let Some(first) = hits.next() else {
            return Ok(None);
        };
        let last = hits.next_back().unwrap_or(first);
        self.decode(group, None, Some(first..last + 1)).map(Some)
    }

    /// Decodes one row group, or the given rows of it, on the calling thread.
    fn decode(
        &self,
        group: usize,
        columns: Option<&[&str]>,
        rows: Option<Range<usize>>,
    ) -> PolarsResult<DataFrame> {
        let mut reader = ParquetReader::new(Cursor::new(self.bytes.as_ref()))
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

fn first_ids(footer: &FileMetadata) -> Vec<String> {
    let entries = footer.key_value_metadata.iter().flatten();
    entries
        .filter(|entry| entry.key == FIRST_IDS)
        .filter_map(|entry| entry.value.as_deref())
        .flat_map(|ids| ids.split(',').filter(|id| !id.is_empty()))
        .map(str::to_owned)
        .collect()
}
