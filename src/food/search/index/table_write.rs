//! Writing a table; see [`super::table`].

use std::io::{self, Write};

use super::bytes::{put_number, put_text};
use super::table::TablePlace;

/// A block is closed once it has as many bytes.
const BLOCK: usize = 1024;

/// Writes a table.
#[derive(Debug, Default)]
pub(super) struct TableWriter {
    blocks: Vec<u8>,
    /// Start of the open block.
    open: usize,
    entries: u64,
    last: String,
    /// For each closed block: its first text, its length, its number of entries.
    list: Vec<u8>,
    first: String,
}

impl TableWriter {
    /// Adds an entry; its text comes after all before it.
    pub(super) fn add(&mut self, text: &str, value: &[u8]) {
        if self.blocks.len() - self.open >= BLOCK {
            self.close();
        }
        if self.entries == 0 {
            text.clone_into(&mut self.first);
            self.last.clear();
        }
        let shared = shared_start(&self.last, text);
        put_number(&mut self.blocks, shared as u64);
        put_text(&mut self.blocks, &text[shared..]);
        put_number(&mut self.blocks, value.len() as u64);
        self.blocks.extend_from_slice(value);
        text.clone_into(&mut self.last);
        self.entries += 1;
    }

    fn close(&mut self) {
        if self.entries > 0 {
            put_text(&mut self.list, &self.first);
            put_number(&mut self.list, (self.blocks.len() - self.open) as u64);
            put_number(&mut self.list, self.entries);
        }
        self.open = self.blocks.len();
        self.entries = 0;
    }

    /// Writes the table at a place of a file.
    pub(super) fn write(mut self, at: u64, sink: &mut impl Write) -> io::Result<TablePlace> {
        self.close();
        sink.write_all(&self.blocks)?;
        sink.write_all(&self.list)?;
        Ok(TablePlace {
            blocks_at: at,
            list_at: at + self.blocks.len() as u64,
            list_length: self.list.len() as u64,
        })
    }
}

/// How many bytes two texts share at their start, whole letters only.
fn shared_start(a: &str, b: &str) -> usize {
    let pairs = a.chars().zip(b.chars());
    pairs
        .take_while(|(a, b)| a == b)
        .map(|(a, _)| a.len_utf8())
        .sum()
}
