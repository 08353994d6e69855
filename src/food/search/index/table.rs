//! Sorted texts, each with some bytes, in blocks; a short list of the blocks finds the one block
//! that would hold a text.

use std::sync::OnceLock;

use super::IndexError;
use super::bytes::Bytes;
use super::read_at::IndexBytes;

/// Where a table lies in its file.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct TablePlace {
    pub(super) blocks_at: u64,
    pub(super) list_at: u64,
    pub(super) list_length: u64,
}

/// A table being read.
#[derive(Debug)]
pub(super) struct Table {
    place: TablePlace,
    /// Read when first used.
    blocks: OnceLock<Vec<Block>>,
}

#[derive(Debug)]
struct Block {
    first: String,
    at: u64,
    length: u64,
    /// Entries in all blocks before.
    before: u32,
}

/// One entry.
pub(super) struct IndexRow<'a> {
    pub(super) number: u32,
    pub(super) text: &'a str,
    pub(super) value: &'a [u8],
}

impl Table {
    pub(super) fn new(place: TablePlace) -> Self {
        Self {
            place,
            blocks: OnceLock::new(),
        }
    }

    /// The bytes that stand with this very text.
    pub(super) fn get(
        &self,
        source: &IndexBytes,
        text: &str,
    ) -> Result<Option<Vec<u8>>, IndexError> {
        let mut found = None;
        self.from(source, text, |row| {
            if row.text == text {
                found = Some(row.value.to_vec());
            }
            false
        })?;
        Ok(found)
    }

    /// Visits the entries from this text on, in order, until `visit` returns `false`.
    pub(super) fn from(
        &self,
        source: &IndexBytes,
        text: &str,
        mut visit: impl FnMut(IndexRow<'_>) -> bool,
    ) -> Result<(), IndexError> {
        let blocks = self.blocks(source)?;
        let after = blocks.partition_point(|block| block.first.as_str() <= text);
        for block in &blocks[after.saturating_sub(1)..] {
            let mut go_on = true;
            read_block(source, block, |row| {
                go_on = row.text < text || visit(row);
                go_on
            })?;
            if !go_on {
                break;
            }
        }
        Ok(())
    }

    /// The texts with these numbers, which ascend.
    pub(super) fn texts(
        &self,
        source: &IndexBytes,
        numbers: &[u32],
    ) -> Result<Vec<String>, IndexError> {
        let blocks = self.blocks(source)?;
        let mut texts = Vec::with_capacity(numbers.len());
        let mut rest = numbers;
        while let Some(&next) = rest.first() {
            let after = blocks.partition_point(|block| block.before <= next);
            let missing = IndexError::Damaged("a word is missing");
            let block = blocks[..after].last().ok_or(missing)?;
            let end = blocks.get(after).map_or(u32::MAX, |block| block.before);
            let here = rest.partition_point(|&number| number < end);
            let (mut wanted, later) = rest.split_at(here);
            read_block(source, block, |row| {
                if wanted.first() == Some(&row.number) {
                    texts.push(row.text.to_owned());
                    wanted = &wanted[1..];
                }
                !wanted.is_empty()
            })?;
            rest = later;
        }
        Ok(texts)
    }

    fn blocks(&self, source: &IndexBytes) -> Result<&[Block], IndexError> {
        if let Some(blocks) = self.blocks.get() {
            return Ok(blocks);
        }
        let list = source.read(self.place.list_at, self.place.list_length)?;
        let mut list = Bytes(&list);
        let (mut blocks, mut at, mut before) = (Vec::new(), self.place.blocks_at, 0_u32);
        while !list.is_empty() {
            let (first, length) = (list.text()?.to_owned(), list.number()?);
            blocks.push(Block {
                first,
                at,
                length,
                before,
            });
            at = at.saturating_add(length);
            before = before.saturating_add(list.small()?);
        }
        Ok(self.blocks.get_or_init(|| blocks))
    }
}

/// Visits the entries of a block until `visit` returns `false`.
fn read_block(
    source: &IndexBytes,
    block: &Block,
    mut visit: impl FnMut(IndexRow<'_>) -> bool,
) -> Result<(), IndexError> {
    let bytes = source.read(block.at, block.length)?;
    let (mut bytes, mut number) = (Bytes(&bytes), block.before);
    let mut text = String::new();
    while !bytes.is_empty() {
        let shared = bytes.small()? as usize;
        if !text.is_char_boundary(shared) {
            return Err(IndexError::Damaged("a word does not fit the one before"));
        }
        text.truncate(shared);
        text.push_str(bytes.text()?);
        let length = bytes.number()?;
        let value = bytes.take(length)?;
        let row = IndexRow {
            number,
            text: &text,
            value,
        };
        if !visit(row) {
            break;
        }
        number = number.saturating_add(1);
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::super::table_write::TableWriter;
    use super::*;

    /// Words `w000` to `w999`, each with its own number as value.
    fn table() -> (Table, IndexBytes) {
        let mut writer = TableWriter::default();
        for number in 0..1000_u32 {
            writer.add(&format!("w{number:03}é"), &number.to_le_bytes());
        }
        let mut bytes = b"something before".to_vec();
        let place = writer.write(bytes.len() as u64, &mut bytes).unwrap();
        (Table::new(place), IndexBytes::new(Box::new(bytes)).unwrap())
    }

    #[test]
    fn every_text_is_found_with_its_value() {
        let (table, source) = table();
        for number in 0..1000_u32 {
            let value = table.get(&source, &format!("w{number:03}é")).unwrap();
            assert_eq!(value.unwrap(), number.to_le_bytes());
        }
        for absent in ["", "a", "w", "w5", "w500", "w999é ", "z"] {
            assert!(table.get(&source, absent).unwrap().is_none(), "{absent}");
        }
        assert!(table.blocks(&source).unwrap().len() > 5);
    }

    #[test]
    fn texts_come_in_order_and_by_number() {
        let (table, source) = table();
        let mut from = Vec::new();
        table
            .from(&source, "w498", |row| {
                from.push((row.number, row.text.to_owned()));
                from.len() < 300
            })
            .unwrap();
        assert_eq!(from[0], (498, "w498é".to_owned()));
        assert_eq!(from[299], (797, "w797é".to_owned()));
        let numbers = [0, 1, 499, 500, 998, 999];
        let texts = table.texts(&source, &numbers).unwrap();
        assert_eq!(texts, numbers.map(|number| format!("w{number:03}é")));
    }

    #[test]
    fn an_empty_table_has_nothing() {
        let mut bytes = Vec::new();
        let place = TableWriter::default().write(0, &mut bytes).unwrap();
        let (table, source) = (Table::new(place), IndexBytes::new(Box::new(bytes)).unwrap());
        assert!(table.get(&source, "a").unwrap().is_none());
        assert!(table.texts(&source, &[0]).is_err());
    }
}
