//! Opening an index: its footer.

use std::sync::Arc;

use super::bytes::Bytes;
use super::part::IndexPart;
use super::read_at::{IndexBytes, ReadAt};
use super::shelf::Shelf;
use super::{ENDING, IndexError, MAGIC, MOST_BUCKET_BITS, PartShape, VERSION};

/// An index opened.
#[derive(Debug)]
pub(in super::super) struct OpenIndex {
    /// The stamp that its writer gave it, of the foods in it.
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
    let footer_at = end.checked_sub(length).ok_or(short)?;
    let footer = source.read(footer_at, length)?;
    let mut footer = Bytes(&footer);
    let stamp = footer.text()?.to_owned();
    let (mut basic, mut branded) = (Shelf::new(&source), Shelf::new(&source));
    let mut at = 0_u64;
    while !footer.is_empty() {
        let shape = shape(&mut footer)?;
        let shelf = if shape.branded {
            &mut branded
        } else {
            &mut basic
        };
        shelf.add(IndexPart { shape, at })?;
        let after = shape.length().and_then(|length| at.checked_add(length));
        at = after
            .filter(|&after| after <= footer_at)
            .ok_or(IndexError::Damaged("a part lies beyond its end"))?;
    }
    Ok(OpenIndex {
        stamp,
        basic,
        branded,
    })
}

fn shape(footer: &mut Bytes<'_>) -> Result<PartShape, IndexError> {
    let shape = PartShape {
        branded: footer.number()? != 0,
        foods: footer.small()?,
        texts: footer.number()?,
        steps: footer.number()?,
        bucket_bits: footer.small()?,
        records: footer.number()?,
        stems: footer.number()?,
    };
    if shape.bucket_bits > MOST_BUCKET_BITS {
        return Err(IndexError::Damaged("it has too many buckets"));
    }
    Ok(shape)
}
