//! How pages are compressed. Sums of many values look like noise to a compressor: Zstandard takes a twentieth off them, and is a third of the
//! work of a run. Such pages are stored as they are, in a frame that any reader of Zstandard reads.

use polars_parquet::parquet::CowBuffer;
use polars_parquet::parquet::compression::compress as compress_bytes;
use polars_parquet::parquet::error::ParquetResult;
use polars_parquet::parquet::page::{CompressedPage, DataPage, DataPageHeader};
use polars_parquet::parquet::write::compress;
use polars_parquet::write::{
    CompressedDataPage, CompressionOptions, FallibleStreamingIterator, Page,
};

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

/// Pages, compressed as they are asked for.
pub(super) struct PageCompressor<'a, I> {
    pages: I,
    codec: CompressionOptions,
    judged: &'a mut Judged,
    current: Option<CompressedPage>,
}

impl<'a, I> PageCompressor<'a, I> {
    /// Of the pages of a column, of which something was judged before.
    pub(super) fn new(pages: I, codec: CompressionOptions, judged: &'a mut Judged) -> Self {
        Self {
            pages,
            codec,
            judged,
            current: None,
        }
    }
}

impl<E: From<polars_parquet::parquet::error::ParquetError>, I: Iterator<Item = Result<Page, E>>>
    FallibleStreamingIterator for PageCompressor<'_, I>
{
    type Item = CompressedPage;
    type Error = E;

    fn advance(&mut self) -> Result<(), E> {
        // The room of the page before is used again.
        let room = match self.current.take() {
            Some(CompressedPage::Data(mut page)) => std::mem::take(page.slice_mut().to_mut()),
            _ => Vec::new(),
        };
        if let Some(page) = self.pages.next() {
            self.current = Some(compressed(page?, room, self.codec, self.judged)?);
        }
        Ok(())
    }

    fn get(&self) -> Option<&CompressedPage> {
        self.current.as_ref()
    }
}

fn compressed(
    page: Page,
    mut room: Vec<u8>,
    codec: CompressionOptions,
    judged: &mut Judged,
) -> ParquetResult<CompressedPage> {
    room.clear();
    match &page {
        Page::Data(data) if may_be_stored(data, codec) && judge(judged, data.buffer(), codec)? => {
            store(data.buffer(), &mut room);
            Ok(CompressedPage::Data(CompressedDataPage::new(
                data.header().clone(),
                CowBuffer::Owned(room),
                codec.into(),
                data.buffer().len(),
                data.descriptor.clone(),
                data.num_rows().unwrap_or_default(),
            )))
        }
        _ => compress(page, room, codec),
    }
}

/// Whether a page is large enough, and of a kind and a codec, that storing it is worth a look.
fn may_be_stored(page: &DataPage, codec: CompressionOptions) -> bool {
    matches!(page.header(), DataPageHeader::V1(_))
        && page.buffer().len() >= LEAST_PAGE
        && matches!(codec, CompressionOptions::Zstd(_))
}

/// Whether a page is stored: what was found of the pages before it, or of itself where they stand for no more.
fn judge(judged: &mut Judged, page: &[u8], codec: CompressionOptions) -> ParquetResult<bool> {
    match judged.left.checked_sub(1) {
        Some(left) => judged.left = left,
        None => {
            *judged = Judged {
                is_noise: is_noise_to(codec, page)?,
                left: JUDGED_TOGETHER - 1,
            }
        }
    }
    Ok(judged.is_noise)
}

/// Whether a codec would take hardly anything off a page.
fn is_noise_to(codec: CompressionOptions, page: &[u8]) -> ParquetResult<bool> {
    let middle = page.len() / 2;
    let sample = page.get(middle..).unwrap_or_default();
    let sample = sample.get(..SAMPLE).unwrap_or(sample);
    let mut shrunk = Vec::new();
    compress_bytes(codec, sample, &mut shrunk)?;
    #[expect(clippy::cast_precision_loss, reason = "both are small")]
    Ok(shrunk.len() as f64 > STORED_FROM * sample.len() as f64)
}

/// Bytes of a block of a frame at most.
const BLOCK: usize = 1 << 17;

/// A frame of Zstandard whose blocks are the bytes as they are (RFC 8878, 3.1.1): magic number, descriptor (a size of four bytes, one
/// segment, no checksum), size, and for each block three bytes with its size, its kind (0: raw) and whether it is the last.
fn store(page: &[u8], frame: &mut Vec<u8>) {
    let blocks = page.chunks(BLOCK);
    let last = blocks.len().saturating_sub(1);
    frame.reserve(page.len() + 3 * blocks.len() + 9);
    frame.extend_from_slice(&0xFD2F_B528_u32.to_le_bytes());
    frame.push(0b1010_0000);
    frame.extend_from_slice(&low_bytes::<4>(page.len()));
    for (at, block) in blocks.enumerate() {
        let header = block.len() << 3 | usize::from(at == last);
        frame.extend_from_slice(&low_bytes::<3>(header));
        frame.extend_from_slice(block);
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

    /// Bytes without order: a linear congruential generator with the constants of Numerical Recipes (from memory; any others would do).
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
            let (page, mut frame) = (noise(size), Vec::new());
            store(&page, &mut frame);
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
        assert!(judge(judged, &noise, zstd).unwrap());
        for _ in 1..JUDGED_TOGETHER {
            assert!(judge(judged, &round, zstd).unwrap());
        }
        assert!(!judge(judged, &round, zstd).unwrap());
    }

    #[test]
    fn small_pages_and_other_codecs_are_not_looked_at() {
        let header = DataPageHeader::V1(polars_parquet::parquet::page::DataPageHeaderV1 {
            num_values: 0,
            encoding: polars_parquet::write::Encoding::Plain.into(),
            definition_level_encoding: polars_parquet::write::Encoding::Rle.into(),
            repetition_level_encoding: polars_parquet::write::Encoding::Rle.into(),
            statistics: None,
        });
        let descriptor = polars_parquet::parquet::metadata::Descriptor {
            primitive_type: polars_parquet::parquet::schema::types::PrimitiveType::from_physical(
                "x".into(),
                polars_parquet::parquet::schema::types::PhysicalType::Double,
            ),
            max_def_level: 0,
            max_rep_level: 0,
        };
        let page = |bytes: usize| {
            let buffer = CowBuffer::Owned(noise(bytes));
            DataPage::new(header.clone(), buffer, descriptor.clone(), 0)
        };
        let zstd = CompressionOptions::Zstd(Some(ZstdLevel::try_new(1).unwrap()));
        assert!(may_be_stored(&page(LEAST_PAGE), zstd));
        assert!(!may_be_stored(&page(LEAST_PAGE - 1), zstd));
        assert!(!may_be_stored(
            &page(LEAST_PAGE),
            CompressionOptions::Lz4Raw
        ));
    }
}
