//! SHA-256 of what is read or written, on the way.

use std::io::{self, Read, Write};

use sha2::{Digest, Sha256};

use crate::manifest::FileDigest;

/// A SHA-256 under way.
#[derive(Debug, Default)]
pub(crate) struct Hasher(Sha256);

impl Hasher {
    /// Takes in bytes.
    pub(crate) fn update(&mut self, bytes: &[u8]) {
        self.0.update(bytes);
    }

    /// The digest of what came in since the last one.
    pub(crate) fn finish_part(&mut self) -> String {
        hex(&self.0.finalize_reset())
    }
}

/// Counts and digests the bytes that pass.
#[derive(Debug)]
pub(crate) struct Digesting<T> {
    inner: T,
    hasher: Sha256,
    bytes: u64,
    failure: Option<io::Error>,
}

impl<T> Digesting<T> {
    pub(crate) fn new(inner: T) -> Self {
        Self {
            inner,
            hasher: Sha256::new(),
            bytes: 0,
            failure: None,
        }
    }

    /// Bytes that have passed.
    pub(crate) fn count(&self) -> u64 {
        self.bytes
    }

    /// What the bytes come from or go to.
    pub(crate) fn get_ref(&self) -> &T {
        &self.inner
    }

    /// The digest of everything that has passed so far.
    pub(crate) fn sha256(&self) -> String {
        hex(&self.hasher.clone().finalize())
    }

    /// The error of the last write that failed, which encoders are apt to hide in one of their own.
    pub(crate) fn take_failure(&mut self) -> Option<io::Error> {
        self.failure.take()
    }

    /// The digest of everything that has passed, under a file name.
    pub(crate) fn finish(self, name: &str) -> FileDigest {
        let sha256 = hex(&self.hasher.finalize());
        FileDigest {
            name: name.to_owned(),
            bytes: self.bytes,
            sha256,
        }
    }

    fn pass(&mut self, bytes: &[u8]) {
        self.hasher.update(bytes);
        self.bytes += bytes.len() as u64;
    }
}

impl<R: Read> Read for Digesting<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let count = self.inner.read(buffer)?;
        self.pass(buffer.get(..count).unwrap_or_default());
        Ok(count)
    }
}

impl<W: Write> Write for Digesting<W> {
    fn write(&mut self, buffer: &[u8]) -> io::Result<usize> {
        let written = self.inner.write(buffer);
        let count = written.inspect_err(|error| self.failure = Some(copy(error)))?;
        self.pass(buffer.get(..count).unwrap_or_default());
        Ok(count)
    }

    fn flush(&mut self) -> io::Result<()> {
        let flushed = self.inner.flush();
        flushed.inspect_err(|error| self.failure = Some(copy(error)))
    }
}

fn copy(error: &io::Error) -> io::Error {
    match error.raw_os_error() {
        Some(code) => io::Error::from_raw_os_error(code),
        None => io::Error::new(error.kind(), error.to_string()),
    }
}

/// SHA-256 of bytes in memory.
pub(crate) fn sha256(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

/// Bytes in lower-case hexadecimal digits.
pub fn hex(bytes: &[u8]) -> String {
    let halves = bytes.iter().flat_map(|byte| [byte >> 4, byte & 15]);
    halves
        .filter_map(|half| char::from_digit(half.into(), 16))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    // FIPS 180-2, appendix B.1: SHA-256 of "abc".
    const ABC: &str = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";

    /// A disk without room.
    struct Full;

    impl Write for Full {
        fn write(&mut self, _: &[u8]) -> io::Result<usize> {
            Err(io::ErrorKind::StorageFull.into())
        }

        fn flush(&mut self) -> io::Result<()> {
            Err(io::ErrorKind::QuotaExceeded.into())
        }
    }

    #[test]
    fn a_write_that_failed_is_remembered() {
        let mut writer = Digesting::new(Full);
        assert!(writer.take_failure().is_none());
        assert!(writer.write_all(b"abc").is_err());
        assert_eq!(
            writer.take_failure().unwrap().kind(),
            io::ErrorKind::StorageFull
        );
        assert_eq!(writer.count(), 0);
        assert!(writer.flush().is_err());
        assert_eq!(
            writer.take_failure().unwrap().kind(),
            io::ErrorKind::QuotaExceeded
        );
    }

    #[test]
    fn what_is_read_is_digested() {
        let mut reader = Digesting::new(&b"abc"[..]);
        io::copy(&mut reader, &mut io::sink()).unwrap();
        let digest = reader.finish("abc.txt");
        assert_eq!((digest.bytes, digest.sha256.as_str()), (3, ABC));
        assert_eq!(sha256(b"abc"), ABC);
    }
}
