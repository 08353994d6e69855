//! A Parquet file written row group by row group, each column encoded when it is asked for.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{self, BufWriter};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, OnceLock};

use polars::prelude::{PlSmallStr, PolarsError, PolarsResult};
use polars_arrow::array::{Array, BooleanArray, PrimitiveArray, Utf8ViewArray};
use polars_arrow::bitmap::Bitmap;
use polars_arrow::datatypes::{ArrowDataType, ArrowSchema, Field};
use polars_arrow::types::NativeType;
use polars_parquet::write::{
    CompressionOptions, DynIter, DynStreamingIterator, Encoding, FileWriter, KeyValue, ParquetType,
    StatisticsOptions, Version, WriteOptions, ZstdLevel, array_to_columns, schema_to_metadata_key,
    to_parquet_schema, write_def_levels,
};

use super::Layout;
use super::compress::{DraftPage, Judged, PageCompressor};
use super::doubles::DoublePage;
use crate::error::Error;

/// Rows of a page of doubles: a megabyte.
pub(super) const ROWS_OF_A_PAGE: usize = 131_072;

/// How pages are compressed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Codec {
    /// Zstandard, level 1; pages that it would make smaller by less than a fifth are stored in its frames as they are.
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

/// Which rows have a value; columns share it, and how it is written.
#[derive(Debug, Clone)]
pub struct Given {
    rows: Bitmap,
    levels: Arc<OnceLock<Vec<u8>>>,
}

impl FromIterator<bool> for Given {
    fn from_iter<I: IntoIterator<Item = bool>>(rows: I) -> Self {
        Self {
            rows: rows.into_iter().collect(),
            levels: Arc::default(),
        }
    }
}

impl Given {
    /// Which rows have a value.
    pub(super) fn rows(&self) -> &Bitmap {
        &self.rows
    }

    /// Some of the rows.
    pub(super) fn sliced(self, start: usize, rows: usize) -> Self {
        if start == 0 && rows == self.rows.len() {
            return self;
        }
        Self {
            rows: self.rows.sliced(start, rows),
            levels: Arc::default(),
        }
    }

    /// The levels of a page that has these rows: 1 for a value, 0 for none.
    pub(super) fn levels(&self, version: Version) -> PolarsResult<&[u8]> {
        if let Some(levels) = self.levels.get() {
            return Ok(levels);
        }
        let mut levels = Vec::new();
        write_def_levels(
            &mut levels,
            true,
            Some(&self.rows),
            self.rows.len(),
            version,
        )?;
        Ok(self.levels.get_or_init(|| levels))
    }
}

/// The values of a column in a row group, and which rows have one: all of them where none is
/// marked.
#[derive(Debug)]
pub enum Cells<'a> {
    /// Whole numbers, for columns of 32 or 64 bits.
    Integers(&'a [i64], Option<Given>),
    /// Numbers, for columns of single or double precision.
    Reals(&'a [f64], Option<Given>),
    /// True or false.
    Truths(&'a [bool], Option<Given>),
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
    /// For each column.
    judged: Vec<Judged>,
    /// Of the page that was written last.
    room: Mutex<Vec<u8>>,
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
                .map(|(key, text)| (PlSmallStr::from_str(key), PlSmallStr::from_str(text)))
                .collect();
            field.metadata = Some(Arc::new(notes)).filter(|notes| !notes.is_empty());
            (name, field)
        });
        let schema = fields.collect::<ArrowSchema>();
        // Text is encoded from views, but few readers know that type yet, and to the file it is all one.
        let mut annotated = schema.clone();
        for field in annotated.iter_values_mut() {
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
            judged: vec![Judged::default(); columns.len()],
            columns: columns.collect(),
            room: Mutex::default(),
            schema: schema_to_metadata_key(&annotated),
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
        let options = self.options;
        let columns = self.columns.iter().zip(&mut self.judged).enumerate();
        let pages = columns.map(|(at, (column, judged))| {
            let pages = pages(column, cells(at), options)?.into_iter();
            let compressed = PageCompressor::new(pages, options.compression, judged, &self.room);
            Ok(DynStreamingIterator::new(compressed))
        });
        let written = self.writer.write(rows as u64, DynIter::new(pages));
        written.map_err(|error| failed(&self.path, error))
    }

    /// Writes the footer.
    pub fn finish(mut self) -> Result<WrittenFile, Error> {
        let ended = self.writer.end(Some(vec![self.schema]));
        ended.map_err(|error| failed(&self.path, error))?;
        match self.writer.into_inner().into_inner() {
            Ok(file) => Ok(WrittenFile {
                path: self.path,
                file,
            }),
            Err(error) => Err(Error::io("write", &self.path, error.into_error())),
        }
    }
}

/// A file that is written, but may not be on the disk yet.
#[derive(Debug)]
#[must_use = "a power cut may take it"]
pub struct WrittenFile {
    path: PathBuf,
    file: File,
}

impl WrittenFile {
    /// Waits until all of it is on the disk.
    pub fn sync(&self) -> Result<(), Error> {
        let synced = self.file.sync_all();
        synced.map_err(|source| Error::io("write", &self.path, source))
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }
}

/// The pages of a column.
fn pages<'a>(
    (kind, layout, encoding): &(ParquetType, Layout, Encoding),
    cells: Cells<'a>,
    options: WriteOptions,
) -> PolarsResult<Vec<PolarsResult<DraftPage<'a>>>> {
    if let (Cells::Reals(values, given), Encoding::Plain, ParquetType::PrimitiveType(of)) =
        (&cells, encoding, kind)
        && *layout == Layout::Double
    {
        let of_rows = |start| DoublePage::of(values, given.as_ref(), start, of, options.version);
        let starts = (0..values.len()).step_by(ROWS_OF_A_PAGE);
        return Ok(starts
            .map(|start| of_rows(start).map(DraftPage::Doubles))
            .collect());
    }
    let array = array(cells, *layout);
    // A column without a value has no use for a dictionary.
    let encoding = if array.null_count() == array.len() {
        Encoding::Plain
    } else {
        *encoding
    };
    let leaves = array_to_columns(array, kind.clone(), options, &[encoding])?;
    let pages = leaves.into_iter().flatten();
    Ok(pages.map(|page| page.map(DraftPage::Encoded)).collect())
}

fn failed(path: &Path, error: PolarsError) -> Error {
    Error::io("write", path, io::Error::other(error))
}

/// Without statistics: the encoder has but a count of nulls for some columns, which engines take
/// for a column without a value, and then they find no row in it.
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
    given: Option<Given>,
) -> Box<dyn Array> {
    PrimitiveArray::new(kind, rows.into(), bitmap(given)).boxed()
}

fn bitmap(given: Option<Given>) -> Option<Bitmap> {
    let given = given.map(|given| given.rows);
    given.filter(|given| given.unset_bits() > 0)
}
