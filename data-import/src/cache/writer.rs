//! A Parquet file written row group by row group, with the SHA-256 of each in its footer.

use std::cell::RefCell;
use std::fs::File;
use std::io::{self, BufWriter, Write};
use std::path::Path;
use std::rc::Rc;

use polars::prelude::{PolarsError, PolarsResult};
use polars_parquet::write::{
    DynIter, DynStreamingIterator, FileWriter, KeyValue, fallible_streaming_iterator,
    schema_to_metadata_key,
};

use super::columns::ROW_GROUPS;
use super::shape::{RowGroup, Shape};
use crate::digest::{Digesting, Hasher};
use crate::durable_file::DurableFile;
use crate::error::Error;
use crate::manifest::TableFile;

/// The file, digested as a whole and part by part.
struct Sink {
    file: Digesting<BufWriter<DurableFile>>,
    part: Hasher,
}

impl Write for Sink {
    fn write(&mut self, buffer: &[u8]) -> io::Result<usize> {
        let count = self.file.write(buffer)?;
        self.part.update(buffer.get(..count).unwrap_or_default());
        Ok(count)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}

/// The Parquet writer keeps its sink to itself, so it is given a handle.
#[derive(Clone)]
struct Handle(Rc<RefCell<Sink>>);

impl Write for Handle {
    fn write(&mut self, buffer: &[u8]) -> io::Result<usize> {
        self.0.borrow_mut().write(buffer)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.0.borrow_mut().flush()
    }
}

/// Writes one table.
pub(crate) struct TableWriter {
    sink: Handle,
    writer: FileWriter<Handle>,
    index: String,
    rows: u64,
}

impl TableWriter {
    /// Writes into an empty file.
    pub(crate) fn new(file: File, shape: &Shape) -> PolarsResult<Self> {
        let sink = Handle(Rc::new(RefCell::new(Sink {
            file: Digesting::new(BufWriter::with_capacity(1 << 18, DurableFile::new(file))),
            part: Hasher::default(),
        })));
        let writer = FileWriter::try_new(sink.clone(), shape.schema.clone(), shape.options)?;
        Ok(Self {
            sink,
            writer,
            index: String::new(),
            rows: 0,
        })
    }

    /// Appends a row group; its ids come after those before it. One without rows is left out.
    pub(crate) fn write(&mut self, group: &RowGroup) -> PolarsResult<()> {
        if group.rows == 0 {
            return Ok(());
        }
        let start = self.sink.0.borrow().file.count();
        let columns = group.columns.iter().map(|pages| {
            Ok(DynStreamingIterator::new(
                fallible_streaming_iterator::convert(pages.iter().map(PolarsResult::Ok)),
            ))
        });
        self.writer
            .write(group.rows as u64, DynIter::new(columns))?;
        let mut sink = self.sink.0.borrow_mut();
        let bytes = sink.file.count() - start;
        let sha256 = sink.part.finish_part();
        let line = format!("{} {start} {bytes} {sha256}\n", group.first_id);
        self.index.push_str(&line);
        self.rows += group.rows as u64;
        Ok(())
    }

    /// Writes the footer; `name` is the name the file will have. Returns the file, to be synced;
    /// or the error, before it that of the last write.
    pub(crate) fn finish(
        mut self,
        name: &str,
    ) -> Result<(File, TableFile), (Option<io::Error>, PolarsError)> {
        match self.end(name) {
            Ok(ended) => Ok(ended),
            Err(error) => Err((self.take_failure(), error)),
        }
    }

    fn end(&mut self, name: &str) -> PolarsResult<(File, TableFile)> {
        let start = self.sink.0.borrow().file.count();
        let index = KeyValue {
            key: ROW_GROUPS.to_owned(),
            value: Some(std::mem::take(&mut self.index)),
        };
        let schema = schema_to_metadata_key(self.writer.schema());
        self.writer.end(Some(vec![schema, index]))?;
        let mut sink = self.sink.0.borrow_mut();
        sink.flush()?;
        let bytes = sink.file.count();
        let table = TableFile {
            name: name.to_owned(),
            rows: self.rows,
            bytes,
            sha256: sink.file.sha256(),
            footer_bytes: bytes - start,
            footer_sha256: sink.part.finish_part(),
        };
        let file = sink.file.get_ref().get_ref().file().try_clone()?;
        Ok((file, table))
    }

    /// The error of the last write that failed, which the encoder hides in one of its own.
    pub(crate) fn take_failure(&mut self) -> Option<io::Error> {
        self.sink.0.borrow_mut().file.take_failure()
    }
}

/// An error of the encoder as one of the file at `path`.
pub(crate) fn failed(path: &Path, failure: Option<io::Error>, error: PolarsError) -> Error {
    Error::io(
        "write",
        path,
        failure.unwrap_or_else(|| io::Error::other(error)),
    )
}
