//! A file that goes to the disk while it is written.

use std::fs::File;
use std::io::{self, Write};

/// Bytes written before they are synced.
///
/// With more, the end of a file would have to be waited for, when nothing else is left to do.
const WAITING: usize = 8 << 20;

/// A file whose bytes are synced while it is written, so that little is left to wait for at its
/// end.
#[derive(Debug)]
pub struct DurableFile {
    file: File,
    waiting: usize,
}

impl DurableFile {
    /// To write into a file.
    pub fn new(file: File) -> Self {
        Self { file, waiting: 0 }
    }

    /// The file, of which the last bytes may still wait.
    pub fn file(&self) -> &File {
        &self.file
    }
}

impl Write for DurableFile {
    fn write(&mut self, buffer: &[u8]) -> io::Result<usize> {
        let count = self.file.write(buffer)?;
        self.waiting += count;
        if self.waiting >= WAITING {
            self.file.sync_data()?;
            self.waiting = 0;
        }
        Ok(count)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}
