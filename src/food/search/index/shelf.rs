//! One half of an index: the basic foods, or the branded ones.

use std::ops::Range;
use std::sync::{Arc, OnceLock};
use std::thread;

use memchr::memmem::Finder;

use super::super::EntryRef;
use super::super::term::Term;
use super::IndexError;
use super::bytes::Bytes;
use super::part::{Bucket, IndexPart};
use super::read_at::IndexBytes;

/// The number of parts from which on a thread for each core pays.
const MANY_PARTS: usize = 8;

/// The foods of one kind, and their words.
#[derive(Debug)]
pub(in super::super) struct Shelf {
    source: Arc<IndexBytes>,
    /// The parts, each with the row of its first food.
    parts: Vec<(u32, IndexPart)>,
    foods: u32,
    /// The stems of all parts, a line each, before and after which a line ends; read when first used.
    stems: OnceLock<Vec<u8>>,
    /// The rows of all parts in steps, in order; read when first used.
    steps: OnceLock<Vec<PlainRows>>,
}

/// Rows one after another whose foods are equally plain.
#[derive(Debug, Clone, Copy, Default)]
pub(in super::super) struct PlainRows {
    pub(in super::super) first: u32,
    /// The less, the plainer.
    pub(in super::super) plainness: u32,
}

/// The rows of the foods that have a word.
#[derive(Debug, Default)]
pub(in super::super) struct WordRows {
    /// Rows of foods with the word in the name, ascending.
    pub(in super::super) named: Vec<u32>,
    /// Rows of foods with the word in the maker's name and not in their own, ascending.
    pub(in super::super) made: Vec<u32>,
    /// How many have it in the name of the maker.
    pub(in super::super) makers: u32,
}

impl Shelf {
    pub(super) fn new(source: &Arc<IndexBytes>) -> Self {
        Self {
            source: Arc::clone(source),
            parts: Vec::new(),
            foods: 0,
            stems: OnceLock::new(),
            steps: OnceLock::new(),
        }
    }

    /// Adds a part, whose rows come after those of the parts before.
    pub(super) fn add(&mut self, part: IndexPart) -> Result<(), IndexError> {
        let foods = self.foods.checked_add(part.shape.foods);
        self.parts.push((self.foods, part));
        self.foods = foods.ok_or(IndexError::Damaged("it has too many foods"))?;
        Ok(())
    }

    /// Foods on the shelf.
    pub(in super::super) fn foods(&self) -> u32 {
        self.foods
    }

    /// The rows that have a word, if any has.
    pub(in super::super) fn word(&self, term: Term) -> Result<Option<WordRows>, IndexError> {
        // All parts are fetched from the disk at once: first where the word is, then what is there.
        for (_, part) in &self.parts {
            part.will_ask(&self.source, term);
        }
        let buckets = self.parts.iter();
        let buckets = buckets.map(|(_, part)| part.bucket(&self.source, term));
        let buckets: Vec<Bucket> = buckets.collect::<Result<_, _>>()?;
        let read = |place: usize, part: &IndexPart| part.word(&self.source, buckets[place], term);
        let records = self.of_each_part(read)?;
        let mut found: Option<WordRows> = None;
        for ((first, _), record) in self.parts.iter().zip(records) {
            if let Some(record) = record {
                let rows = found.get_or_insert_default();
                let named = record.named.iter().map(|food| first + food);
                rows.named.extend(named);
                rows.made
                    .extend(record.made.iter().map(|food| first + food));
                rows.makers = rows.makers.saturating_add(record.makers);
            }
        }
        Ok(found)
    }

    /// Reads something from every part and returns it in the order of the parts; uses all cores where there are many.
    fn of_each_part<T: Send>(
        &self,
        read: impl Fn(usize, &IndexPart) -> Result<T, IndexError> + Sync,
    ) -> Result<Vec<T>, IndexError> {
        let count = self.parts.len();
        let read_all = |places: Range<usize>| -> Result<Vec<T>, IndexError> {
            let read = |place: usize| read(place, &self.parts[place].1);
            places.map(read).collect()
        };
        if count < MANY_PARTS {
            return read_all(0..count);
        }
        let cores = thread::available_parallelism().map_or(1, usize::from);
        let share = count.div_ceil(cores);
        let shares = (0..count).step_by(share);
        let shares = shares.map(|from| from..count.min(from + share));
        thread::scope(|scope| {
            let readers = shares.map(|share| scope.spawn(|| read_all(share)));
            let readers: Vec<_> = readers.collect();
            let mut all = Vec::with_capacity(self.parts.len());
            for reader in readers {
                let failed = |_| IndexError::Damaged("a part could not be read");
                all.append(&mut reader.join().map_err(failed)??);
            }
            Ok(all)
        })
    }

    /// The words that begin with `start`; one may come several times.
    pub(in super::super) fn words_from(&self, start: &str) -> Result<Vec<String>, IndexError> {
        let stems = self.stems()?;
        let sought = format!("\n{start}");
        let word = |at: usize| {
            let word = stems.get(at + 1..)?;
            let end = memchr::memchr(b'\n', word)?;
            std::str::from_utf8(&word[..end]).ok().map(str::to_owned)
        };
        let finder = Finder::new(&sought);
        let found = finder.find_iter(stems);
        found
            .map(|at| word(at).ok_or(IndexError::Damaged("a text is not UTF-8")))
            .collect()
    }

    /// The words that satisfy `test`; one may come several times.
    pub(in super::super) fn words_where(
        &self,
        test: impl Fn(&[u8]) -> bool,
    ) -> Result<Vec<String>, IndexError> {
        let words = self.stems()?.split(|&byte| byte == b'\n');
        let found = words.filter(|word| test(word));
        found
            .map(|word| String::from_utf8(word.to_vec()))
            .collect::<Result<_, _>>()
            .map_err(|_| IndexError::Damaged("a text is not UTF-8"))
    }

    fn stems(&self) -> Result<&[u8], IndexError> {
        if let Some(stems) = self.stems.get() {
            return Ok(stems);
        }
        let mut stems = vec![b'\n'];
        for mut of_part in self.of_each_part(|_, part| part.stems(&self.source))? {
            stems.append(&mut of_part);
        }
        Ok(self.stems.get_or_init(|| stems))
    }

    /// All rows in steps of foods that are equally plain, in order of rows.
    pub(in super::super) fn steps(&self) -> Result<&[PlainRows], IndexError> {
        if let Some(steps) = self.steps.get() {
            return Ok(steps);
        }
        let mut steps = Vec::new();
        let of_parts = self.of_each_part(|_, part| part.steps(&self.source))?;
        for ((start, _), of_part) in self.parts.iter().zip(of_parts) {
            let mut first = *start;
            for (plainness, foods) in of_part {
                steps.push(PlainRows { first, plainness });
                first = first.saturating_add(foods);
            }
        }
        Ok(self.steps.get_or_init(|| steps))
    }

    /// The texts of the foods in some rows.
    pub(in super::super) fn texts(&self, rows: &[u32]) -> Result<Vec<FoodText>, IndexError> {
        let source = &*self.source;
        let foods = rows.iter().map(|row| self.food(*row));
        let foods: Vec<(IndexPart, u32)> = foods.collect::<Result<_, _>>()?;
        for (part, food) in &foods {
            part.will_ask_text(source, *food);
        }
        let places = foods.iter();
        let places = places.map(|(part, food)| part.text_place(source, *food));
        let places: Vec<u64> = places.collect::<Result<_, _>>()?;
        let texts = foods.iter().zip(places);
        let text = |bytes: Vec<u8>| FoodText { bytes };
        texts
            .map(|((part, _), place)| Ok(text(part.text(source, place)?)))
            .collect()
    }

    /// The part a row is in, and its place there.
    fn food(&self, row: u32) -> Result<(IndexPart, u32), IndexError> {
        let after = self.parts.partition_point(|(first, _)| *first <= row);
        let part = after.checked_sub(1).and_then(|at| self.parts.get(at));
        let (first, part) = part
            .filter(|_| row < self.foods)
            .ok_or(IndexError::Damaged("a row is out of range"))?;
        Ok((*part, row - first))
    }
}

/// The text of a food, and perhaps more after it.
#[derive(Debug, Default)]
pub(in super::super) struct FoodText {
    bytes: Vec<u8>,
}

impl FoodText {
    pub(in super::super) fn entry(&self) -> Result<EntryRef<'_>, IndexError> {
        let mut bytes = Bytes(&self.bytes);
        let length = bytes.number()?;
        let mut bytes = Bytes(bytes.take(length)?);
        let branded = bytes.number()? != 0;
        let source_rank = u8::try_from(bytes.number()?)
            .map_err(|_| IndexError::Damaged("a rank is too large"))?;
        Ok(EntryRef {
            id: bytes.text()?,
            name: bytes.text()?,
            common_names: bytes.text()?,
            manufacturer: bytes.text()?,
            group: bytes.text()?,
            branded,
            source_rank,
        })
    }
}
