//! Some records at a time, and what is found out about them together.

use super::blocks::Block;
use super::record::{Field, Fields};
use super::row::{Frame, Row};
use crate::error::Error;

/// The most records that are taken apart together.
const MOST: usize = 256;
/// The most fields of those records: a header may have a column of interest after a million others.
const MOST_FIELDS: usize = 1 << 14;

/// The memory that a thread takes records apart in.
#[derive(Debug)]
pub(super) struct Batch<T> {
    fields: Vec<Field>,
    starts: Vec<usize>,
    /// The numbers in the first column, once for neighbours that have the same; which is each record's;
    /// and what was found.
    keys: Vec<Option<u32>>,
    key_of: Vec<usize>,
    found: Vec<T>,
}

impl<T: Copy> Batch<T> {
    pub(super) fn new() -> Self {
        Self {
            fields: Vec::new(),
            starts: Vec::new(),
            keys: Vec::new(),
            key_of: Vec::new(),
            found: Vec::new(),
        }
    }

    /// Hands on all rows of a block, each with what `find` says of the number in its first column. It is
    /// asked for many numbers in a row, so that a core waits for far memory once, not once a row.
    pub(super) fn rows(
        &mut self,
        block: &Block<'_>,
        frame: &Frame,
        find: impl Fn(Option<u32>) -> T,
        mut row: impl FnMut(&Row<'_>, T) -> Result<(), Error>,
    ) -> Result<(), Error> {
        let mut fields = Fields::new(block);
        loop {
            let filled = self.fill(&mut fields, block, frame);
            self.look_up(block, frame, &find);
            let rows = rows(&self.starts, &self.fields, block, frame);
            for (one, key) in rows.zip(&self.key_of) {
                if let Some(found) = self.found.get(*key) {
                    row(&one, *found)?;
                }
            }
            // What is wrong comes after all that was right.
            if !filled? {
                return Ok(());
            }
        }
    }

    /// Finds what the rows are about: nothing stands between one look into far memory and the next.
    fn look_up(&mut self, block: &Block<'_>, frame: &Frame, find: impl Fn(Option<u32>) -> T) {
        self.keys.clear();
        self.key_of.clear();
        for row in rows(&self.starts, &self.fields, block, frame) {
            let key = row.key();
            if self.keys.last() != Some(&key) {
                self.keys.push(key);
            }
            self.key_of.push(self.keys.len() - 1);
        }
        self.found.clear();
        self.found.extend(self.keys.iter().map(|key| find(*key)));
    }

    /// Takes the next records apart; false at the end of the block.
    fn fill(
        &mut self,
        from: &mut Fields<'_>,
        block: &Block<'_>,
        frame: &Frame,
    ) -> Result<bool, Error> {
        let most = (MOST_FIELDS / frame.wanted).clamp(1, MOST);
        self.fields.resize(most * frame.wanted, Field::default());
        self.starts.clear();
        for fields in self.fields.chunks_exact_mut(frame.wanted) {
            let Some(record) = from.next(fields)? else {
                return Ok(false);
            };
            if record.count != frame.columns {
                let (found, columns) = (record.count, frame.columns);
                let problem = format!("{found} fields where the header has {columns}");
                return Err(block.wrong_line(record.start, &problem));
            }
            self.starts.push(record.start);
        }
        Ok(true)
    }
}

/// Records as rows. Each has the wanted fields, since it has as many as the header.
fn rows<'r>(
    starts: &'r [usize],
    fields: &'r [Field],
    block: &'r Block<'r>,
    frame: &'r Frame,
) -> impl Iterator<Item = Row<'r>> {
    let fields = fields.chunks_exact(frame.wanted);
    starts.iter().zip(fields).map(|(start, fields)| Row {
        block,
        frame,
        fields,
        start: *start,
    })
}
