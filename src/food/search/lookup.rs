//! What one query asks of one shelf of an index.

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

use super::describe::{Described, describe};
use super::index::{FoodText, IndexError, PlainRows, Shelf};
use super::segments::WordReader;
use super::spelling::{Guess, Slip, completions};
use super::term::Term;
use super::{EntryRef, Hit};

/// The words and foods of a shelf, read as a query comes to need them and kept until it is answered.
///
/// After an index could not be read, there are no words and no foods; [`IndexLookup::failure`] says
/// why.
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
#[derive(Debug)]
struct KnownWord {
    /// The rows that have it: in the name, or if it is one of a brand, in the maker too.
    rows: Vec<u32>,
    brand: bool,
}

#[derive(Debug, Default)]
struct LookupCache {
    reader: WordReader,
    stems: HashMap<Term, String>,
    words: HashMap<Term, Option<Rc<KnownWord>>>,
    texts: HashMap<u32, Rc<FoodText>>,
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

    /// The term of a stem that is known.
    pub(super) fn term(&self, stem: &str) -> Option<Term> {
        let term = self.note(stem);
        let known = self.known(term).is_some() || self.is_kitchen_word(stem);
        known.then_some(term)
    }

    /// The stem of a term that came of this lookup.
    pub(super) fn word(&self, term: Term) -> String {
        let met = self.met.borrow();
        met.stems.get(&term).cloned().unwrap_or_default()
    }

    /// Foods that have a word: in the name, or if it is one of a brand, in the maker too.
    pub(super) fn count(&self, term: Term) -> u32 {
        let count = |known: Rc<KnownWord>| u32::try_from(known.rows.len()).unwrap_or(u32::MAX);
        self.known(term).map_or(0, count)
    }

    /// Whether a word names a maker: most foods that have it have it from their maker, and no basic
    /// food has it.
    pub(super) fn is_brand(&self, term: Term) -> bool {
        self.known(term).is_some_and(|known| known.brand)
    }

    /// Longer words that begin with `start`.
    pub(super) fn completions(&self, start: &str) -> Vec<Guess> {
        let mut longer = self.kept(self.shelf.words_from(start));
        let kitchen = self.kitchen.iter().filter(|word| word.starts_with(start));
        longer.extend(kitchen.cloned());
        longer.sort_unstable();
        longer.dedup();
        self.noted(completions(start, longer))
    }

    /// Words a small slip away.
    pub(super) fn corrections(&self, typed: &str) -> Vec<Guess> {
        let Some(slip) = Slip::new(typed) else {
            return Vec::new();
        };
        let mut words = self.kept(self.shelf.words_where(|word| slip.may_be_of(word)));
        words.extend_from_slice(self.kitchen);
        self.noted(slip.corrections(words))
    }

    /// Visits the rows that have a word, as [`IndexLookup::count`] counts them.
    pub(super) fn for_each_row(&self, term: Term, visit: impl FnMut(u32)) {
        if let Some(known) = self.known(term) {
            known.rows.iter().copied().for_each(visit);
        }
    }

    /// All rows in steps of foods that are equally plain, in order of rows.
    pub(super) fn steps(&self) -> &'a [PlainRows] {
        self.kept(self.shelf.steps())
    }

    /// Reads the foods in some rows, all at once.
    pub(super) fn read(&self, rows: &[u32]) {
        let texts = self.kept(self.shelf.texts(rows));
        let texts = texts.into_iter().map(Rc::new);
        let met = &mut self.met.borrow_mut().texts;
        met.extend(rows.iter().copied().zip(texts));
    }

    /// The description of a food as the ranking needs it; its row must have been read, see [`IndexLookup::read`].
    pub(super) fn described(&self, row: u32) -> Described {
        self.with_entry(row, |entry| {
            describe(entry, &mut self.met.borrow_mut().reader)
        })
    }

    /// The food in a row that was read, as a hit.
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
        let text = self.met.borrow().texts.get(&row).cloned();
        read(self.kept(text.unwrap_or_default().entry()))
    }

    fn known(&self, term: Term) -> Option<Rc<KnownWord>> {
        if let Some(known) = self.met.borrow().words.get(&term) {
            return known.clone();
        }
        let known = self.kept(self.shelf.word(term)).map(|rows| {
            let foods = rows.named.len() + rows.made.len();
            let brand = rows.makers as usize > foods / 2
                && !self.is_kitchen_word(&self.word(term))
                && self.kept(self.basic.word(term)).is_none();
            let (mut of_word, mut made) = (rows.named, rows.made);
            if brand {
                of_word.append(&mut made);
                of_word.sort_unstable();
            }
            Rc::new(KnownWord {
                rows: of_word,
                brand,
            })
        });
        self.met.borrow_mut().words.insert(term, known.clone());
        known
    }

    fn is_kitchen_word(&self, stem: &str) -> bool {
        self.kitchen
            .binary_search_by(|word| word.as_str().cmp(stem))
            .is_ok()
    }

    /// Notes which stem a term is of.
    fn note(&self, stem: &str) -> Term {
        let term = Term::of(stem);
        let stems = &mut self.met.borrow_mut().stems;
        stems.entry(term).or_insert_with(|| stem.to_owned());
        term
    }

    fn noted(&self, words: Vec<(String, f32)>) -> Vec<Guess> {
        let noted = |(word, sureness): (String, f32)| (self.note(&word), sureness);
        words.into_iter().map(noted).collect()
    }

    /// Keeps the first error for [`IndexLookup::failure`].
    fn kept<T: Default>(&self, read: Result<T, IndexError>) -> T {
        read.unwrap_or_else(|error| {
            self.met.borrow_mut().failure.get_or_insert(error);
            T::default()
        })
    }
}
