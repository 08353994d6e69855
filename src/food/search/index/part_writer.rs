//! Names read and laid out as a part of an index; each thread has a writer of its own.

use std::io;
use std::ops::Range;

use super::super::describe::{Described, NamePlace, describe};
use super::super::segments::WordReader;
use super::super::term::Term;
use super::super::{EntryRef, rank};
use super::bytes::{number_length, put_ascending, put_number, put_text, text_length};
use super::{MOST_BUCKET_BITS, PartShape};

/// A part, ready to be written.
#[derive(Debug)]
pub struct WrittenPart {
    pub(super) shape: PartShape,
    pub(super) bytes: Vec<u8>,
}

/// Marks a word of the maker of a food, and a word of its name.
const MAKER: u32 = 1 << 31;
const NAME: u32 = 1 << 30;
const ROW: u32 = NAME - 1;

/// Words in one bucket, about.
const WORDS_OF_BUCKET: usize = 8;
/// Occurrences that are sorted together, about.
const SORTED_TOGETHER: usize = 128;

/// A word of a food.
#[derive(Debug, Clone, Copy, Default)]
struct Occurrence {
    term: Term,
    /// The place of the food among those of the part, and once they are sorted its row; marked.
    food: u32,
    /// Place among the words of all foods.
    number: u32,
}

/// A food of a part.
#[derive(Debug, Clone, Copy)]
struct Food {
    /// Its place among the foods of the part.
    order: u32,
    text_at: u32,
}

/// Lays out a part.
#[derive(Debug, Default)]
pub struct PartWriter {
    reader: WordReader,
    branded: bool,
    texts: Vec<u8>,
    /// As they came.
    foods: Vec<Food>,
    /// The words of all foods, in the order of the foods.
    occurrences: Vec<Occurrence>,
    /// The stem of each of them, a line each.
    stems: Vec<u8>,
    /// The words in the order of their digests; kept to spare its allocation.
    sorted: Vec<Occurrence>,
}

impl PartWriter {
    /// Adds a food. Those of a part are all basic or all branded ones, and no more than [`super::FOODS_OF_PART`].
    ///
    /// Errors: their names take more bytes than a part can have.
    pub fn add(&mut self, food: EntryRef<'_>) -> io::Result<()> {
        let described = describe(food, &mut self.reader);
        self.branded = food.branded;
        let place = u32::try_from(self.foods.len()).map_err(too_long)? & ROW;
        self.foods.push(Food {
            order: order_of(food, &described),
            text_at: u32::try_from(self.texts.len()).map_err(too_long)?,
        });
        put_record(&mut self.texts, food);
        for token in &described.tokens {
            let marked = if token.place == NamePlace::Maker {
                MAKER
            } else {
                NAME
            };
            self.occurrences.push(Occurrence {
                term: token.term,
                food: place | marked,
                number: u32::try_from(self.occurrences.len()).map_err(too_long)?,
            });
            let stem = self.reader.stem(token.term).unwrap_or_default();
            self.stems.extend_from_slice(stem.as_bytes());
            self.stems.push(b'\n');
        }
        Ok(())
    }

    /// Lays the part out, and begins another; `None` if it has no food.
    ///
    /// Errors: it has more foods or words than a part can have.
    pub fn finish(&mut self) -> io::Result<Option<WrittenPart>> {
        if self.foods.is_empty() {
            return Ok(None);
        }
        let rows = self.rows();
        self.sort(&rows);
        let words = || self.sorted.chunk_by(|one, other| one.term == other.term);
        let buckets = (words().count() / WORDS_OF_BUCKET).next_power_of_two();
        let steps = steps(rows.iter().map(|place| self.foods[*place].order));
        let mut shape = PartShape {
            branded: self.branded,
            foods: u32::try_from(self.foods.len()).map_err(too_long)?,
            texts: self.texts.len() as u64,
            steps: steps.len() as u64,
            bucket_bits: buckets.ilog2().min(MOST_BUCKET_BITS),
            records: 0,
            stems: 0,
        };
        let (directory, records) = records(words(), &shape)?;
        shape.records = records.len() as u64;
        let numbers = rows.len() + directory.len();
        let most = self.texts.len() + numbers * 4 + steps.len() + records.len() + self.stems.len();
        let mut bytes = Vec::with_capacity(most);
        let mut places = Vec::with_capacity(numbers);
        for place in rows {
            places.push(u32::try_from(bytes.len()).map_err(too_long)?);
            bytes.extend_from_slice(&self.texts[self.text(place)]);
        }
        places.extend(directory);
        let places = places.into_iter().flat_map(u32::to_le_bytes);
        bytes.extend(places);
        bytes.extend_from_slice(&steps);
        bytes.extend_from_slice(&records);
        let stems_at = bytes.len();
        // Read from front to back: to jump to each would be to wait for far memory.
        let mut first = vec![false; self.occurrences.len()];
        words().for_each(|word| first[word[0].number as usize] = true);
        let mut rest = &self.stems[..];
        for is_first in first {
            let end = memchr::memchr(b'\n', rest).map_or(rest.len(), |end| end + 1);
            let (line, after) = rest.split_at(end);
            if is_first {
                bytes.extend_from_slice(line);
            }
            rest = after;
        }
        shape.stems = (bytes.len() - stems_at) as u64;
        self.texts.clear();
        self.foods.clear();
        self.occurrences.clear();
        self.stems.clear();
        Ok(Some(WrittenPart { shape, bytes }))
    }

    /// For each row, which food it has: the plainest first.
    fn rows(&self) -> Vec<usize> {
        let placed = self.foods.iter().zip(0_usize..);
        let mut placed: Vec<(u32, usize)> =
            placed.map(|(food, place)| (food.order, place)).collect();
        placed.sort_unstable();
        placed.into_iter().map(|(_, place)| place).collect()
    }

    /// Where the text of the food at a place lies.
    fn text(&self, place: usize) -> Range<usize> {
        let next = self.foods.get(place + 1);
        let end = next.map_or(self.texts.len(), |next| next.text_at as usize);
        self.foods[place].text_at as usize..end
    }

    /// Sorts the words by their digests; those of one word stand in the order of the rows. They are
    /// dealt out by the first bits of the digest, which are as good as random, so that each sort is
    /// short and stays in the processor's cache.
    fn sort(&mut self, rows: &[usize]) {
        let bits = (self.occurrences.len() / SORTED_TOGETHER)
            .next_power_of_two()
            .ilog2();
        let pile = |occurrence: &Occurrence| occurrence.term.first_bits(bits);
        let mut ends = vec![0_usize; 1 << bits];
        for occurrence in &self.occurrences {
            ends[pile(occurrence)] += 1;
        }
        let mut end = 0;
        for pile in &mut ends {
            // Where the pile begins, until it is dealt.
            let start = end;
            end += *pile;
            *pile = start;
        }
        // What the part before left here need not be cleared: every place is written below.
        self.sorted.resize(end, Occurrence::default());
        let mut row_of = vec![0; rows.len()];
        for (row, place) in (0..).zip(rows) {
            row_of[*place] = row;
        }
        for occurrence in &self.occurrences {
            let end = &mut ends[pile(occurrence)];
            let row = row_of[(occurrence.food & ROW) as usize];
            self.sorted[*end] = Occurrence {
                food: occurrence.food & !ROW | row,
                ..*occurrence
            };
            *end += 1;
        }
        let mut start = 0;
        for end in ends {
            self.sorted[start..end].sort_unstable_by_key(|word| (word.term, word.food & ROW));
            start = end;
        }
    }
}

fn too_long<E>(_: E) -> io::Error {
    io::Error::other("the names of the foods are too long for a part of an index")
}

/// Where the records of each bucket begin, and the records: one for each word, in the order of their digests.
fn records<'w>(
    words: impl Iterator<Item = &'w [Occurrence]>,
    shape: &PartShape,
) -> io::Result<(Vec<u32>, Vec<u8>)> {
    let place = |records: &[u8]| u32::try_from(records.len()).map_err(too_long);
    let buckets = 1 << shape.bucket_bits;
    let mut directory = Vec::with_capacity(buckets + 1);
    let mut records: Vec<u8> = Vec::with_capacity(buckets * WORDS_OF_BUCKET * 16);
    let (mut foods, mut named, mut made) = (Vec::new(), Vec::new(), Vec::new());
    for word in words {
        let term = word[0].term;
        while directory.len() <= term.first_bits(shape.bucket_bits) {
            directory.push(place(&records)?);
        }
        records.extend_from_slice(&term.0.to_le_bytes());
        if let [one] = word {
            put_only(&mut records, one.food);
            continue;
        }
        foods.clear();
        // A food may have a word twice.
        for of_food in word.chunk_by(|one, other| one.food & ROW == other.food & ROW) {
            foods.push(of_food.iter().fold(0, |all, one| all | one.food));
        }
        named.clear();
        made.clear();
        let in_name = |food: &&u32| **food & NAME != 0;
        let rows = foods.iter().filter(in_name);
        put_ascending(&mut named, rows.map(|food| food & ROW));
        let alone = foods.iter().filter(|food| !in_name(food));
        put_ascending(&mut made, alone.map(|food| food & ROW));
        let makers = foods.iter().filter(|food| **food & MAKER != 0).count();
        put_number(&mut records, makers as u64);
        put_number(&mut records, named.len() as u64);
        put_number(&mut records, made.len() as u64);
        records.extend_from_slice(&named);
        records.extend_from_slice(&made);
    }
    while directory.len() <= buckets {
        directory.push(place(&records)?);
    }
    Ok((directory, records))
}

/// Appends the rest of the record of a word that one food has.
fn put_only(records: &mut Vec<u8>, food: u32) {
    let row = u64::from(food & ROW);
    let (named, made) = match number_length(row) {
        length if food & NAME != 0 => (length, 0),
        length => (0, length),
    };
    put_number(records, u64::from(food & MAKER != 0));
    put_number(records, named as u64);
    put_number(records, made as u64);
    put_number(records, row);
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

/// How many low bits of the place of a food among foods are a digest.
const DIGEST_BITS: u32 = 14;

/// How plain the foods of a part are, the plainest first: the difference to the step before, and
/// how many are of this step.
fn steps(orders: impl Iterator<Item = u32>) -> Vec<u8> {
    let mut steps: Vec<(u32, u64)> = Vec::new();
    for plainness in orders.map(|order| order >> DIGEST_BITS) {
        match steps.last_mut() {
            Some((last, foods)) if *last == plainness => *foods += 1,
            _ => steps.push((plainness, 1)),
        }
    }
    let mut out = Vec::with_capacity(steps.len() * 4);
    let mut last = 0;
    for (plainness, foods) in steps {
        put_number(&mut out, u64::from(plainness - last));
        put_number(&mut out, foods);
        last = plainness;
    }
    out
}

/// The place of a food among those of its part that answer a query alike: the plainest first, then
/// the shortest, then by a digest of the id, so that the order of arrival hardly matters.
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
    #[expect(clippy::cast_possible_truncation, reason = "its last bits are wanted")]
    let digest = Term::of(food.id).0 as u32 & ((1 << DIGEST_BITS) - 1);
    (cost << 6 | words) << DIGEST_BITS | digest
}
