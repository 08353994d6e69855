//! Pages of doubles as they are, of which a run writes far more than of anything else.

use polars::prelude::PolarsResult;
use polars_arrow::bitmap::utils::SlicesIterator;
use polars_parquet::parquet::CowBuffer;
use polars_parquet::parquet::metadata::Descriptor;
use polars_parquet::parquet::page::{DataPage, DataPageHeader, DataPageHeaderV1};
use polars_parquet::parquet::schema::types::PrimitiveType;
use polars_parquet::write::{Encoding, Version, write_def_levels};

use super::write::{Given, ROWS_OF_A_PAGE};

/// The number of doubles that are laid out as bytes at once.
const TOGETHER: usize = 256;

/// A page of doubles that is not laid out yet, so that its bytes can go to where they belong at once.
#[derive(Debug)]
pub(super) struct DoublePage<'a> {
    values: &'a [f64],
    /// Which of them are given, where not all are.
    given: Option<Given>,
    /// How the page says which are given: a level for each row, run-length encoded.
    levels: Vec<u8>,
    header: DataPageHeader,
    pub(super) descriptor: Descriptor,
}

impl<'a> DoublePage<'a> {
    /// The page that begins at a row.
    pub(super) fn of(
        values: &'a [f64],
        given: Option<&Given>,
        start: usize,
        kind: &PrimitiveType,
        version: Version,
    ) -> PolarsResult<Self> {
        let rows = values.len().min(start + ROWS_OF_A_PAGE) - start;
        let values = values.get(start..start + rows).unwrap_or_default();
        let given = given.map(|given| given.clone().sliced(start, rows));
        let given = given.filter(|given| given.rows().unset_bits() > 0);
        let mut levels = Vec::new();
        match &given {
            Some(given) => levels.extend_from_slice(given.levels(version)?),
            None => write_def_levels(&mut levels, true, None, rows, version)?,
        }
        let header = DataPageHeaderV1 {
            num_values: i32::try_from(rows).unwrap_or(i32::MAX),
            encoding: Encoding::Plain.into(),
            definition_level_encoding: Encoding::Rle.into(),
            repetition_level_encoding: Encoding::Rle.into(),
            statistics: None,
        };
        let descriptor = Descriptor {
            primitive_type: kind.clone(),
            max_def_level: 1,
            max_rep_level: 0,
        };
        Ok(Self {
            values,
            given,
            levels,
            header: DataPageHeader::V1(header),
            descriptor,
        })
    }

    pub(super) fn rows(&self) -> usize {
        self.values.len()
    }

    pub(super) fn header(&self) -> DataPageHeader {
        self.header.clone()
    }

    /// How many bytes it has.
    pub(super) fn bytes(&self) -> usize {
        let lacking = self.given.as_ref();
        let lacking = lacking.map_or(0, |given| given.rows().unset_bits());
        self.levels.len() + (self.values.len() - lacking) * size_of::<f64>()
    }

    /// About so many bytes of its middle.
    pub(super) fn middle(&self, bytes: usize) -> Vec<u8> {
        let from = self.values.len() / 2;
        let some = self.values.iter().skip(from).take(bytes / size_of::<f64>());
        some.flat_map(|value| value.to_le_bytes()).collect()
    }

    /// Hands its bytes on, piece by piece.
    pub(super) fn write(&self, mut append: impl FnMut(&[u8])) {
        append(&self.levels);
        let mut append_all = |values: &[f64]| {
            let mut bytes = [[0; size_of::<f64>()]; TOGETHER];
            for some in values.chunks(TOGETHER) {
                for (place, value) in bytes.iter_mut().zip(some) {
                    *place = value.to_le_bytes();
                }
                append(bytes.get(..some.len()).unwrap_or_default().as_flattened());
            }
        };
        match &self.given {
            // Few rows lack a value, so that most of them lie in long runs.
            Some(given) => {
                for (start, length) in SlicesIterator::new(given.rows()) {
                    append_all(self.values.get(start..start + length).unwrap_or_default());
                }
            }
            None => append_all(self.values),
        }
    }

    /// As a page of the library.
    pub(super) fn encoded(self) -> DataPage {
        let mut buffer = Vec::with_capacity(self.bytes());
        self.write(|bytes| buffer.extend_from_slice(bytes));
        DataPage::new(
            self.header,
            CowBuffer::Owned(buffer),
            self.descriptor,
            self.values.len(),
        )
    }
}
