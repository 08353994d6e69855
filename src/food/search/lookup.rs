//! What one query asks of one shelf of an index.

use std::cell::RefCell;
use std::rc::Rc;

use super::describe::{Described, describe};
use super::hash::FastMap;
use super::index::{IndexError, Shelf, WordInfo};
use super::segments::SegmentLexicon;
use super::spelling::{Guess, Slip, completions, trigrams};
use super::{EntryRef, Hit};

/// The words and foods of a shelf, read as a query comes to need them and kept until it is answered.
///
/// After an index could not be read, there are no words and no foods; [`IndexLookup::failure`] tells.
#[derive(Debug)]
pub(super) struct IndexLookup<'a> {
    shelf: &'a Shelf,
    /// Where a word of a brand is not to be found.
    basic: &'a Shelf,
    /// Words known whether or not a food has them, in order.
    kitchen: &'a [String],
    met: RefCell<LookupCache>,
}

/// A word that some food has.
#[derive(Debug, Clone, Copy)]
struct KnownWord {
    info: WordInfo,
    brand: bool,
}

#[derive(Debug, Default)]
struct LookupCache {
    lexicon: SegmentLexicon,
    words: FastMap<u32, Option<KnownWord>>,
    rows: FastMap<u32, Rc<[u32]>>,
    failure: Option<IndexError>,
}

impl<'a> IndexLookup<'a> {
    pub(super) fn new(shelf: &'a Shelf, basic: &'a Shelf, kitchen: &'a [String]) -> Self {
        Self {
            shelf,
            basic,
            kitchen,
            met: RefCell::default(),
        }
    }

    /// The first error met.
    pub(super) fn failure(self) -> Result<(), IndexError> {
        match self.met.into_inner().failure {
            Some(error) => Err(error),
            None => Ok(()),
        }
    }

    /// Foods on the shelf.
    pub(super) fn foods(&self) -> u32 {
        self.shelf.foods()
    }

    /// The number of a stem that is known.
    pub(super) fn number(&self, stem: &str) -> Option<u32> {
        let number = self.intern(stem);
        let known = self.known(number).is_some() || self.is_kitchen_word(stem);
        known.then_some(number)
    }

    /// The stem with a number.
    pub(super) fn word(&self, number: u32) -> String {
        self.met
            .borrow()
            .lexicon
            .vocabulary()
            .word(number)
            .to_owned()
    }

    /// Whether a number is that of this stem.
    pub(super) fn is(&self, number: u32, stem: &str) -> bool {
        self.met.borrow().lexicon.vocabulary().word(number) == stem
    }

    /// Foods that have a word: in the name, or if it is one of a brand, in the maker too.
    pub(super) fn count(&self, number: u32) -> u32 {
        let count = |known: KnownWord| {
            if known.brand {
                known.info.foods
            } else {
                known.info.named
            }
        };
        self.known(number).map_or(0, count)
    }

    /// Whether a word names a maker: most foods that have it have it from their maker, and no basic
    /// food has it.
    pub(super) fn is_brand(&self, number: u32) -> bool {
        self.known(number).is_some_and(|known| known.brand)
    }

    /// Longer words that begin with `start`.
    pub(super) fn completions(&self, start: &str) -> Vec<Guess> {
        let mut longer = self.kept(self.shelf.words_from(start));
        let kitchen = self.kitchen.iter().filter(|word| word.starts_with(start));
        longer.extend(kitchen.cloned());
        longer.sort_unstable();
        longer.dedup();
        self.numbered(completions(start, longer))
    }

    /// Words a small slip away.
    pub(super) fn corrections(&self, typed: &str) -> Vec<Guess> {
        let Some(slip) = Slip::new(typed) else {
            return Vec::new();
        };
        let runs: Vec<String> = trigrams(typed).iter().map(String::from_iter).collect();
        let enough = slip.least_shared(runs.len());
        let mut words = self.kept(self.shelf.words_like(&runs, enough));
        words.extend_from_slice(self.kitchen);
        self.numbered(slip.corrections(words))
    }

    /// The rows that have a word, as [`IndexLookup::count`] counts them.
    pub(super) fn rows(&self, number: u32) -> Rc<[u32]> {
        if let Some(rows) = self.met.borrow().rows.get(&number) {
            return Rc::clone(rows);
        }
        let rows = self.known(number).map(|known| {
            let mut rows = self.kept(self.shelf.named(known.info));
            if known.brand {
                rows.append(&mut self.kept(self.shelf.made(known.info)));
                rows.sort_unstable();
            }
            rows
        });
        let rows: Rc<[u32]> = rows.unwrap_or_default().into();
        self.met.borrow_mut().rows.insert(number, Rc::clone(&rows));
        rows
    }

    /// What the ranking reads of the food in a row.
    pub(super) fn described(&self, row: u32) -> Described {
        self.with_entry(row, |entry| {
            describe(entry, &mut self.met.borrow_mut().lexicon)
        })
    }

    /// The food in a row as a hit.
    pub(super) fn hit(&self, row: u32, score: f64) -> Hit {
        self.with_entry(row, |entry| Hit {
            id: entry.id.to_owned(),
            name: entry.name.to_owned(),
            manufacturer: entry.manufacturer.to_owned(),
            group: entry.group.to_owned(),
            score,
        })
    }

    fn with_entry<T>(&self, row: u32, read: impl FnOnce(EntryRef<'_>) -> T) -> T {
        let text = self.kept(self.shelf.text(row));
        read(self.kept(text.entry()))
    }

    fn known(&self, number: u32) -> Option<KnownWord> {
        if let Some(&known) = self.met.borrow().words.get(&number) {
            return known;
        }
        let stem = self.word(number);
        let known = self.kept(self.shelf.word(&stem)).map(|info| KnownWord {
            brand: info.makers > info.foods / 2
                && !self.is_kitchen_word(&stem)
                && self.kept(self.basic.word(&stem)).is_none(),
            info,
        });
        self.met.borrow_mut().words.insert(number, known);
        known
    }

    fn is_kitchen_word(&self, stem: &str) -> bool {
        self.kitchen
            .binary_search_by(|word| word.as_str().cmp(stem))
            .is_ok()
    }

    fn intern(&self, stem: &str) -> u32 {
        self.met.borrow_mut().lexicon.intern(stem)
    }

    fn numbered(&self, words: Vec<(String, f32)>) -> Vec<Guess> {
        let numbered = |(word, sureness): (String, f32)| (self.intern(&word), sureness);
        words.into_iter().map(numbered).collect()
    }

    /// Keeps the first error for [`IndexLookup::failure`].
    fn kept<T: Default>(&self, read: Result<T, IndexError>) -> T {
        read.unwrap_or_else(|error| {
            self.met.borrow_mut().failure.get_or_insert(error);
            T::default()
        })
    }
}
