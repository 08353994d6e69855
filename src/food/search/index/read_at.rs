//! Reading at a place: from a file, or from bytes in memory.

use std::fmt::Debug;
use std::fs::File;
use std::io;
#[cfg(target_os = "linux")]
use std::num::NonZeroU64;

use super::IndexError;

/// Something whose bytes can be read at any place.
pub trait ReadAt: Debug + Send + Sync {
    /// Fills the buffer with the bytes from `offset` on; an error if there are not as many.
    fn read_exact_at(&self, buffer: &mut [u8], offset: u64) -> io::Result<()>;

    /// Bytes in all.
    fn size(&self) -> io::Result<u64>;

    /// Says that bytes will be read soon: a disk fetches many at once in hardly more time than one.
    fn will_read(&self, _offset: u64, _length: u64) {}
}

impl ReadAt for File {
    #[cfg(unix)]
    fn read_exact_at(&self, buffer: &mut [u8], offset: u64) -> io::Result<()> {
        std::os::unix::fs::FileExt::read_exact_at(self, buffer, offset)
    }

    #[cfg(not(unix))]
    fn read_exact_at(&self, buffer: &mut [u8], offset: u64) -> io::Result<()> {
        use std::io::{Read, Seek, SeekFrom};
        let mut file = self;
        file.seek(SeekFrom::Start(offset))?;
        file.read_exact(buffer)
    }

    fn size(&self) -> io::Result<u64> {
        Ok(self.metadata()?.len())
    }

    #[cfg(target_os = "linux")]
    fn will_read(&self, offset: u64, length: u64) {
        use rustix::fs::{Advice, fadvise};
        // Advice that is not taken costs time alone: the bytes are read all the same.
        let _ = fadvise(self, offset, NonZeroU64::new(length), Advice::WillNeed);
    }
}

impl ReadAt for &'static [u8] {
    fn read_exact_at(&self, buffer: &mut [u8], offset: u64) -> io::Result<()> {
        read_slice(self, buffer, offset)
    }

    fn size(&self) -> io::Result<u64> {
        Ok(self.len() as u64)
    }
}

impl ReadAt for Vec<u8> {
    fn read_exact_at(&self, buffer: &mut [u8], offset: u64) -> io::Result<()> {
        read_slice(self, buffer, offset)
    }

    fn size(&self) -> io::Result<u64> {
        Ok(self.len() as u64)
    }
}

fn read_slice(bytes: &[u8], buffer: &mut [u8], offset: u64) -> io::Result<()> {
    let from = usize::try_from(offset).ok();
    let rest = from.and_then(|from| bytes.get(from..));
    let part = rest.and_then(|rest| rest.get(..buffer.len()));
    buffer.copy_from_slice(part.ok_or(io::ErrorKind::UnexpectedEof)?);
    Ok(())
}

/// The bytes of an index.
#[derive(Debug)]
pub(super) struct IndexBytes {
    reader: Box<dyn ReadAt>,
    size: u64,
}

impl IndexBytes {
    pub(super) fn new(reader: Box<dyn ReadAt>) -> Result<Self, IndexError> {
        let size = reader.size()?;
        Ok(Self { reader, size })
    }

    pub(super) fn size(&self) -> u64 {
        self.size
    }

    /// The bytes at a place. A length beyond the end is found before memory is asked for.
    pub(super) fn read(&self, at: u64, length: u64) -> Result<Vec<u8>, IndexError> {
        let fits = at
            .checked_add(length)
            .filter(|&end| end <= self.size)
            .and_then(|_| usize::try_from(length).ok());
        let length = fits.ok_or(IndexError::Damaged("a part lies beyond its end"))?;
        let mut buffer = vec![0; length];
        self.read_into(at, &mut buffer)?;
        Ok(buffer)
    }

    /// Says that bytes will be read soon.
    pub(super) fn will_read(&self, at: u64, length: u64) {
        self.reader.will_read(at, length);
    }

    /// Fills the buffer with the bytes at a place.
    pub(super) fn read_into(&self, at: u64, buffer: &mut [u8]) -> Result<(), IndexError> {
        Ok(self.reader.read_exact_at(buffer, at)?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_and_memory_read_alike() {
        use std::io::Write;
        let mut file = tempfile::tempfile().unwrap();
        file.write_all(b"0123456789").unwrap();
        let sources: [Box<dyn ReadAt>; 3] = [
            Box::new(file),
            Box::new(b"0123456789".to_vec()),
            Box::new(&b"0123456789"[..]),
        ];
        for source in sources.map(|reader| IndexBytes::new(reader).unwrap()) {
            assert_eq!(source.size(), 10);
            assert_eq!(source.read(3, 4).unwrap(), b"3456");
            assert_eq!(source.read(10, 0).unwrap(), b"");
            assert!(source.read(8, 3).is_err());
            assert!(source.read(u64::MAX, 3).is_err());
        }
    }
}
