//! The words of all foods in one file, of which a query reads only what it needs.
//!
//! The file, front to back; numbers are LEB128, offsets count from its start:
//!
//! 1. the texts of the foods, one record after another, as they came;
//! 2. for each shelf, the basic foods and then the branded ones:
//!    its rows (five bytes each, little-endian: where the text of that row begins),
//!    its postings (for each word the rows that have it in the name, and then those that have it in
//!    the maker alone, each as the difference to the last), its words with the number of foods and
//!    of makers that have them and the place of their postings, and its runs of three letters with
//!    the numbers of the words that have them;
//!    the last two are [`table`]s: sorted keys in blocks, and a short list of the blocks;
//! 3. a footer that says where all this lies, its length (eight bytes), [`MAGIC`], [`VERSION`].
//!
//! Rows of the basic shelf are in the order of arrival; rows of the branded one begin with the
//! plainest names, so that the first rows of a long posting are the best of it. Each shelf stands
//! alone: what is on the other one does not change it.

mod build;
mod bytes;
mod open;
mod read_at;
mod reading;
mod shelf;
mod shelf_build;
mod table;
mod table_write;

use std::io;

use thiserror::Error;

pub use build::IndexBuilder;
pub(super) use open::{OpenIndex, open};
pub use read_at::ReadAt;
pub use reading::{NameChunk, NameReader};
pub(super) use shelf::{Shelf, WordInfo};

/// Ends the file, before the version.
const MAGIC: &[u8; 7] = b"trayidx";
/// Moves on with every change of the layout, and of the way names are read into words (folding,
/// stems, phrases).
const VERSION: u8 = 1;
/// Bytes of the length of the footer, the magic and the version.
const ENDING: u64 = 16;

/// Bytes of one entry of the rows.
const ROW: usize = 5;

/// Marks a word of the maker among the words of a food, and a word of its name.
const MAKER: u32 = 1 << 31;
const NAME: u32 = 1 << 30;
const WORD: u32 = NAME - 1;

/// Why an index could not be read.
#[derive(Debug, Error)]
pub enum IndexError {
    /// The system could not read the file.
    #[error("cannot read the search index: {0}")]
    Read(#[from] io::Error),
    /// The index was written by another version of the program, or is no index.
    #[error("the search index is of another version of the program")]
    Version,
    /// What it holds does not fit together.
    #[error("the search index is damaged: {0}")]
    Damaged(&'static str),
}

/// Where the parts of a shelf lie.
#[derive(Debug, Clone, Copy, Default)]
struct ShelfPlace {
    foods: u32,
    /// Where row 0 stands among the rows.
    rows_at: u64,
    words: table::TablePlace,
    trigrams: table::TablePlace,
}
