//! Small whole numbers as Parquet keeps them: runs of one number, and numbers packed bit by bit
//! (<https://parquet.apache.org/docs/file-format/data-pages/encodings/#RLE>). A number is found
//! without unpacking those around it.

use std::ops::Range;

/// The runs of some bytes, one after another; they end early where the bytes do.
#[derive(Debug, Clone)]
pub(super) struct Runs<'a> {
    rest: &'a [u8],
    bits: u8,
    left: usize,
}

/// Some numbers that lie together.
#[derive(Debug, Clone, Copy)]
pub(super) enum Run<'a> {
    /// One number, and how often it comes.
    Same(u32, usize),
    /// Numbers of the same count of bits each.
    Packed(&'a [u8], u8, usize),
}

impl<'a> Runs<'a> {
    /// The first numbers of some bytes, of at most 32 bits each.
    pub(super) fn new(bytes: &'a [u8], bits: u8, count: usize) -> Option<Self> {
        (bits <= 32).then_some(Self {
            rest: bytes,
            bits,
            left: count,
        })
    }

    /// Some of the numbers; `None` where the bytes end before them.
    pub(super) fn values(self, places: &Range<usize>) -> Option<Vec<u32>> {
        let mut values = Vec::with_capacity(places.len());
        let mut before = 0;
        for run in self {
            let from = places.start.saturating_sub(before).min(run.len());
            let to = places.end.saturating_sub(before).min(run.len());
            for place in from..to {
                values.push(run.get(place)?);
            }
            before += run.len();
            if before >= places.end {
                break;
            }
        }
        (values.len() == places.len()).then_some(values)
    }
}

impl<'a> Iterator for Runs<'a> {
    type Item = Run<'a>;

    fn next(&mut self) -> Option<Run<'a>> {
        if self.left == 0 {
            return None;
        }
        if self.bits == 0 {
            return Some(Run::Same(0, std::mem::take(&mut self.left)));
        }
        let mut head = 0_usize;
        for shift in (0..usize::BITS).step_by(7) {
            let (byte, rest) = self.rest.split_first()?;
            self.rest = rest;
            head |= usize::from(byte & 0x7f) << shift;
            if *byte < 0x80 {
                break;
            }
        }
        let run = if head & 1 == 0 {
            let width = usize::from(self.bits.div_ceil(8));
            let (number, rest) = self.rest.split_at_checked(width)?;
            self.rest = rest;
            Run::Same(number_of(number), (head >> 1).min(self.left))
        } else {
            let count = (head >> 1).checked_mul(8)?;
            let bytes = (head >> 1).checked_mul(usize::from(self.bits))?;
            // The last bytes of a page may be left out.
            let (packed, rest) = self.rest.split_at(bytes.min(self.rest.len()));
            self.rest = rest;
            Run::Packed(packed, self.bits, count.min(self.left))
        };
        self.left -= run.len();
        Some(run)
    }
}

impl Run<'_> {
    /// How many numbers it has.
    pub(super) fn len(&self) -> usize {
        match self {
            Self::Same(_, count) | Self::Packed(_, _, count) => *count,
        }
    }

    /// The first of its numbers, up to a count.
    pub(super) fn first(self, count: usize) -> Self {
        match self {
            Self::Same(number, all) => Self::Same(number, all.min(count)),
            Self::Packed(bytes, bits, all) => Self::Packed(bytes, bits, all.min(count)),
        }
    }

    /// How many numbers of an ascending run are less than a limit.
    pub(super) fn count_below(&self, limit: usize) -> usize {
        let is_below = |number: u32| (number as usize) < limit;
        match self {
            Self::Same(number, count) if is_below(*number) => *count,
            Self::Same(..) => 0,
            Self::Packed(_, _, count) => {
                let (mut from, mut to) = (0, *count);
                while from < to {
                    let middle = from.midpoint(to);
                    if self.get(middle).is_some_and(is_below) {
                        from = middle + 1;
                    } else {
                        to = middle;
                    }
                }
                from
            }
        }
    }

    /// How many of its numbers, which are nothing but zeroes and ones, are ones.
    pub(super) fn ones(self) -> usize {
        match self {
            Self::Same(number, count) => number as usize * count,
            Self::Packed(bytes, _, count) => {
                let (whole, rest) = (count / 8, count % 8);
                let ones = bytes.iter().take(whole).map(|byte| byte.count_ones());
                let last = bytes.get(whole).map_or(0, |byte| byte & !(0xff << rest));
                (ones.sum::<u32>() + last.count_ones()) as usize
            }
        }
    }

    /// One of its numbers; `None` where the bytes end before it.
    pub(super) fn get(&self, place: usize) -> Option<u32> {
        match self {
            Self::Same(number, count) => (place < *count).then_some(*number),
            Self::Packed(bytes, bits, _) => {
                let bits = usize::from(*bits);
                let start = place.checked_mul(bits)?;
                let end = (start + bits).div_ceil(8);
                let number = wide_number_of(bytes.get(start / 8..end)?);
                let number = (number >> (start % 8)) & ((1 << bits) - 1);
                u32::try_from(number).ok()
            }
        }
    }
}

/// The number of up to four bytes, the lowest first.
fn number_of(bytes: &[u8]) -> u32 {
    let add = |number, byte: &u8| number << 8 | u32::from(*byte);
    bytes.iter().rev().fold(0, add)
}

/// The number of up to eight bytes, the lowest first.
fn wide_number_of(bytes: &[u8]) -> u64 {
    let add = |number, byte: &u8| number << 8 | u64::from(*byte);
    bytes.iter().rev().fold(0, add)
}

#[cfg(test)]
mod tests {
    use polars_parquet::parquet::encoding::hybrid_rle::{HybridRleDecoder, encode};

    use super::*;

    #[test]
    fn packed_numbers_are_those_of_the_format() {
        // The example of the specification: 0 to 7 in three bits each are 88 c6 fa.
        let packed = [0x03, 0x88, 0xc6, 0xfa];
        let runs = Runs::new(&packed, 3, 8).unwrap();
        let values = |places| runs.clone().values(&places);
        assert_eq!(values(0..8).unwrap(), (0..8).collect::<Vec<_>>());
        assert_eq!(values(3..5).unwrap(), [3, 4]);
        assert!(values(3..9).is_none());
        assert_eq!(runs.map(|run| run.count_below(5)).sum::<usize>(), 5);
        assert!(Runs::new(&packed, 33, 8).is_none());
    }

    #[test]
    fn any_numbers_are_those_that_the_library_reads() {
        for bits in 0..=32_u8 {
            let mask = u32::try_from((1_u64 << bits) - 1).unwrap();
            // Runs and changes by turns, ascending.
            let number = |n: u32| (n / 97 * 41 + if n % 97 < 40 { n % 97 } else { 40 }) & mask;
            let numbers: Vec<u32> = (0..1000).map(number).collect();
            let mut bytes = Vec::new();
            encode::<u32, _, _>(&mut bytes, numbers.iter().copied(), u32::from(bits)).unwrap();
            let theirs = HybridRleDecoder::new(&bytes, u32::from(bits), numbers.len());
            assert_eq!(theirs.collect().unwrap(), numbers);
            let runs = Runs::new(&bytes, bits, numbers.len()).unwrap();
            for places in [0..1000, 0..1, 38..45, 500..777, 999..1000, 7..7] {
                let values = runs.clone().values(&places);
                assert_eq!(values.unwrap(), numbers[places]);
            }
            if bits == 1 {
                let ones = numbers.iter().filter(|number| **number == 1).count();
                assert_eq!(runs.clone().map(Run::ones).sum::<usize>(), ones);
            }
            if bits >= 9 {
                let below = numbers.iter().filter(|number| **number < 200).count();
                let found = runs.map(|run| run.count_below(200));
                assert_eq!(found.sum::<usize>(), below);
            }
            let cut = bytes.len().saturating_sub(9);
            let cut = Runs::new(&bytes[..cut], bits, 1000).unwrap();
            assert!(bits == 0 || cut.values(&(0..1000)).is_none());
        }
    }
}
