//! The words of all foods in one file, of which a query reads only what it needs.
//!
//! The file, front to back; numbers are LEB128 unless said otherwise:
//!
//! 1. its parts, each of at most [`FOODS_OF_PART`] foods that are all basic or all branded ones. A part stands
//!    alone, so that every core can write one:
//!    - the texts of its foods, one record after another: those of the plainest names first, so that what most queries read
//!      lies together;
//!    - for each food, where its text begins (four bytes, little-endian; so are all of four and of eight);
//!    - for each bucket of words, where its records begin, and where the last ends (four bytes each);
//!      a word's bucket is given by the first bits of its digest;
//!    - how plain the foods are, in steps: the difference to the step before, and how many foods are of this one;
//!    - the records: the digest of the word (eight bytes), how many foods have it in the name of their maker, how
//!      many bytes follow for the foods that have it in the name, how many for those that have it in the name of
//!      the maker alone, and these foods, each as the difference to the last;
//!    - the stems of all its words, a line each;
//! 2. a footer that says what foods these are and how long the parts of each part are, its length (eight bytes),
//!    [`MAGIC`], [`VERSION`].

mod build;
mod bytes;
mod open;
mod part;
mod part_writer;
mod read_at;
mod shelf;

use std::io;

use thiserror::Error;

pub use build::IndexBuilder;
pub(super) use open::{OpenIndex, open};
pub use part_writer::{PartWriter, WrittenPart};
pub use read_at::ReadAt;
pub(super) use shelf::{FoodText, PlainRows, Shelf};

use super::term::Term;

/// Ends the file, before the version.
const MAGIC: &[u8; 7] = b"trayidx";
/// Raised with every change of the layout, and of the way names are read into words (folding,
/// stems, phrases).
const VERSION: u8 = 3;
/// Bytes of the length of the footer, the magic and the version.
const ENDING: u64 = 16;

/// Foods of one part at most: few enough for a processor's cache to hold what writing it needs.
pub const FOODS_OF_PART: usize = 65_536;

/// Bytes of a number that stands by itself: where a text or a bucket begins.
const NUMBER: u64 = 4;
/// A part has no more than two to the power of this buckets.
const MOST_BUCKET_BITS: u32 = 24;

/// Why an index could not be read.
#[derive(Debug, Error)]
pub enum IndexError {
    /// The system could not read the file.
    #[error("cannot read the search index: {0}")]
    Read(#[from] io::Error),
    /// The index was written by another version of the program, or is not an index.
    #[error("the search index is of another version of the program")]
    Version,
    /// What it holds does not fit together.
    #[error("the search index is damaged: {0}")]
    Damaged(&'static str),
}

/// How long the sections of a part are, as the footer of the file has it.
#[derive(Debug, Clone, Copy)]
struct PartShape {
    branded: bool,
    foods: u32,
    /// Bytes of the texts.
    texts: u64,
    /// Two to the power of this is the number of buckets.
    bucket_bits: u32,
    /// Bytes of the steps.
    steps: u64,
    /// Bytes of the records.
    records: u64,
    /// Bytes of the stems.
    stems: u64,
}

impl PartShape {
    /// The bucket of a word.
    fn bucket(&self, term: Term) -> usize {
        term.first_bits(self.bucket_bits)
    }

    /// Numbers that say where records begin: one more than there are buckets.
    fn directory(&self) -> u64 {
        (1 << self.bucket_bits) + 1
    }

    /// Bytes of the whole part; `None` if there are more than a file can have.
    fn length(&self) -> Option<u64> {
        let numbers = (u64::from(self.foods) + self.directory()) * NUMBER;
        let sections = [self.texts, self.steps, self.records, self.stems];
        let mut sections = sections.into_iter();
        sections.try_fold(numbers, u64::checked_add)
    }
}
