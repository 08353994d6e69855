//! Secrets of one run.

use std::fmt;

use data_import::hex;
use sha2::{Digest as _, Sha256};

/// Bytes of a secret: 256 bits.
const BYTES: usize = 32;

/// A secret that nobody guesses: the token of the forms, or the cookie of a device.
#[derive(Clone, PartialEq, Eq)]
pub(in crate::web) struct Secret(String);

/// The system has no random numbers to give.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("the operating system gives no random numbers")]
pub struct Unguessable;

impl Secret {
    /// A new one, from the operating system.
    pub(in crate::web) fn new() -> Result<Self, Unguessable> {
        let mut bytes = [0; BYTES];
        getrandom::fill(&mut bytes).map_err(|_| Unguessable)?;
        Ok(Self(hex(&bytes)))
    }

    /// Its digest, which is all of it that is kept beyond a run.
    pub(super) fn digest(&self) -> String {
        digest(&self.0)
    }

    /// As it is written into a form.
    pub(in crate::web) fn text(&self) -> &str {
        &self.0
    }

    /// Compares in constant time, so that the time reveals nothing about where the two differ.
    pub(in crate::web) fn is(&self, candidate: &str) -> bool {
        same(self.0.as_bytes(), candidate.as_bytes())
    }
}

/// The SHA-256 of a secret as it is written. It has 256 random bits, so that no search finds it by its digest.
pub(super) fn digest(text: &str) -> String {
    hex(&Sha256::digest(text.as_bytes()))
}

/// Whether text could be a secret.
pub(super) fn is_one(text: &str) -> bool {
    text.len() == 2 * BYTES && text.bytes().all(|byte| byte.is_ascii_hexdigit())
}

/// Compares without stopping at the first difference.
pub(super) fn same(one: &[u8], other: &[u8]) -> bool {
    let differing = one.iter().zip(other).fold(0, |all, (a, b)| all | (a ^ b));
    one.len() == other.len() && std::hint::black_box(differing) == 0
}

/// A secret does not show itself.
impl fmt::Debug for Secret {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Secret")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_secret_is_long_different_each_time_and_only_itself() {
        let (one, other) = (Secret::new().unwrap(), Secret::new().unwrap());
        assert_eq!(one.text().len(), 64);
        assert!(!one.is(other.text()));
        assert!(one.is(one.text()));
        assert!(!one.is(&one.text()[1..]));
        assert!(!one.is(""));
        assert_eq!(format!("{one:?}"), "Secret");
    }
}
