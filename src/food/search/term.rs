//! A word by its digest, so that words need no common list to be compared, counted or looked up.

use xxhash_rust::xxh3::xxh3_64;

/// The digest of a word's stem: XXH3 of 64 bits, which is the same on every machine (xxHash 0.8, specification).
///
/// By chance two of ten million words share theirs once in some 370,000 tables (n² / 2⁶⁵); then
/// each finds the foods of both.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) struct Term(pub(super) u64);

impl Term {
    /// The digest of a stem.
    pub(super) fn of(stem: &str) -> Self {
        Self(xxh3_64(stem.as_bytes()))
    }

    /// The number that the first `bits` bits make.
    pub(super) fn first_bits(self, bits: u32) -> usize {
        let first = self.0.checked_shr(u64::BITS - bits);
        first
            .and_then(|bits| usize::try_from(bits).ok())
            .unwrap_or(0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Known answers of the published test vectors: `xsum` of xxHash 0.8, its option -H3.
    #[test]
    fn known_answers() {
        assert_eq!(Term::of("").0, 0x2d06_8005_38d3_94c2);
        assert_eq!(Term::of("a").0, 0xe6c6_32b6_1e96_4e1f);
        assert_eq!(Term::of("abc").0, 0x78af_5f94_892f_3950);
    }
}
