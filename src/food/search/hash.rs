//! A map that hashes short words fast. It offers no defence against words chosen to collide; nobody
//! but the user chooses them here.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

/// A hash map over [`Fnv1a`].
pub(super) type FastMap<K, V> = HashMap<K, V, BuildHasherDefault<Fnv1a>>;

/// The FNV-1a hash of 64 bits (RFC 9923).
#[derive(Debug, Clone)]
pub(super) struct Fnv1a(u64);

impl Default for Fnv1a {
    fn default() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }
}

impl Hasher for Fnv1a {
    fn write(&mut self, bytes: &[u8]) {
        for &byte in bytes {
            self.0 = (self.0 ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
    }

    fn finish(&self) -> u64 {
        self.0
    }
}

/// The hash of a text.
pub(super) fn hash(text: &str) -> u64 {
    let mut hasher = Fnv1a::default();
    hasher.write(text.as_bytes());
    hasher.finish()
}

#[cfg(test)]
mod tests {
    use super::*;

    // Known answers of 64-bit FNV-1a; from memory.
    #[test]
    fn known_answers() {
        assert_eq!(hash(""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(hash("a"), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(hash("foobar"), 0x8594_4171_f739_67e8);
    }
}
