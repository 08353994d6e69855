//! Writing an index, food by food.

use std::io::{self, Write};

use super::super::Entry;
use super::super::vocabulary::Vocabulary;
use super::bytes::{put_number, put_text};
use super::reading::{NameChunk, NameReader};
use super::shelf_build::ShelfBuilder;
use super::table::TablePlace;
use super::{MAGIC, ShelfPlace, VERSION, WORD};

/// Writes the index of the foods pushed into it.
///
/// The texts go out as they come. Memory is needed for some 60 bytes a food while foods are pushed,
/// as much again at the end, and for the words.
#[derive(Debug)]
pub struct IndexBuilder<W> {
    out: CountingWriter<W>,
    words: Vocabulary,
    /// By reader: for each of its words, its number among all words.
    numbers: Vec<Vec<u32>>,
    /// Reads what is pushed food by food.
    own: NameReader,
    basic: ShelfBuilder,
    branded: ShelfBuilder,
}

/// A sink that knows how much went into it.
#[derive(Debug)]
pub(super) struct CountingWriter<W> {
    sink: W,
    pub(super) at: u64,
}

impl<W: Write> Write for CountingWriter<W> {
    fn write(&mut self, buffer: &[u8]) -> io::Result<usize> {
        let written = self.sink.write(buffer)?;
        self.at += written as u64;
        Ok(written)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.sink.flush()
    }
}

impl<W: Write> IndexBuilder<W> {
    /// An index that goes into `sink`; let it be buffered.
    pub fn new(sink: W) -> Self {
        Self {
            out: CountingWriter { sink, at: 0 },
            words: Vocabulary::default(),
            numbers: vec![Vec::new()],
            own: NameReader::new(0),
            basic: ShelfBuilder::default(),
            branded: ShelfBuilder::default(),
        }
    }

    /// A reader of names, for a thread of its own.
    pub fn reader(&mut self) -> NameReader {
        self.numbers.push(Vec::new());
        NameReader::new(self.numbers.len() - 1)
    }

    /// Adds a food.
    pub fn push(&mut self, entry: &Entry) -> io::Result<()> {
        let chunk = self.own.read([entry]);
        self.push_chunk(&chunk)
    }

    /// Adds the foods of a chunk, which a reader of this builder read.
    pub fn push_chunk(&mut self, chunk: &NameChunk) -> io::Result<()> {
        let foreign = || io::Error::other("names were read for another index");
        let numbers = self.numbers.get_mut(chunk.reader).ok_or_else(foreign)?;
        numbers.extend(
            chunk
                .new_words
                .lines()
                .map(|word| self.words.intern(word).0),
        );
        let (texts_at, mut from) = (self.out.at, 0);
        self.out.write_all(&chunk.texts)?;
        for food in &chunk.foods {
            let terms = chunk.terms[from..food.end].iter();
            let terms = terms.map(|term| numbers[(term & WORD) as usize] | term & !WORD);
            let shelf = if food.branded {
                &mut self.branded
            } else {
                &mut self.basic
            };
            shelf.push(texts_at + food.text_at as u64, food.order, terms);
            from = food.end;
        }
        Ok(())
    }

    /// Writes what is left. `stamp` says which foods these are; [`super::super::FoodIndex::stamp`]
    /// gives it back.
    pub fn finish(mut self, stamp: &str) -> io::Result<W> {
        let basic = self.basic.write(&self.words, &mut self.out)?;
        let branded = self.branded.write(&self.words, &mut self.out)?;
        let mut footer = Vec::new();
        put_text(&mut footer, stamp);
        put_shelf(&mut footer, basic);
        put_shelf(&mut footer, branded);
        self.out.write_all(&footer)?;
        self.out.write_all(&(footer.len() as u64).to_le_bytes())?;
        self.out.write_all(MAGIC)?;
        self.out.write_all(&[VERSION])?;
        self.out.flush()?;
        Ok(self.out.sink)
    }
}

fn put_shelf(out: &mut Vec<u8>, shelf: ShelfPlace) {
    put_number(out, u64::from(shelf.foods));
    put_number(out, shelf.rows_at);
    for TablePlace {
        blocks_at,
        list_at,
        list_length,
    } in [shelf.words, shelf.trigrams]
    {
        put_number(out, blocks_at);
        put_number(out, list_at);
        put_number(out, list_length);
    }
}
