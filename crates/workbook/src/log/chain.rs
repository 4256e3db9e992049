//! The hash chain: each entry's hash covers the one before it, so that a record can be verified years later.

use sha2::{Digest, Sha256};
use std::fmt;

use super::Entry;

/// A SHA-256.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Hash(pub [u8; 32]);

impl fmt::Display for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl Hash {
    /// Reads 64 hexadecimal digits.
    pub fn parse(text: &str) -> Option<Self> {
        let bytes = text.as_bytes();
        if bytes.len() != 64 {
            return None;
        }
        let mut hash = [0; 32];
        for (slot, pair) in hash.iter_mut().zip(bytes.chunks_exact(2)) {
            *slot = u8::from_str_radix(std::str::from_utf8(pair).ok()?, 16).ok()?;
        }
        Some(Self(hash))
    }
}

/// The hash of an entry whose canonical JSON is `body`, after the entry with hash `before`
/// (all zeros for the first): SHA-256 over the 64 hex digits of `before`, a line feed, and `body`.
pub fn link(before: Hash, body: &str) -> Hash {
    let mut sha = Sha256::new();
    sha.update(before.to_string());
    sha.update(b"\n");
    sha.update(body);
    Hash(sha.finalize().into())
}

/// Why a log does not verify.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("entry {seq} of the log does not verify: it or one before it was altered outside the program")]
pub struct ChainError {
    /// Place of the first entry that does not fit.
    pub seq: u64,
}

/// Walks the chain over `(canonical JSON, stored hash)` in order; gives the head's hash.
///
/// # Errors
/// Names the first entry whose stored hash does not follow from its text and the entry before it.
pub fn verify<'a>(entries: impl Iterator<Item = (&'a str, Hash)>) -> Result<Hash, ChainError> {
    let mut head = Hash::default();
    for (seq, (body, stored)) in (1..).zip(entries) {
        head = link(head, body);
        if head != stored {
            return Err(ChainError { seq });
        }
    }
    Ok(head)
}

impl Entry {
    /// The entry as canonical JSON: keys in order, no white space. This text is stored and hashed, never made anew.
    pub fn canonical(&self) -> String {
        // Going through a value sorts the keys; serialising plain structs cannot fail.
        serde_json::to_value(self)
            .map(|v| v.to_string())
            .unwrap_or_default()
    }
}
