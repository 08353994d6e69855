//! One half of an index: the basic foods, or the branded ones.

use std::sync::{Arc, OnceLock};
use std::thread;

use memchr::memmem::Finder;

use super::super::EntryRef;
use super::super::term::Term;
use super::IndexError;
use super::bytes::Bytes;
use super::part::IndexPart;
use super::read_at::IndexBytes;

/// So many parts are worth a thread for each core.
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
    /// The places among foods of all rows; read when first used.
    orders: OnceLock<Vec<u32>>,
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
            orders: OnceLock::new(),
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
        let records = self.of_each_part(|part| part.word(&self.source, term))?;
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
        read: impl Fn(&IndexPart) -> Result<T, IndexError> + Sync,
    ) -> Result<Vec<T>, IndexError> {
        let read_all = |parts: &[(u32, IndexPart)]| -> Result<Vec<T>, IndexError> {
            parts.iter().map(|(_, part)| read(part)).collect()
        };
        if self.parts.len() < MANY_PARTS {
            return read_all(&self.parts);
        }
        let cores = thread::available_parallelism().map_or(1, usize::from);
        let shares = self.parts.chunks(self.parts.len().div_ceil(cores));
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
        for mut of_part in self.of_each_part(|part| part.stems(&self.source))? {
            stems.append(&mut of_part);
        }
        Ok(self.stems.get_or_init(|| stems))
    }

    /// The place of each row among branded foods that answer a query alike: the least first.
    pub(in super::super) fn orders(&self) -> Result<&[u32], IndexError> {
        if let Some(orders) = self.orders.get() {
            return Ok(orders);
        }
        let mut orders = Vec::with_capacity(self.foods as usize);
        for mut of_part in self.of_each_part(|part| part.orders(&self.source))? {
            orders.append(&mut of_part);
        }
        Ok(self.orders.get_or_init(|| orders))
    }

    /// The text of the food in a row.
    pub(in super::super) fn text(&self, row: u32) -> Result<FoodText, IndexError> {
        let after = self.parts.partition_point(|(first, _)| *first <= row);
        let part = after.checked_sub(1).and_then(|at| self.parts.get(at));
        let (first, part) = part
            .filter(|_| row < self.foods)
            .ok_or(IndexError::Damaged("a row is out of range"))?;
        let bytes = part.text(&self.source, row - first)?;
        Ok(FoodText { bytes })
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
