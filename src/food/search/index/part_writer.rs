//! Names read and laid out as parts of an index; each thread has a reader of its own.

use std::io;

use hashbrown::HashTable;

use super::super::describe::{Described, NamePlace, describe};
use super::super::segments::WordReader;
use super::super::term::Term;
use super::super::{Entry, EntryRef, rank};
use super::bytes::{put_ascending, put_number, put_text, text_length};
use super::{FOODS_OF_PART, MOST_BUCKET_BITS, PartShape};

/// Reads names and lays them out.
#[derive(Debug, Default)]
pub struct NameReader {
    words: WordReader,
    part: PartWriter,
}

/// Foods read, for [`super::IndexBuilder::push_chunk`].
#[derive(Debug)]
pub struct NameChunk {
    pub(super) parts: Vec<WrittenPart>,
}

/// A part, ready to be written.
#[derive(Debug)]
pub(super) struct WrittenPart {
    pub(super) shape: PartShape,
    pub(super) bytes: Vec<u8>,
}

impl NameReader {
    /// Reads some foods.
    ///
    /// Errors: their names take more bytes than a part can have.
    pub fn read(&mut self, foods: &[Entry]) -> io::Result<NameChunk> {
        let mut parts = Vec::new();
        for foods in foods.chunks(FOODS_OF_PART) {
            for branded in [false, true] {
                let mut foods = foods
                    .iter()
                    .filter(|food| food.branded == branded)
                    .peekable();
                if foods.peek().is_some() {
                    foods.try_for_each(|food| self.part.add(food.borrowed(), &mut self.words))?;
                    parts.push(self.part.finish(branded)?);
                }
            }
        }
        Ok(NameChunk { parts })
    }
}

/// Marks a word of the maker among the words of a food, and a word of its name.
const MAKER: u32 = 1 << 31;
const NAME: u32 = 1 << 30;
const WORD: u32 = NAME - 1;

/// Words in one bucket, about.
const WORDS_OF_BUCKET: usize = 8;

/// A part being laid out.
#[derive(Debug, Default)]
struct PartWriter {
    texts: Vec<u8>,
    /// For each food, where its text begins, its place among foods, and where its words end.
    foods: Vec<(u32, u32, usize)>,
    /// The words of all foods, each once for a food, by their numbers here, and marked.
    words: Vec<u32>,
    /// The words by number.
    terms: Vec<Term>,
    numbers: HashTable<(Term, u32)>,
    /// The stems of the words, a line each.
    stems: Vec<u8>,
}

impl PartWriter {
    /// Adds a food.
    fn add(&mut self, food: EntryRef<'_>, reader: &mut WordReader) -> io::Result<()> {
        let described = describe(food, reader);
        let text_at = self.texts.len();
        put_record(&mut self.texts, food);
        if u32::try_from(self.texts.len()).is_err() {
            return Err(io::Error::other("the names of the foods are too long"));
        }
        let from = self.words.len();
        for token in &described.tokens {
            let number = self.number(token.term, reader);
            let mark = if token.place == NamePlace::Maker {
                MAKER
            } else {
                NAME
            };
            let met = self.words[from..].iter_mut();
            match met.into_iter().find(|met| **met & WORD == number) {
                Some(met) => *met |= mark,
                None => self.words.push(number | mark),
            }
        }
        let order = order_of(food, &described);
        #[expect(
            clippy::cast_possible_truncation,
            reason = "the longer end was looked at"
        )]
        self.foods.push((text_at as u32, order, self.words.len()));
        Ok(())
    }

    /// The number of a word, which becomes known if it was not.
    fn number(&mut self, term: Term, reader: &WordReader) -> u32 {
        let hashed = |(term, _): &(Term, u32)| term.0;
        let same = |(other, _): &(Term, u32)| *other == term;
        let (terms, stems) = (&mut self.terms, &mut self.stems);
        let entry = self.numbers.entry(term.0, same, hashed);
        let entry = entry.or_insert_with(|| {
            // A part has fewer words than bytes of text, and numbers of 30 bits are enough for these.
            let number = u32::try_from(terms.len()).unwrap_or(WORD) & WORD;
            terms.push(term);
            stems.extend_from_slice(reader.stem(term).unwrap_or_default().as_bytes());
            stems.push(b'\n');
            (term, number)
        });
        entry.get().1
    }

    /// Lays the part out, and begins anew.
    fn finish(&mut self, branded: bool) -> io::Result<WrittenPart> {
        let too_many = |_| io::Error::other("more foods than a part of an index holds");
        let buckets = (self.terms.len() / WORDS_OF_BUCKET).next_power_of_two();
        let mut shape = PartShape {
            branded,
            foods: u32::try_from(self.foods.len()).map_err(too_many)?,
            texts: self.texts.len() as u64,
            bucket_bits: buckets.ilog2().min(MOST_BUCKET_BITS),
            records: 0,
            stems: self.stems.len() as u64,
        };
        let (directory, records) = self.records(&shape)?;
        shape.records = records.len() as u64;
        let mut bytes = std::mem::take(&mut self.texts);
        let numbers = self.foods.len() * 2 + directory.len();
        bytes.reserve_exact(numbers * 4 + records.len() + self.stems.len());
        let mut put = |number: u32| bytes.extend_from_slice(&number.to_le_bytes());
        self.foods.iter().for_each(|(text_at, ..)| put(*text_at));
        if branded {
            self.foods.iter().for_each(|(_, order, _)| put(*order));
        }
        directory.into_iter().for_each(put);
        bytes.extend_from_slice(&records);
        bytes.append(&mut self.stems);
        self.foods.clear();
        self.words.clear();
        self.terms.clear();
        self.numbers.clear();
        Ok(WrittenPart { shape, bytes })
    }

    /// Where the records of each bucket begin, and the records.
    fn records(&self, shape: &PartShape) -> io::Result<(Vec<u32>, Vec<u8>)> {
        let too_many = |_| io::Error::other("the foods have too many words");
        let place = |records: &[u8]| u32::try_from(records.len()).map_err(too_many);
        let rows = self.rows();
        let words = (0..).zip(&self.terms);
        let buckets = words.map(|(number, &term)| (shape.bucket(term), number));
        let by_bucket = Grouped::new(1 << shape.bucket_bits, buckets);
        let mut directory = Vec::with_capacity(by_bucket.starts.len());
        let mut records: Vec<u8> = Vec::with_capacity(self.terms.len() * 16);
        let (mut named, mut made) = (Vec::new(), Vec::new());
        for bucket in 0..1 << shape.bucket_bits {
            directory.push(place(&records)?);
            for &word in by_bucket.of(bucket) {
                let of_word = rows.of(word as usize);
                named.clear();
                made.clear();
                let in_name = |row: &&u32| **row & NAME != 0;
                put_ascending(
                    &mut named,
                    of_word.iter().filter(in_name).map(|row| row & WORD),
                );
                let alone = of_word.iter().filter(|row| !in_name(row));
                put_ascending(&mut made, alone.map(|row| row & WORD));
                let makers = of_word.iter().filter(|row| **row & MAKER != 0).count();
                records.extend_from_slice(&self.terms[word as usize].0.to_le_bytes());
                put_number(&mut records, makers as u64);
                put_number(&mut records, named.len() as u64);
                put_number(&mut records, made.len() as u64);
                records.extend_from_slice(&named);
                records.extend_from_slice(&made);
            }
        }
        directory.push(place(&records)?);
        Ok((directory, records))
    }

    /// Turns "the words of a food" round into "the foods of a word", with the marks of the word.
    fn rows(&self) -> Grouped {
        let foods = (0_u32..).zip(&self.foods);
        let mut from = 0;
        let words = foods.flat_map(move |(row, &(.., end))| {
            let words = &self.words[from..end];
            from = end;
            let marked = move |word: &u32| ((word & WORD) as usize, row | (word & !WORD));
            words.iter().map(marked)
        });
        Grouped::new(self.terms.len(), words)
    }
}

/// Values of groups, those of one group side by side and in their order.
struct Grouped {
    /// Where each group begins; one more for the end.
    starts: Vec<u32>,
    values: Vec<u32>,
}

impl Grouped {
    /// Groups values, each with the number of its group.
    fn new(groups: usize, items: impl Iterator<Item = (usize, u32)> + Clone) -> Self {
        let mut starts = vec![0_u32; groups + 1];
        items.clone().for_each(|(group, _)| starts[group + 1] += 1);
        for group in 0..groups {
            starts[group + 1] += starts[group];
        }
        let mut next = starts.clone();
        let mut values = vec![0; starts[groups] as usize];
        for (group, value) in items {
            values[next[group] as usize] = value;
            next[group] += 1;
        }
        Self { starts, values }
    }

    fn of(&self, group: usize) -> &[u32] {
        &self.values[self.starts[group] as usize..self.starts[group + 1] as usize]
    }
}

/// Appends the text of a food, after its length.
fn put_record(out: &mut Vec<u8>, food: EntryRef<'_>) {
    let mut head = Vec::with_capacity(4);
    put_number(&mut head, u64::from(food.branded));
    put_number(&mut head, u64::from(food.source_rank));
    let fields = [
        food.id,
        food.name,
        food.common_names,
        food.manufacturer,
        food.group,
    ];
    let length = head.len() + fields.map(text_length).iter().sum::<usize>();
    put_number(out, length as u64);
    out.extend_from_slice(&head);
    for field in fields {
        put_text(out, field);
    }
}

/// The place of a branded food among those that answer a query alike: the plainest first, then the shortest, then by a
/// digest of the id, so that the order of arrival hardly matters.
fn order_of(food: EntryRef<'_>, described: &Described) -> u32 {
    const TWENTIETHS: f64 = 20.0;
    const COST: u32 = (1 << 12) - 1;
    const WORDS: u32 = (1 << 6) - 1;
    let cost = (rank::elaborateness(described) * TWENTIETHS).clamp(0.0, f64::from(COST));
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to the range"
    )]
    let cost = cost as u32;
    let words = u32::try_from(described.tokens.len()).map_or(WORDS, |words| words.min(WORDS));
    #[expect(
        clippy::cast_possible_truncation,
        reason = "its last 14 bits are wanted"
    )]
    let digest = Term::of(food.id).0 as u32 & 0x3fff;
    cost << 20 | words << 14 | digest
}
