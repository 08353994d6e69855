//! A Parquet file opened for reading.

use std::fs::File;
use std::io::{Cursor, Read, Seek, SeekFrom};
use std::ops::Range;
use std::path::{Path, PathBuf};

use polars_arrow::array::{Array, BooleanArray, PrimitiveArray};
use polars_arrow::bitmap::Bitmap;
use polars_arrow::bitmap::utils::SlicesIterator;
use polars_arrow::datatypes::{ArrowDataType, Field as ArrowField};
use polars_arrow::types::NativeType;
use polars_parquet::parquet::statistics::Statistics;
use polars_parquet::read::{
    BasicDecompressor, ColumnChunkMetadata, FileMetadata, Filter, PageReader, ParquetType,
    PhysicalType, PrimitiveConvertedType, PrimitiveLogicalType, column_iter_to_arrays,
    read_metadata,
};

use super::{Coded, ColumnKind};
use crate::digest::sha256;
use crate::error::Error;

/// A column of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Field {
    /// Its name.
    pub name: String,
    /// The type of its values.
    pub kind: ColumnKind,
}

/// The least or the greatest value of a column in a row group.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Bound {
    /// Of whole numbers.
    Integer(i64),
    /// Of text, by its bytes.
    Text(String),
}

/// The values of some rows of a column.
#[derive(Debug, Clone)]
pub struct Values<T> {
    /// A value for each row; where none is given, any.
    pub values: Vec<T>,
    given: Option<Bitmap>,
}

impl<T: Copy> Values<T> {
    /// A value for each row that has one.
    pub fn of(rows: &[Option<T>], any: T) -> Self {
        let given = rows.iter().map(Option::is_some).collect::<Bitmap>();
        Self {
            values: rows.iter().map(|row| row.unwrap_or(any)).collect(),
            given: Some(given).filter(|given| given.unset_bits() > 0),
        }
    }

    /// The value of a row, if it has one.
    pub fn get(&self, row: usize) -> Option<T> {
        let value = *self.values.get(row)?;
        self.is_given(row).then_some(value)
    }

    /// The values, with `none` where none is given.
    pub fn or(mut self, none: T) -> Vec<T> {
        let Some(given) = &self.given else {
            return self.values;
        };
        let ends = [(self.values.len(), 0)];
        let mut last = 0;
        for (start, length) in SlicesIterator::new(given).chain(ends) {
            let lacking = self.values.get_mut(last..start);
            lacking.unwrap_or_default().fill(none);
            last = start + length;
        }
        self.values
    }

    /// Whether a row has a value.
    pub fn is_given(&self, row: usize) -> bool {
        self.given
            .as_ref()
            .is_none_or(|given| given.get(row).unwrap_or(false))
    }

    /// Whether every row has one.
    pub fn all_given(&self) -> bool {
        self.given.is_none()
    }
}

/// One opened file.
#[derive(Debug)]
pub struct ParquetReader {
    path: PathBuf,
    file: File,
    bytes: u64,
    footer: FileMetadata,
}

impl ParquetReader {
    /// Opens a file and reads its footer.
    ///
    /// Errors: the system's own; or it is not a Parquet file.
    pub fn open(path: &Path) -> Result<Self, Error> {
        let failed = |source| Error::io("read", path, source);
        let mut file = File::open(path).map_err(failed)?;
        let bytes = file.metadata().map_err(failed)?.len();
        let footer = read_metadata(&mut file).map_err(|error| Error::table(path, &error))?;
        Ok(Self {
            path: path.to_owned(),
            file,
            bytes,
            footer,
        })
    }

    /// The file.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Its length in bytes.
    pub fn bytes(&self) -> u64 {
        self.bytes
    }

    /// SHA-256 of the footer, which names the place of every page.
    pub fn footer_sha256(&self) -> String {
        sha256(&self.footer.footer_buf)
    }

    /// Its columns.
    pub fn fields(&self) -> Vec<Field> {
        let fields = self.footer.schema_descr.fields().iter();
        fields
            .map(|field| Field {
                name: field.get_field_info().name.to_string(),
                kind: kind_of(field),
            })
            .collect()
    }

    /// How many rows each row group has.
    pub fn groups(&self) -> Vec<usize> {
        let groups = self.footer.row_groups.iter();
        groups
            .map(polars_parquet::read::RowGroupMetadata::num_rows)
            .collect()
    }

    /// The least and the greatest value of a column in a row group; `None` where the footer does not say.
    pub fn bounds(&self, group: usize, column: &str) -> Option<(Bound, Bound)> {
        let chunk = self.chunk(group, column)?;
        let statistics = chunk.statistics(&self.footer.footer_buf)?.ok()?;
        let text = |bytes: Option<Vec<u8>>| String::from_utf8(bytes?).ok().map(Bound::Text);
        match statistics {
            Statistics::Int32(of) => Some((
                Bound::Integer(of.min_value?.into()),
                Bound::Integer(of.max_value?.into()),
            )),
            Statistics::Int64(of) => {
                Some((Bound::Integer(of.min_value?), Bound::Integer(of.max_value?)))
            }
            // Text may be cut off in a footer, so it need not be a value of the column.
            Statistics::Binary(of) => Some((text(of.min_value)?, text(of.max_value)?)),
            _ => None,
        }
    }

    /// Whole numbers.
    pub fn integers(
        &self,
        group: usize,
        column: &str,
        rows: Range<usize>,
    ) -> Result<Values<i64>, Error> {
        match self.physical(group, column)? {
            PhysicalType::Int32 => {
                let narrow = self.primitives::<i32>(group, column, rows, ArrowDataType::Int32)?;
                Ok(Values {
                    values: narrow.values.into_iter().map(i64::from).collect(),
                    given: narrow.given,
                })
            }
            _ => self.primitives(group, column, rows, ArrowDataType::Int64),
        }
    }

    /// Numbers, whole ones among them.
    pub fn reals(
        &self,
        group: usize,
        column: &str,
        rows: Range<usize>,
    ) -> Result<Values<f64>, Error> {
        match self.physical(group, column)? {
            PhysicalType::Float => {
                let single = self.primitives::<f32>(group, column, rows, ArrowDataType::Float32)?;
                Ok(Values {
                    values: single.values.into_iter().map(f64::from).collect(),
                    given: single.given,
                })
            }
            PhysicalType::Int32 | PhysicalType::Int64 => {
                let whole = self.integers(group, column, rows)?;
                Ok(Values {
                    values: whole.values.into_iter().map(|whole| whole as f64).collect(),
                    given: whole.given,
                })
            }
            _ => self.primitives(group, column, rows, ArrowDataType::Float64),
        }
    }

    /// True or false.
    pub fn truths(
        &self,
        group: usize,
        column: &str,
        rows: Range<usize>,
    ) -> Result<Values<bool>, Error> {
        let arrays = self.arrays(group, column, rows, ArrowDataType::Boolean)?;
        let all = arrays
            .iter()
            .filter_map(|array| array.as_any().downcast_ref::<BooleanArray>());
        let rows: Vec<Option<bool>> = all.flat_map(BooleanArray::iter).collect();
        Ok(Values::of(&rows, false))
    }

    /// Text.
    pub fn text(&self, group: usize, column: &str, rows: Range<usize>) -> Result<Coded, Error> {
        let pages = self.pages(group, column)?;
        let coded = Coded::of_dictionary(pages, &rows);
        if let Some(coded) = coded.map_err(|error| Error::table(&self.path, &error))? {
            return Ok(coded);
        }
        let arrays = self.arrays(group, column, rows, ArrowDataType::Utf8View)?;
        Ok(Coded::of_arrays(&arrays))
    }

    fn primitives<T: NativeType>(
        &self,
        group: usize,
        column: &str,
        rows: Range<usize>,
        kind: ArrowDataType,
    ) -> Result<Values<T>, Error> {
        let mut arrays = self.arrays(group, column, rows, kind)?;
        let wrong = || Error::table(&self.path, &format!("column “{column}” is of another type"));
        let (Some(mut array), true) = (arrays.pop(), arrays.is_empty()) else {
            return Err(wrong());
        };
        let array = array.as_any_mut().downcast_mut::<PrimitiveArray<T>>();
        let array = array.ok_or_else(wrong)?;
        let empty = PrimitiveArray::new_empty(array.dtype().clone());
        let (_, values, given) = std::mem::replace(array, empty).into_inner();
        Ok(Values {
            values: values
                .into_mut()
                .right_or_else(|shared| shared.as_slice().to_vec()),
            given: given.filter(|given| given.unset_bits() > 0),
        })
    }

    fn arrays(
        &self,
        group: usize,
        column: &str,
        rows: Range<usize>,
        kind: ArrowDataType,
    ) -> Result<Vec<Box<dyn Array>>, Error> {
        let pages = self.pages(group, column)?;
        let chunk = self.chunk_or_error(group, column)?;
        let kind_in_file = &chunk.descriptor().descriptor.primitive_type;
        let field = ArrowField::new(column.into(), kind, true);
        let filter = Filter::new_ranged(rows.start, rows.end);
        let decoded = column_iter_to_arrays(vec![pages], vec![kind_in_file], field, Some(filter));
        let (arrays, _) = decoded.map_err(|error| Error::table(&self.path, &error))?;
        Ok(arrays)
    }

    fn pages(&self, group: usize, column: &str) -> Result<BasicDecompressor, Error> {
        let chunk = self.chunk_or_error(group, column)?;
        let range = chunk.byte_range();
        let length = range.end.saturating_sub(range.start);
        if range.end > self.bytes {
            let problem = "its footer names bytes beyond its end";
            return Err(Error::table(&self.path, &problem));
        }
        let mut bytes = vec![0; usize::try_from(length).unwrap_or(usize::MAX)];
        let mut file = &self.file;
        let read = file.seek(SeekFrom::Start(range.start));
        let read = read.and_then(|_| file.read_exact(&mut bytes));
        read.map_err(|source| Error::io("read", &self.path, source))?;
        let pages = PageReader::new(Cursor::new(bytes.into()), chunk, Vec::new(), usize::MAX);
        Ok(BasicDecompressor::new(pages, Vec::new()))
    }

    fn physical(&self, group: usize, column: &str) -> Result<PhysicalType, Error> {
        Ok(self.chunk_or_error(group, column)?.physical_type())
    }

    fn chunk(&self, group: usize, column: &str) -> Option<&ColumnChunkMetadata> {
        let group = self.footer.row_groups.get(group)?;
        group.columns_under_root_iter(column)?.next()
    }

    fn chunk_or_error(&self, group: usize, column: &str) -> Result<&ColumnChunkMetadata, Error> {
        self.chunk(group, column)
            .ok_or_else(|| Error::table(&self.path, &format!("it has no column “{column}”")))
    }
}

fn kind_of(field: &ParquetType) -> ColumnKind {
    let ParquetType::PrimitiveType(of) = field else {
        return ColumnKind::Other("a group".into());
    };
    let logical = &of.logical_type;
    match (&of.physical_type, &of.converted_type) {
        (PhysicalType::Boolean, _) => ColumnKind::Truth,
        (PhysicalType::Float | PhysicalType::Double, _) => ColumnKind::Real,
        (PhysicalType::Int32 | PhysicalType::Int64, None)
            if matches!(logical, None | Some(PrimitiveLogicalType::Integer(_))) =>
        {
            ColumnKind::Integer
        }
        (
            PhysicalType::Int32 | PhysicalType::Int64,
            Some(
                PrimitiveConvertedType::Int8
                | PrimitiveConvertedType::Int16
                | PrimitiveConvertedType::Int32
                | PrimitiveConvertedType::Int64,
            ),
        ) => ColumnKind::Integer,
        (PhysicalType::ByteArray, Some(PrimitiveConvertedType::Utf8)) => ColumnKind::Text,
        (PhysicalType::ByteArray, _) if matches!(logical, Some(PrimitiveLogicalType::String)) => {
            ColumnKind::Text
        }
        (physical, _) => ColumnKind::Other(format!("{physical:?}")),
    }
}
