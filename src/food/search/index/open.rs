//! Opening an index: its footer.

use std::sync::Arc;

use super::bytes::Bytes;
use super::read_at::{IndexBytes, ReadAt};
use super::shelf::Shelf;
use super::table::TablePlace;
use super::{ENDING, IndexError, MAGIC, ROW, ShelfPlace, VERSION};

/// An index opened.
#[derive(Debug)]
pub(in super::super) struct OpenIndex {
    /// What its writer said of the foods in it.
    pub(in super::super) stamp: String,
    pub(in super::super) basic: Shelf,
    pub(in super::super) branded: Shelf,
}

/// Reads the footer, and no more.
pub(in super::super) fn open(reader: Box<dyn ReadAt>) -> Result<OpenIndex, IndexError> {
    let source = Arc::new(IndexBytes::new(reader)?);
    let end = source
        .size()
        .checked_sub(ENDING)
        .ok_or(IndexError::Version)?;
    let ending = source.read(end, ENDING)?;
    let (length, magic) = ending.split_at(8);
    if magic[..7] != MAGIC[..] || magic[7] != VERSION {
        return Err(IndexError::Version);
    }
    let length = length
        .iter()
        .rev()
        .fold(0, |n, &byte| n << 8 | u64::from(byte));
    let short = IndexError::Damaged("its footer lies beyond its start");
    let footer = source.read(end.checked_sub(length).ok_or(short)?, length)?;
    let mut footer = Bytes(&footer);
    Ok(OpenIndex {
        stamp: footer.text()?.to_owned(),
        basic: shelf(&mut footer, Arc::clone(&source))?,
        branded: shelf(&mut footer, source)?,
    })
}

fn shelf(footer: &mut Bytes<'_>, source: Arc<IndexBytes>) -> Result<Shelf, IndexError> {
    let place = ShelfPlace {
        foods: footer.small()?,
        rows_at: footer.number()?,
        words: table(footer)?,
        trigrams: table(footer)?,
    };
    let end = place
        .rows_at
        .saturating_add(u64::from(place.foods) * ROW as u64);
    if end > source.size() {
        return Err(IndexError::Damaged("its rows lie beyond its end"));
    }
    Ok(Shelf::new(source, place))
}

fn table(footer: &mut Bytes<'_>) -> Result<TablePlace, IndexError> {
    Ok(TablePlace {
        blocks_at: footer.number()?,
        list_at: footer.number()?,
        list_length: footer.number()?,
    })
}
