//! How pages are compressed. Sums of many values look like noise to a compressor: Zstandard takes a
//! twentieth off them, and is a third of the work of a run. Such pages are stored as they are, in a
//! frame that any reader of Zstandard reads.

use std::sync::{Mutex, MutexGuard, PoisonError};

use polars_parquet::parquet::CowBuffer;
use polars_parquet::parquet::compression::compress as compress_bytes;
use polars_parquet::parquet::error::{ParquetError, ParquetResult};
use polars_parquet::parquet::page::CompressedPage;
use polars_parquet::parquet::write::compress;
use polars_parquet::write::{
    CompressedDataPage, CompressionOptions, FallibleStreamingIterator, Page,
};

use super::doubles::DoublePage;

/// Bytes in the middle of a page from which it is judged whether compressing pays.
const SAMPLE: usize = 1 << 13;
/// Smaller pages are compressed without looking.
const LEAST_PAGE: usize = 8 * SAMPLE;
/// A page is stored if compressing would leave more of it than this share.
const STORED_FROM: f64 = 0.8;

/// Pages of a column that are judged by one of them.
const JUDGED_TOGETHER: u8 = 8;

/// Whether the pages of a column are stored as they are, by the one that was sampled last.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Judged {
    is_noise: bool,
    /// How many more pages are taken to be alike.
    left: u8,
}

/// A page before it is compressed.
pub(super) enum DraftPage<'a> {
    Encoded(Page),
    Doubles(DoublePage<'a>),
}

/// Pages, compressed as they are asked for.
pub(super) struct PageCompressor<'a, I> {
    pages: I,
    codec: CompressionOptions,
    judged: &'a mut Judged,
    /// Of the page before, to be used again; the columns of a file share it, one after another.
    room: &'a Mutex<Vec<u8>>,
    current: Option<CompressedPage>,
}

impl<'a, I> PageCompressor<'a, I> {
    /// Of the pages of a column, of which something was judged before.
    pub(super) fn new(
        pages: I,
        codec: CompressionOptions,
        judged: &'a mut Judged,
        room: &'a Mutex<Vec<u8>>,
    ) -> Self {
        Self {
            pages,
            codec,
            judged,
            room,
            current: None,
        }
    }

    fn room(&self) -> MutexGuard<'_, Vec<u8>> {
        self.room.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl<'p, E, I> FallibleStreamingIterator for PageCompressor<'_, I>
where
    E: From<ParquetError>,
    I: Iterator<Item = Result<DraftPage<'p>, E>>,
{
    type Item = CompressedPage;
    type Error = E;

    fn advance(&mut self) -> Result<(), E> {
        if let Some(CompressedPage::Data(mut page)) = self.current.take() {
            *self.room() = std::mem::take(page.slice_mut().to_mut());
        }
        if let Some(page) = self.pages.next() {
            let mut room = std::mem::take(&mut *self.room());
            room.clear();
            self.current = Some(compressed(page?, room, self.codec, self.judged)?);
        }
        Ok(())
    }

    fn get(&self) -> Option<&CompressedPage> {
        self.current.as_ref()
    }
}

fn compressed(
    page: DraftPage<'_>,
    room: Vec<u8>,
    codec: CompressionOptions,
    judged: &mut Judged,
) -> ParquetResult<CompressedPage> {
    match page {
        DraftPage::Doubles(page)
            if may_be_stored(page.bytes(), codec)
                && judge(judged, || page.middle(SAMPLE), codec)? =>
        {
            let mut frame = StoredFrame::begin(room, page.bytes());
            page.write(|bytes| frame.append(bytes));
            Ok(CompressedPage::Data(CompressedDataPage::new(
                page.header(),
                CowBuffer::Owned(frame.bytes),
                codec.into(),
                page.bytes(),
                page.descriptor.clone(),
                page.rows(),
            )))
        }
        DraftPage::Doubles(page) => compress(Page::Data(page.encoded()), room, codec),
        DraftPage::Encoded(page) => compress(page, room, codec),
    }
}

/// Whether a page is large enough, and of a codec, that storing it is worth a look.
fn may_be_stored(bytes: usize, codec: CompressionOptions) -> bool {
    bytes >= LEAST_PAGE && matches!(codec, CompressionOptions::Zstd(_))
}

/// Whether a page is stored: what was found of the pages before it, or of its own middle where they stand for no more.
fn judge(
    judged: &mut Judged,
    middle: impl FnOnce() -> Vec<u8>,
    codec: CompressionOptions,
) -> ParquetResult<bool> {
    match judged.left.checked_sub(1) {
        Some(left) => judged.left = left,
        None => {
            *judged = Judged {
                is_noise: is_noise_to(codec, &middle())?,
                left: JUDGED_TOGETHER - 1,
            }
        }
    }
    Ok(judged.is_noise)
}

/// Whether a codec would take hardly anything off some bytes.
fn is_noise_to(codec: CompressionOptions, sample: &[u8]) -> ParquetResult<bool> {
    let mut shrunk = Vec::new();
    compress_bytes(codec, sample, &mut shrunk)?;
    #[expect(clippy::cast_precision_loss, reason = "both are small")]
    Ok(shrunk.len() as f64 > STORED_FROM * sample.len() as f64)
}

/// Bytes of a block of a frame at most.
const BLOCK: usize = 1 << 17;

/// A frame of Zstandard whose blocks are the bytes as they are (RFC 8878, 3.1.1): magic number,
/// descriptor (a size of four bytes, one segment, no checksum), size, and for each block three
/// bytes with its size, its kind (0: raw) and whether it is the last.
struct StoredFrame {
    bytes: Vec<u8>,
    /// Bytes that the current block still takes, and those that come after it.
    of_block: usize,
    later: usize,
}

impl StoredFrame {
    /// Begins the frame of so many bytes.
    fn begin(mut bytes: Vec<u8>, size: usize) -> Self {
        bytes.reserve(size + 3 * size.div_ceil(BLOCK) + 12);
        bytes.extend_from_slice(&0xFD2F_B528_u32.to_le_bytes());
        bytes.push(0b1010_0000);
        bytes.extend_from_slice(&low_bytes::<4>(size));
        let mut frame = Self {
            bytes,
            of_block: 0,
            later: size,
        };
        frame.begin_block();
        frame
    }

    fn begin_block(&mut self) {
        self.of_block = self.later.min(BLOCK);
        self.later -= self.of_block;
        let header = self.of_block << 3 | usize::from(self.later == 0);
        self.bytes.extend_from_slice(&low_bytes::<3>(header));
    }

    fn append(&mut self, mut bytes: &[u8]) {
        while !bytes.is_empty() {
            if self.of_block == 0 {
                self.begin_block();
            }
            let (here, rest) = bytes.split_at(bytes.len().min(self.of_block));
            self.bytes.extend_from_slice(here);
            self.of_block -= here.len();
            bytes = rest;
        }
    }
}

fn low_bytes<const N: usize>(number: usize) -> [u8; N] {
    let bytes = number.to_le_bytes();
    std::array::from_fn(|at| bytes.get(at).copied().unwrap_or(0))
}

#[cfg(test)]
mod tests {
    use polars_parquet::parquet::compression::{Compression, DecompressionContext, decompress};
    use polars_parquet::write::ZstdLevel;

    use super::*;

    /// Bytes without order: a linear congruential generator with the constants of Numerical Recipes
    /// (from memory; any others would do).
    fn noise(bytes: usize) -> Vec<u8> {
        let mut state = 7_u32;
        let byte = |_| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            state.to_le_bytes()[3]
        };
        (0..bytes).map(byte).collect()
    }

    #[test]
    fn a_stored_frame_is_read_by_the_library() {
        for size in [
            0,
            1,
            1000,
            BLOCK - 1,
            BLOCK,
            BLOCK + 1,
            3 * BLOCK,
            3 * BLOCK + 70,
        ] {
            let page = noise(size);
            let mut frame = StoredFrame::begin(Vec::new(), size);
            page.chunks(1000).for_each(|some| frame.append(some));
            let frame = frame.bytes;
            let mut read = vec![0; size];
            let mut context = DecompressionContext::Unset;
            decompress(Compression::Zstd, &frame, &mut read, &mut context).unwrap();
            assert!(read == page, "{size}");
            assert!(frame.len() < size + size / 10_000 + 16, "{size}");
        }
    }

    #[test]
    fn what_shrinks_is_compressed_and_a_judgement_lasts_for_some_pages() {
        let zstd = CompressionOptions::Zstd(Some(ZstdLevel::try_new(1).unwrap()));
        let noise = noise(1 << 20);
        let round: Vec<u8> = noise.iter().map(|byte| byte & 0x1f).collect();
        assert!(is_noise_to(zstd, &noise).unwrap());
        assert!(!is_noise_to(zstd, &round).unwrap(), "three eighths less");
        let judged = &mut Judged::default();
        assert!(judge(judged, || noise.clone(), zstd).unwrap());
        for _ in 1..JUDGED_TOGETHER {
            assert!(judge(judged, || round.clone(), zstd).unwrap());
        }
        assert!(!judge(judged, || round.clone(), zstd).unwrap());
    }

    #[test]
    fn small_pages_and_other_codecs_are_not_looked_at() {
        let zstd = CompressionOptions::Zstd(Some(ZstdLevel::try_new(1).unwrap()));
        assert!(may_be_stored(LEAST_PAGE, zstd));
        assert!(!may_be_stored(LEAST_PAGE - 1, zstd));
        assert!(!may_be_stored(LEAST_PAGE, CompressionOptions::Lz4Raw));
    }
}
