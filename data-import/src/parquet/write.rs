//! A Parquet file written row group by row group, each column encoded when it is asked for.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{self, BufWriter};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use polars::prelude::{PlSmallStr, PolarsError, PolarsResult};
use polars_arrow::array::{Array, BooleanArray, PrimitiveArray, Utf8ViewArray};
use polars_arrow::bitmap::Bitmap;
use polars_arrow::datatypes::{ArrowDataType, ArrowSchema, Field};
use polars_arrow::types::NativeType;
use polars_parquet::parquet::error::ParquetError;
use polars_parquet::write::{
    CompressionOptions, Compressor, DynIter, DynStreamingIterator, Encoding,
    FallibleStreamingIterator, FileWriter, KeyValue, ParquetType, StatisticsOptions, Version,
    WriteOptions, ZstdLevel, array_to_columns, schema_to_metadata_key, to_parquet_schema,
};

use super::Layout;
use crate::error::Error;

/// How pages are compressed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Codec {
    /// Zstandard, level 1.
    Zstd,
    /// LZ4.
    Lz4,
    /// Not at all.
    None,
}

/// A column of a file to be written.
#[derive(Debug, Clone)]
pub struct WrittenColumn {
    /// Its name.
    pub name: String,
    /// How its values are laid out.
    pub layout: Layout,
    /// Whether its rows are sorted by it: whole numbers are then written as differences.
    pub sorted: bool,
    /// Whether few different values stand in it.
    pub few: bool,
    /// Metadata of the column in the schema, such as its unit and source.
    pub notes: BTreeMap<String, String>,
}

/// The values of a column in a row group; `given` says which rows have one, all of them where it is `None`.
#[derive(Debug)]
pub enum Cells<'a> {
    /// Whole numbers, for columns of 32 or 64 bits.
    Integers(&'a [i64], Option<Vec<bool>>),
    /// Numbers, for columns of single or double precision.
    Reals(&'a [f64], Option<Vec<bool>>),
    /// True or false.
    Truths(&'a [bool], Option<Vec<bool>>),
    /// Text.
    Text(Vec<Option<&'a str>>),
}

/// A file that is written.
pub struct ParquetWriter {
    path: PathBuf,
    writer: FileWriter<BufWriter<File>>,
    /// The schema in the footer.
    schema: KeyValue,
    columns: Vec<(ParquetType, Layout, Encoding)>,
    options: WriteOptions,
}

impl std::fmt::Debug for ParquetWriter {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("ParquetWriter")
            .field("path", &self.path)
            .finish_non_exhaustive()
    }
}

impl ParquetWriter {
    /// Begins a file at `path`, in place of one that is there.
    pub fn create(path: &Path, columns: &[WrittenColumn], codec: Codec) -> Result<Self, Error> {
        let file = File::create(path).map_err(|source| Error::io("write", path, source))?;
        Self::begin(path, file, columns, codec).map_err(|error| failed(path, error))
    }

    fn begin(
        path: &Path,
        file: File,
        columns: &[WrittenColumn],
        codec: Codec,
    ) -> PolarsResult<Self> {
        let fields = columns.iter().map(|column| {
            let name = PlSmallStr::from_str(&column.name);
            let mut field = Field::new(name.clone(), arrow_type(column.layout), true);
            let notes = column.notes.iter();
            let notes: BTreeMap<PlSmallStr, PlSmallStr> = notes
                .map(|(key, said)| (PlSmallStr::from_str(key), PlSmallStr::from_str(said)))
                .collect();
            field.metadata = Some(Arc::new(notes)).filter(|notes| !notes.is_empty());
            (name, field)
        });
        let schema = fields.collect::<ArrowSchema>();
        // Text is encoded from views, but few readers know that type yet, and to the file it is all one.
        let mut said = schema.clone();
        for field in said.iter_values_mut() {
            if field.dtype == ArrowDataType::Utf8View {
                field.dtype = ArrowDataType::Utf8;
            }
        }
        let options = options(codec)?;
        let types = to_parquet_schema(&schema)?.fields().to_vec();
        let columns = types.into_iter().zip(columns);
        let columns = columns.map(|(kind, column)| (kind, column.layout, encoding(column)));
        Ok(Self {
            path: path.to_owned(),
            columns: columns.collect(),
            schema: schema_to_metadata_key(&said),
            options,
            writer: FileWriter::try_new(BufWriter::with_capacity(1 << 18, file), schema, options)?,
        })
    }

    /// Appends a row group; `cells` gives the values of the column at a place, asked for one after another.
    pub fn write<'a>(
        &mut self,
        rows: usize,
        cells: impl Fn(usize) -> Cells<'a> + Sync,
    ) -> Result<(), Error> {
        let pages = self.columns.iter().enumerate().map(|(at, column)| {
            let (kind, layout, encoding) = column;
            let array = array(cells(at), *layout);
            // A column without a value has no use for a dictionary.
            let encoding = if array.null_count() == array.len() {
                Encoding::Plain
            } else {
                *encoding
            };
            let leaves = array_to_columns(array, kind.clone(), self.options, &[encoding])?;
            let pages = leaves.into_iter().flatten();
            let pages = pages.map(|page| page.map_err(|e| ParquetError::OutOfSpec(e.to_string())));
            let pages = pages.collect::<Vec<_>>().into_iter();
            let compressed = Compressor::new(pages, self.options.compression, Vec::new());
            Ok(DynStreamingIterator::new(
                compressed.map_err(PolarsError::from),
            ))
        });
        let written = self.writer.write(rows as u64, DynIter::new(pages));
        written.map_err(|error| failed(&self.path, error))
    }

    /// Writes the footer, and sees to it that all of it is on the disk.
    pub fn finish(mut self) -> Result<(), Error> {
        let ended = self.writer.end(Some(vec![self.schema]));
        ended.map_err(|error| failed(&self.path, error))?;
        let synced = self.writer.into_inner().into_inner();
        let synced = synced.map_err(io::IntoInnerError::into_error);
        let synced = synced.and_then(|file| file.sync_all());
        synced.map_err(|source| Error::io("write", &self.path, source))
    }
}

fn failed(path: &Path, error: PolarsError) -> Error {
    Error::io("write", path, io::Error::other(error))
}

/// Without statistics: the encoder has but a count of nulls for some columns, which engines take for a column without a value, and then they
/// find no row in it.
fn options(codec: Codec) -> PolarsResult<WriteOptions> {
    Ok(WriteOptions {
        statistics: StatisticsOptions::empty(),
        version: Version::V1,
        compression: match codec {
            Codec::Zstd => CompressionOptions::Zstd(Some(ZstdLevel::try_new(1)?)),
            Codec::Lz4 => CompressionOptions::Lz4Raw,
            Codec::None => CompressionOptions::Uncompressed,
        },
        data_page_size: None,
    })
}

fn arrow_type(layout: Layout) -> ArrowDataType {
    match layout {
        Layout::Int32 => ArrowDataType::Int32,
        Layout::Int64 => ArrowDataType::Int64,
        Layout::Double => ArrowDataType::Float64,
        Layout::Float => ArrowDataType::Float32,
        Layout::Boolean => ArrowDataType::Boolean,
        Layout::String => ArrowDataType::Utf8View,
    }
}

fn encoding(column: &WrittenColumn) -> Encoding {
    match column.layout {
        Layout::Int64 if column.sorted => Encoding::DeltaBinaryPacked,
        Layout::Boolean => Encoding::Plain,
        _ if column.few => Encoding::RleDictionary,
        _ => Encoding::Plain,
    }
}

fn array(cells: Cells<'_>, layout: Layout) -> Box<dyn Array> {
    match (cells, layout) {
        (Cells::Integers(rows, given), Layout::Int32) => {
            // Figures of this layout are counts and codes, far below the bound.
            let narrow = rows
                .iter()
                .map(|row| i32::try_from(*row).unwrap_or(i32::MAX));
            primitive(narrow.collect(), ArrowDataType::Int32, given)
        }
        (Cells::Integers(rows, given), _) => primitive(rows.to_vec(), ArrowDataType::Int64, given),
        (Cells::Reals(rows, given), Layout::Float) => {
            #[expect(
                clippy::cast_possible_truncation,
                reason = "single precision was asked for"
            )]
            let single = rows.iter().map(|row| *row as f32).collect();
            primitive(single, ArrowDataType::Float32, given)
        }
        (Cells::Reals(rows, given), _) => primitive(rows.to_vec(), ArrowDataType::Float64, given),
        (Cells::Truths(rows, given), _) => {
            let rows = rows.iter().copied().collect::<Bitmap>();
            BooleanArray::new(ArrowDataType::Boolean, rows, bitmap(given)).boxed()
        }
        (Cells::Text(rows), _) => Utf8ViewArray::from_slice(rows).boxed(),
    }
}

fn primitive<T: NativeType>(
    rows: Vec<T>,
    kind: ArrowDataType,
    given: Option<Vec<bool>>,
) -> Box<dyn Array> {
    PrimitiveArray::new(kind, rows.into(), bitmap(given)).boxed()
}

fn bitmap(given: Option<Vec<bool>>) -> Option<Bitmap> {
    let given = given.map(|given| given.into_iter().collect::<Bitmap>());
    given.filter(|given| given.unset_bits() > 0)
}
