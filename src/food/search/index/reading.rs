//! Names read for an index, some foods at a time, so that several threads can read them.

use super::super::describe::{Described, NamePlace, describe};
use super::super::hash::hash;
use super::super::segments::SegmentLexicon;
use super::super::{Entry, EntryRef, rank};
use super::bytes::{put_number, put_text};
use super::{MAKER, NAME, WORD};

/// Reads names, and numbers their words as it meets them; [`super::IndexBuilder::reader`] makes one for each thread.
#[derive(Debug)]
pub struct NameReader {
    /// Which of the readers of its builder.
    number: usize,
    lexicon: SegmentLexicon,
    /// So many of its words are in chunks already.
    told: usize,
}

/// Foods read by one reader, for [`super::IndexBuilder::push_chunk`].
#[derive(Debug)]
pub struct NameChunk {
    pub(super) reader: usize,
    /// Words that the reader had not met before, in the order of their numbers, a line each.
    pub(super) new_words: String,
    pub(super) foods: Vec<ReadFood>,
    /// The texts of the foods, one record after another.
    pub(super) texts: Vec<u8>,
    /// The words of all foods, each once for a food, numbered by the reader and marked.
    pub(super) terms: Vec<u32>,
}

/// One food of a chunk.
#[derive(Debug)]
pub(super) struct ReadFood {
    pub(super) branded: bool,
    /// Its place among branded foods.
    pub(super) order: u64,
    /// Where its text begins among the texts.
    pub(super) text_at: usize,
    /// Where its words end among the terms.
    pub(super) end: usize,
}

impl NameReader {
    pub(super) fn new(number: usize) -> Self {
        Self {
            number,
            lexicon: SegmentLexicon::default(),
            told: 0,
        }
    }

    /// Reads some foods. Chunks of one reader are pushed in the order in which they were read.
    pub fn read<'a>(&mut self, entries: impl IntoIterator<Item = &'a Entry>) -> NameChunk {
        let mut chunk = NameChunk {
            reader: self.number,
            new_words: String::new(),
            foods: Vec::new(),
            texts: Vec::new(),
            terms: Vec::new(),
        };
        for entry in entries {
            let entry = entry.borrowed();
            let described = describe(entry, &mut self.lexicon);
            let text_at = chunk.texts.len();
            put_record(&mut chunk.texts, entry);
            put_terms(&mut chunk.terms, &described);
            chunk.foods.push(ReadFood {
                branded: entry.branded,
                order: if entry.branded {
                    order_of(entry, &described)
                } else {
                    0
                },
                text_at,
                end: chunk.terms.len(),
            });
        }
        let words = self.lexicon.vocabulary();
        for word in words.since(self.told) {
            chunk.new_words.push_str(word);
            chunk.new_words.push('\n');
        }
        self.told = words.len();
        chunk
    }
}

/// Appends the words of a food, each once: whether they name it or its maker.
fn put_terms(terms: &mut Vec<u32>, described: &Described) {
    let from = terms.len();
    for token in &described.tokens {
        let mark = if token.place == NamePlace::Maker {
            MAKER
        } else {
            NAME
        };
        let met = terms[from..]
            .iter_mut()
            .find(|other| **other & WORD == token.term);
        match met {
            Some(met) => *met |= mark,
            None => terms.push(token.term | mark),
        }
    }
}

/// Appends the text of a food, after its length.
fn put_record(out: &mut Vec<u8>, entry: EntryRef<'_>) {
    let mut text = Vec::with_capacity(128);
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
    put_number(out, text.len() as u64);
    out.append(&mut text);
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
