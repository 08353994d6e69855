//! Writing an index, part by part.

use std::io::{self, Write};

use super::super::Entry;
use super::bytes::{put_number, put_text};
use super::part_writer::{PartWriter, WrittenPart};
use super::{FOODS_OF_PART, MAGIC, PartShape, VERSION};

/// Writes the index of the foods pushed into it.
///
/// Parts go out as they come; of each, its shape alone stays in memory.
#[derive(Debug)]
pub struct IndexBuilder<W> {
    sink: W,
    parts: Vec<PartShape>,
}

impl<W: Write> IndexBuilder<W> {
    /// An index that goes into `sink`.
    pub fn new(sink: W) -> Self {
        Self {
            sink,
            parts: Vec::new(),
        }
    }

    /// Adds foods.
    pub fn push(&mut self, foods: &[Entry]) -> io::Result<()> {
        let mut writer = PartWriter::default();
        for foods in foods.chunks(FOODS_OF_PART) {
            for branded in [false, true] {
                for food in foods.iter().filter(|food| food.branded == branded) {
                    writer.add(food.borrowed())?;
                }
                if let Some(part) = writer.finish()? {
                    self.push_part(&part)?;
                }
            }
        }
        Ok(())
    }

    /// Adds the foods of a part.
    pub fn push_part(&mut self, part: &WrittenPart) -> io::Result<()> {
        self.sink.write_all(&part.bytes)?;
        self.parts.push(part.shape);
        Ok(())
    }

    /// Writes what is left. `stamp` says which foods these are; [`super::super::FoodIndex::stamp`]
    /// gives it back.
    pub fn finish(mut self, stamp: &str) -> io::Result<W> {
        let mut footer = Vec::new();
        put_text(&mut footer, stamp);
        for part in &self.parts {
            put_number(&mut footer, u64::from(part.branded));
            put_number(&mut footer, u64::from(part.foods));
            put_number(&mut footer, part.texts);
            put_number(&mut footer, part.steps);
            put_number(&mut footer, u64::from(part.bucket_bits));
            put_number(&mut footer, part.records);
            put_number(&mut footer, part.stems);
        }
        self.sink.write_all(&footer)?;
        self.sink.write_all(&(footer.len() as u64).to_le_bytes())?;
        self.sink.write_all(MAGIC)?;
        self.sink.write_all(&[VERSION])?;
        self.sink.flush()?;
        Ok(self.sink)
    }
}
