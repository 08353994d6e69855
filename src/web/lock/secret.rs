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
    /// A new secret from the random numbers of the operating system.
    pub(in crate::web) fn new() -> Result<Self, Unguessable> {
        let mut bytes = [0; BYTES];
        getrandom::fill(&mut bytes).map_err(|_| Unguessable)?;
        Ok(Self(hex(&bytes)))
    }

    /// The digest of the secret, the only form in which it is kept beyond a run.
    pub(super) fn digest(&self) -> String {
        digest(&self.0)
    }

    /// The secret in hexadecimal digits, as forms and cookies hold it.
    pub(in crate::web) fn text(&self) -> &str {
        &self.0
    }

    /// Compares in constant time, so that the time reveals nothing about where the two differ.
    pub(in crate::web) fn is(&self, candidate: &str) -> bool {
        same(self.0.as_bytes(), candidate.as_bytes())
    }
}

/// The SHA-256 of a secret as it is written. A secret has 256 random bits, so no search finds it
/// from its digest.
pub(super) fn digest(text: &str) -> String {
    hex(&Sha256::digest(text.as_bytes()))
}

/// Whether a text has the form of a secret.
pub(super) fn is_secret(text: &str) -> bool {
    text.len() == 2 * BYTES && text.bytes().all(|byte| byte.is_ascii_hexdigit())
}

/// Compares in constant time: without stopping at the first difference.
pub(super) fn same(left: &[u8], right: &[u8]) -> bool {
    let differing = left.iter().zip(right).fold(0, |all, (a, b)| all | (a ^ b));
    left.len() == right.len() && std::hint::black_box(differing) == 0
}

/// The debug output hides the secret.
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
