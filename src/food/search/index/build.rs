//! Writing an index, food by food.

use std::io::{self, Write};

use super::super::describe::{Described, NamePlace, describe};
use super::super::hash::hash;
use super::super::segments::SegmentLexicon;
use super::super::{Entry, EntryRef, rank};
use super::bytes::{put_number, put_text};
use super::shelf_build::ShelfBuilder;
use super::table::TablePlace;
use super::{MAGIC, ShelfPlace, VERSION};

/// Writes the index of the foods pushed into it.
///
/// The texts go out as they come. Memory is needed for some 60 bytes a food while foods are pushed,
/// as much again at the end, and for the words.
#[derive(Debug)]
pub struct IndexBuilder<W> {
    out: CountingWriter<W>,
    lexicon: SegmentLexicon,
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
            lexicon: SegmentLexicon::default(),
            basic: ShelfBuilder::default(),
            branded: ShelfBuilder::default(),
        }
    }

    /// Adds a food.
    pub fn push(&mut self, entry: &Entry) -> io::Result<()> {
        let entry = entry.borrowed();
        let described = describe(entry, &mut self.lexicon);
        let at = self.out.at;
        self.out.write_all(&record(entry))?;
        let terms = described.tokens.iter();
        let terms = terms.map(|token| (token.term, token.place == NamePlace::Maker));
        if entry.branded {
            self.branded.push(at, order_of(entry, &described), terms);
        } else {
            self.basic.push(at, 0, terms);
        }
        Ok(())
    }

    /// Writes what is left. `stamp` says which foods these are; [`super::super::FoodIndex::stamp`]
    /// gives it back.
    pub fn finish(mut self, stamp: &str) -> io::Result<W> {
        let words = self.lexicon.vocabulary();
        let basic = self.basic.write(words, &mut self.out)?;
        let branded = self.branded.write(words, &mut self.out)?;
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

/// The text of a food, after its length.
fn record(entry: EntryRef<'_>) -> Vec<u8> {
    let mut text = Vec::new();
    put_number(&mut text, u64::from(entry.branded));
    put_number(&mut text, u64::from(entry.source_rank));
    for field in [
        entry.id,
        entry.name,
        entry.common_names,
        entry.manufacturer,
        entry.group,
    ] {
        put_text(&mut text, field);
    }
    let mut record = Vec::with_capacity(text.len() + 2);
    put_number(&mut record, text.len() as u64);
    record.append(&mut text);
    record
}

/// Sorts branded foods: the plainest first, then the shortest, then by a digest of the id, so that
/// the order of arrival does not matter.
fn order_of(entry: EntryRef<'_>, described: &Described) -> u64 {
    const TWENTIETHS: f64 = 20.0;
    let cost = (rank::elaborateness(described) * TWENTIETHS).clamp(0.0, f64::from(u16::MAX));
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to the range"
    )]
    let cost = cost as u64;
    let words = described.tokens.len().min(usize::from(u16::MAX)) as u64;
    cost << 48 | words << 32 | hash(entry.id) >> 32
}
