//! The columns of a table, and row groups encoded on whichever thread has the rows.

use polars::prelude::{PlSmallStr, PolarsResult};
use polars_arrow::array::{Array, DictionaryArray, PrimitiveArray, Utf8ViewArray};
use polars_arrow::bitmap::Bitmap;
use polars_arrow::datatypes::{ArrowDataType, ArrowSchema, Field, IntegerType};
use polars_parquet::write::{
    CompressedPage, CompressionOptions, Encoding, Page, ParquetType, StatisticsOptions, Version,
    WriteOptions, array_to_columns, compress, to_parquet_schema,
};

/// A column of fewer bytes is not compressed: that would take longer than all else, and save little.
const SHORT: usize = 512;

/// A column of one row group.
pub(crate) type Cells = Box<dyn Array>;

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// Text of which rows have much in common.
    Text,
    /// Text that is another in nearly every row.
    Name,
    Number,
    Count,
}

impl Kind {
    fn data_type(self) -> ArrowDataType {
        match self {
            Self::Text | Self::Name => ArrowDataType::Utf8View,
            Self::Number => ArrowDataType::Float64,
            Self::Count => ArrowDataType::UInt32,
        }
    }

    fn encoding(self) -> Encoding {
        match self {
            Self::Name => Encoding::Plain,
            Self::Text | Self::Number | Self::Count => Encoding::RleDictionary,
        }
    }
}

/// How much is made of the room a table takes, against the time to read a few foods of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Packing {
    /// A table that becomes part of the program: its bytes are there without being read, so a food
    /// is found without unpacking the others of its group. Measured for two foods of 8,789, whole
    /// command: a sixth fewer instructions than with LZ4, for 3.3 MB more of the program.
    None,
    /// LZ4, for a table in a cache folder: measured, four foods of 8,789 take 1.7 ms, and four
    /// times as long with Zstandard. Of a table of 500,000 packets a whole command for one takes 9
    /// ms in place of 12, and the import 7 % less, for a file of 36 MB in place of 26.
    Fast,
}

/// How a table is laid out in its file.
#[derive(Debug, Clone)]
pub(crate) struct Shape {
    pub(super) schema: ArrowSchema,
    pub(super) options: WriteOptions,
    types: Vec<(ParquetType, Encoding)>,
}

/// A row group, ready to be written.
#[derive(Debug)]
pub(crate) struct RowGroup {
    pub(super) first_id: String,
    pub(super) rows: usize,
    pub(super) columns: Vec<Vec<CompressedPage>>,
}

impl Shape {
    /// Columns by name.
    pub(crate) fn new<'a>(
        columns: impl Iterator<Item = (&'a str, Kind)>,
        packing: Packing,
    ) -> PolarsResult<Self> {
        let mut encodings = Vec::new();
        let fields = columns.map(|(name, kind)| {
            let name = PlSmallStr::from_str(name);
            encodings.push(kind.encoding());
            (name.clone(), Field::new(name, kind.data_type(), true))
        });
        let schema = fields.collect::<ArrowSchema>();
        let types = to_parquet_schema(&schema)?.fields().to_vec();
        let types = types.into_iter().zip(encodings).collect();
        let compression = match packing {
            Packing::None => CompressionOptions::Uncompressed,
            Packing::Fast => CompressionOptions::Lz4Raw,
        };
        let options = WriteOptions {
            statistics: StatisticsOptions::empty(),
            version: Version::V1,
            compression,
            data_page_size: None,
        };
        Ok(Self {
            schema,
            options,
            types,
        })
    }

    /// Encodes and compresses the rows of one row group, a column each.
    pub(crate) fn encode(&self, first_id: &str, columns: &[Cells]) -> PolarsResult<RowGroup> {
        let rows = columns.first().map_or(0, |cells| cells.len());
        // A row group without rows is not written.
        let columns = if rows == 0 { &[] } else { columns };
        let encoded = self.types.iter().zip(columns);
        let encoded = encoded.map(|(kind, cells)| self.column(kind, cells));
        Ok(RowGroup {
            first_id: first_id.to_owned(),
            rows,
            columns: encoded.collect::<PolarsResult<_>>()?,
        })
    }

    fn column(
        &self,
        (kind, encoding): &(ParquetType, Encoding),
        cells: &Cells,
    ) -> PolarsResult<Vec<CompressedPage>> {
        // A column without a value has no use for a dictionary.
        let encoding = if cells.null_count() == cells.len() {
            Encoding::Plain
        } else {
            *encoding
        };
        let leaves = array_to_columns(cells, kind.clone(), self.options, &[encoding])?;
        let pages = leaves.into_iter().flatten();
        let pages = pages.collect::<PolarsResult<Vec<_>>>()?;
        let bytes = pages.iter().map(bytes).sum::<usize>();
        let compression = if bytes < SHORT {
            CompressionOptions::Uncompressed
        } else {
            self.options.compression
        };
        let pages = pages.into_iter();
        let pages = pages.map(|page| Ok(compress(page, Vec::new(), compression)?));
        pages.collect()
    }
}

fn bytes(page: &Page) -> usize {
    match page {
        Page::Data(page) => page.buffer().len(),
        Page::Dict(page) => page.buffer.len(),
    }
}

/// A column of numbers in which no row has one.
pub(crate) fn no_numbers(rows: usize) -> Cells {
    PrimitiveArray::<f64>::new_null(ArrowDataType::Float64, rows).boxed()
}

/// A column of counts in which no row has one.
pub(crate) fn no_counts(rows: usize) -> Cells {
    PrimitiveArray::<u32>::new_null(ArrowDataType::UInt32, rows).boxed()
}

/// A column of text in which no row has one.
pub(crate) fn no_texts(rows: usize) -> Cells {
    Utf8ViewArray::new_null(ArrowDataType::Utf8View, rows).boxed()
}

/// A column of text.
pub(crate) fn text<T: AsRef<str>>(rows: &[T]) -> Cells {
    Utf8ViewArray::from_slice_values(rows).boxed()
}

/// A column of numbers.
pub(crate) fn numbers(rows: &[Option<f64>]) -> Cells {
    PrimitiveArray::<f64>::from(rows).boxed()
}

/// A column of counts.
pub(crate) fn counts(rows: &[Option<u32>]) -> Cells {
    PrimitiveArray::<u32>::from(rows).boxed()
}

/// A column of amounts, NaN where there is none.
pub(crate) fn amounts(rows: &[f64]) -> Cells {
    let given = rows.iter().map(|amount| !amount.is_nan());
    let given = Some(given.collect::<Bitmap>()).filter(|given| given.unset_bits() > 0);
    PrimitiveArray::new(ArrowDataType::Float64, rows.to_vec().into(), given).boxed()
}

/// A column of few different words: each row is the place of its word.
pub(crate) fn words<T: AsRef<str>>(words: &[T], rows: Vec<u32>) -> PolarsResult<Cells> {
    few(text(words), rows)
}

/// A column of few different counts: each row is the place of its count.
pub(crate) fn few_counts(few_counts: &[Option<u32>], rows: Vec<u32>) -> PolarsResult<Cells> {
    few(counts(few_counts), rows)
}

fn few(values: Cells, rows: Vec<u32>) -> PolarsResult<Cells> {
    let kind = Box::new(values.dtype().clone());
    let kind = ArrowDataType::Dictionary(IntegerType::UInt32, kind, false);
    let keys = PrimitiveArray::<u32>::from_vec(rows);
    Ok(DictionaryArray::try_new(kind, keys, values)?.boxed())
}
