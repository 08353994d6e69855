//! A file cut into blocks that end where a record ends.

use std::io::{ErrorKind, Read};

use crate::error::{Error, Place};
use crate::import::input::Input;
use crate::manifest::FileDigest;

/// Bytes of a block: few enough to stay in the cache of a core while they are read, digested and
/// taken apart.
const BLOCK: usize = 256 * 1024;
/// The longest record in bytes; none of a dataset comes near it.
const LONGEST: usize = 16 << 20;

/// Some whole records.
#[derive(Debug, Default)]
pub(super) struct Block<'a> {
    file: &'a str,
    memory: Vec<u8>,
    end: usize,
    /// Where the records begin; after the header, in the first block.
    pub(super) start: usize,
    /// Line of the first byte, counted from 1.
    line: u64,
    /// Place among the blocks.
    pub(super) sequence: u64,
}

impl<'a> Block<'a> {
    /// Without records yet.
    pub(super) fn new(file: &'a str) -> Self {
        Self {
            file,
            ..Self::default()
        }
    }

    pub(super) fn bytes(&self) -> &[u8] {
        self.memory.get(..self.end).unwrap_or_default()
    }

    /// An error at a byte.
    pub(super) fn wrong(&self, at: usize, problem: &str) -> Error {
        let before = self.bytes().get(..at).unwrap_or_default();
        let begin = before.iter().rposition(|byte| *byte == b'\n');
        let column = at - begin.map_or(0, |begin| begin + 1) + 1;
        self.error(at, Some(column as u64), problem)
    }

    /// An error about the record that begins at a byte.
    pub(super) fn wrong_line(&self, at: usize, problem: &str) -> Error {
        self.error(at, None, problem)
    }

    fn error(&self, at: usize, column: Option<u64>, problem: &str) -> Error {
        Error::Data {
            place: Place {
                file: self.file.to_owned(),
                line: Some(self.line_of(at)),
                column,
            },
            problem: problem.to_owned(),
        }
    }

    /// The line that a byte is on.
    pub(super) fn line_of(&self, at: usize) -> u64 {
        let before = self.bytes().get(..at).unwrap_or_default();
        self.line + count(before, b'\n') as u64
    }

    #[cfg(test)]
    pub(super) fn of(bytes: &[u8]) -> Self {
        Self {
            memory: bytes.to_vec(),
            end: bytes.len(),
            line: 1,
            ..Self::default()
        }
    }
}

/// The blocks of a file.
pub(super) struct Blocks<'a, 'w> {
    input: Input<'a, 'w>,
    /// The beginning of a record whose end has not been read yet.
    rest: Vec<u8>,
    line: u64,
    sequence: u64,
    ended: bool,
}

impl<'a, 'w> Blocks<'a, 'w> {
    pub(super) fn new(input: Input<'a, 'w>) -> Self {
        Self {
            input,
            rest: Vec::new(),
            line: 1,
            sequence: 0,
            ended: false,
        }
    }

    /// The digest of the file, once all blocks are read.
    pub(super) fn finish(self) -> FileDigest {
        self.input.finish()
    }

    /// The name of the file.
    pub(super) fn file(&self) -> &'a str {
        self.input.name()
    }

    /// Which block comes next.
    pub(super) fn sequence(&self) -> u64 {
        self.sequence + 1
    }

    /// Puts the next records into `block`, in place of what it held; false at the end of the file.
    pub(super) fn next(&mut self, block: &mut Block<'_>) -> Result<bool, Error> {
        let memory = &mut block.memory;
        let mut filled = self.rest.len();
        let mut wanted = BLOCK.max(2 * filled);
        let end = loop {
            // Bytes from before are written over.
            memory.resize(memory.len().max(wanted), 0);
            for (to, from) in memory.iter_mut().zip(self.rest.drain(..)) {
                *to = from;
            }
            filled += self.fill(memory.get_mut(filled..wanted).unwrap_or_default())?;
            let bytes = memory.get(..filled).unwrap_or_default();
            if self.ended {
                break filled;
            }
            if let Some(end) = last_end(bytes) {
                self.rest
                    .extend_from_slice(bytes.get(end..).unwrap_or_default());
                break end;
            }
            if filled >= LONGEST {
                return Err(self.too_long());
            }
            wanted = 2 * filled;
        };
        block.end = end;
        self.sequence += 1;
        block.sequence = self.sequence;
        block.line = self.line;
        // A byte order mark.
        let marked = self.sequence == 1 && block.bytes().starts_with(b"\xEF\xBB\xBF");
        block.start = if marked { 3 } else { 0 };
        self.line += count(block.bytes(), b'\n') as u64;
        Ok(end > 0)
    }

    /// Reads until `into` is full or the file ends; returns how many bytes it read.
    fn fill(&mut self, into: &mut [u8]) -> Result<usize, Error> {
        let mut filled = 0;
        while let Some(room) = into.get_mut(filled..).filter(|room| !room.is_empty()) {
            match self.input.read(room) {
                Ok(0) => {
                    self.ended = true;
                    break;
                }
                Ok(read) => filled += read,
                Err(source) if source.kind() == ErrorKind::Interrupted => (),
                Err(source) => {
                    return Err(self.wrong(format!("cannot be read: {source}")));
                }
            }
        }
        Ok(filled)
    }

    fn too_long(&self) -> Error {
        let most = LONGEST >> 20;
        self.wrong(format!(
            "a record begins here that has no end within {most} MiB; is a quote never closed?"
        ))
    }

    fn wrong(&self, problem: String) -> Error {
        Error::in_file(self.input.name(), Some(self.line), problem)
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
fn count(bytes: &[u8], wanted: u8) -> usize {
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
