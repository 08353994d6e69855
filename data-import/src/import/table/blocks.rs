//! A file cut into blocks that end where a record ends.

use std::io::Read;

use crate::error::{Error, Place};
use crate::import::input::Input;
use crate::manifest::FileDigest;

/// Bytes of a block.
const BLOCK: usize = 512 * 1024;
/// No record of a dataset comes near this length.
const LONGEST: usize = 16 << 20;

/// Some whole records.
#[derive(Debug)]
pub(super) struct Block {
    pub(super) bytes: Vec<u8>,
    /// Where the records begin in `bytes`; after the header, in the first block.
    pub(super) start: usize,
    /// Line of the first byte, counted from 1.
    pub(super) line: u64,
    /// Place among the blocks.
    pub(super) sequence: u64,
}

/// The blocks of a file.
pub(super) struct Blocks<'a, 'w> {
    input: Input<'a, 'w>,
    /// The beginning of a record whose end has not been read yet.
    rest: Vec<u8>,
    spare: Vec<Vec<u8>>,
    line: u64,
    sequence: u64,
    ended: bool,
}

impl<'a, 'w> Blocks<'a, 'w> {
    pub(super) fn new(input: Input<'a, 'w>) -> Self {
        Self {
            input,
            rest: Vec::new(),
            spare: Vec::new(),
            line: 1,
            sequence: 0,
            ended: false,
        }
    }

    /// Takes the memory of a block that is done with.
    pub(super) fn give_back(&mut self, block: Block) {
        self.spare.push(block.bytes);
    }

    /// The digest of the file, once all blocks are read.
    pub(super) fn finish(self) -> FileDigest {
        self.input.finish()
    }

    /// The next block; `None` at the end of the file.
    pub(super) fn next(&mut self) -> Result<Option<Block>, Error> {
        let mut bytes = self.spare.pop().unwrap_or_default();
        bytes.clear();
        bytes.append(&mut self.rest);
        let mut wanted = BLOCK;
        let end = loop {
            self.fill(&mut bytes, wanted)?;
            if self.ended {
                break bytes.len();
            }
            if let Some(end) = last_end(&bytes) {
                break end;
            }
            if bytes.len() >= LONGEST {
                return Err(self.too_long());
            }
            wanted = 2 * bytes.len();
        };
        self.rest
            .extend_from_slice(bytes.get(end..).unwrap_or_default());
        bytes.truncate(end);
        if bytes.is_empty() {
            return Ok(None);
        }
        let start = match self.sequence {
            // A byte order mark.
            0 if bytes.starts_with(b"\xEF\xBB\xBF") => 3,
            _ => 0,
        };
        let line = self.line;
        self.line += count(&bytes, b'\n') as u64;
        self.sequence += 1;
        Ok(Some(Block {
            bytes,
            start,
            line,
            sequence: self.sequence,
        }))
    }

    /// Reads until there are `wanted` bytes or the file ends.
    fn fill(&mut self, bytes: &mut Vec<u8>, wanted: usize) -> Result<(), Error> {
        let missing = wanted.saturating_sub(bytes.len());
        let limit = missing as u64;
        let read = Read::by_ref(&mut self.input).take(limit).read_to_end(bytes);
        let read = read.map_err(|source| Error::Data {
            place: self.place(),
            problem: format!("cannot be read: {source}"),
        })?;
        self.ended = read < missing;
        Ok(())
    }

    fn place(&self) -> Place {
        Place {
            file: self.input.name().to_owned(),
            line: Some(self.line),
            column: None,
        }
    }

    fn too_long(&self) -> Error {
        let most = LONGEST >> 20;
        Error::Data {
            place: self.place(),
            problem: format!(
                "a record begins here that has no end within {most} MiB; is a quote never closed?"
            ),
        }
    }
}

/// The end of the last record that is whole, in bytes that begin with a record.
fn last_end(bytes: &[u8]) -> Option<usize> {
    let mut quoted = count(bytes, b'"') % 2 == 1;
    for (place, byte) in bytes.iter().enumerate().rev() {
        match byte {
            b'"' => quoted = !quoted,
            b'\n' if !quoted => return Some(place + 1),
            _ => (),
        }
    }
    None
}

/// How often a byte is there.
pub(super) fn count(bytes: &[u8], wanted: u8) -> usize {
    // By pieces that a byte can count, and of a length that vector instructions divide.
    let piece = |piece: &[u8]| {
        let counted = piece.iter().map(|byte| u8::from(*byte == wanted));
        usize::from(counted.fold(0, u8::wrapping_add))
    };
    bytes.chunks(192).map(piece).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_record_ends_outside_of_quotes() {
        for (text, end) in [
            ("a,b\nc,d\n", Some(8)),
            ("a,b\nc,d", Some(4)),
            ("a,\"b\nc\"", None),
            ("a\n\"b\n\"\"c\n", Some(2)),
            ("\"a\"\n\"b\nc\"\n\"d\ne", Some(10)),
            ("", None),
        ] {
            assert_eq!(last_end(text.as_bytes()), end, "{text:?}");
        }
        assert_eq!(count(&[b'x'; 1000], b'x'), 1000);
    }
}
