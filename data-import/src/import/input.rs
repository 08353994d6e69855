//! One file of a dataset while it is read: digested, limited in size, its progress reported.

use std::io::{self, Read};

use super::{Progress, Stage, Watcher};
use crate::digest::Digesting;
use crate::manifest::FileDigest;

/// The bytes after which progress is reported.
const STEP: u64 = 256 * 1024;

/// A file being read.
pub(super) struct Input<'a, 'w> {
    name: &'a str,
    reader: Digesting<Box<dyn Read + Send + 'a>>,
    total: u64,
    limit: u64,
    reported: u64,
    watcher: &'a mut Watcher<'w>,
}

impl<'a, 'w> Input<'a, 'w> {
    /// `total` is the length the folder or zip states; reading fails after `limit` bytes,
    /// whatever was stated.
    pub(super) fn new(
        name: &'a str,
        reader: Box<dyn Read + Send + 'a>,
        total: u64,
        limit: u64,
        watcher: &'a mut Watcher<'w>,
    ) -> Self {
        Self {
            name,
            reader: Digesting::new(reader),
            total,
            limit,
            reported: 0,
            watcher,
        }
    }

    /// The name of the file, as the dataset writes it.
    pub(super) fn name(&self) -> &'a str {
        self.name
    }

    /// Its length as the folder or zip states it.
    pub(super) fn total(&self) -> u64 {
        self.total
    }

    /// The digest of what was read.
    pub(super) fn finish(mut self) -> FileDigest {
        self.report();
        self.reader.finish(self.name)
    }

    fn report(&mut self) {
        let (file, done, total) = (self.name, self.reader.count(), self.total);
        (self.watcher)(Progress {
            stage: Stage::Reading,
            file,
            done,
            total,
        });
        self.reported = done;
    }
}

impl Read for Input<'_, '_> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let count = self.reader.read(buffer)?;
        if self.reader.count() > self.limit {
            let text = format!("it is longer than {} MB", self.limit / 1_000_000);
            return Err(io::Error::new(io::ErrorKind::FileTooLarge, text));
        }
        if self.reader.count() - self.reported >= STEP {
            self.report();
        }
        Ok(count)
    }
}
