//! Parquet files of any size, read and written row group by row group, a column at a time. What a
//! caller gets and gives are plain vectors; the types of Polars stay in here.

mod coded;
mod column_chunk;
mod compact;
mod compress;
mod doubles;
mod footer;
mod read;
mod runs;
mod write;

pub(crate) use column_chunk::{ColumnChunk, TextColumn};
pub(crate) use footer::{Footer, FooterColumn, GroupLayout, StoredValues};

pub use coded::{Coded, NOT_GIVEN};
pub use read::{Bound, Field, ParquetReader, Values};
pub use write::{Cells, Codec, Given, ParquetWriter, WrittenColumn, WrittenFile};

/// The type of the values of a column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ColumnKind {
    /// Whole numbers of 32 or 64 bits.
    Integer,
    /// Floating-point numbers.
    Real,
    /// Text.
    Text,
    /// True or false.
    Truth,
    /// Anything else, in the words of the format.
    Other(String),
}

/// How a number is laid out in the file that is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Layout {
    /// INT32.
    Int32,
    /// INT64.
    Int64,
    /// DOUBLE.
    Double,
    /// FLOAT.
    Float,
    /// BOOLEAN.
    Boolean,
    /// STRING.
    String,
}
