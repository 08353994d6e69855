//! A file for what does not fit into memory.

use std::fs::{self, File};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::PathBuf;

use crate::error::Error;

/// A piece in the file.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Piece {
    start: u64,
    bytes: usize,
}

/// The spill file; it is made when it is first needed, and removed at the end.
#[derive(Debug)]
pub(crate) struct Spill {
    path: PathBuf,
    file: Option<File>,
    end: u64,
}

impl Spill {
    pub(crate) fn new(path: PathBuf) -> Self {
        Self {
            path,
            file: None,
            end: 0,
        }
    }

    /// Bytes written so far.
    pub(crate) fn bytes(&self) -> u64 {
        self.end
    }

    /// Appends a piece.
    pub(crate) fn write(&mut self, bytes: &[u8]) -> Result<Piece, Error> {
        self.append(bytes)
            .map_err(|source| Error::io("write", &self.path, source))
    }

    fn append(&mut self, bytes: &[u8]) -> io::Result<Piece> {
        let mut file = match self.file.take() {
            Some(file) => file,
            None => File::options()
                .read(true)
                .write(true)
                .create(true)
                .truncate(true)
                .open(&self.path)?,
        };
        file.seek(SeekFrom::Start(self.end))?;
        file.write_all(bytes)?;
        self.file = Some(file);
        let piece = Piece {
            start: self.end,
            bytes: bytes.len(),
        };
        self.end += bytes.len() as u64;
        Ok(piece)
    }

    /// Reads a piece.
    pub(crate) fn read(&mut self, piece: Piece) -> Result<Vec<u8>, Error> {
        self.read_back(piece)
            .map_err(|source| Error::io("read", &self.path, source))
    }

    fn read_back(&mut self, piece: Piece) -> io::Result<Vec<u8>> {
        let file = self.file.as_mut().ok_or(io::ErrorKind::NotFound)?;
        let mut bytes = vec![0; piece.bytes];
        file.seek(SeekFrom::Start(piece.start))?;
        file.read_exact(&mut bytes)?;
        Ok(bytes)
    }
}

impl Drop for Spill {
    fn drop(&mut self) {
        if self.file.take().is_some() {
            // If it cannot be removed, the next import does it.
            fs::remove_file(&self.path).unwrap_or_default();
        }
    }
}
