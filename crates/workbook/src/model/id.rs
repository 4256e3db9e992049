//! Identity: every record has an id that is made once and never reused, on any laptop.

use std::{cmp::Ordering, fmt, hash, marker::PhantomData, str::FromStr};

/// Crockford's base-32 digits in lower case: no `i l o u`, so that ids survive being read aloud.
const DIGITS: &[u8; 32] = b"0123456789abcdefghjkmnpqrstvwxyz";

/// A record's id: 128 bits, written in base 32 without leading zeros.
///
/// The type parameter says which kind of record it names, so that a wire's id cannot be taken for a unit's.
pub struct Id<R>(u128, PhantomData<fn() -> R>);

/// The id of an entry of the log.
pub type ChangeId = Id<crate::log::Entry>;

impl<R> Id<R> {
    /// An id from its 128 bits.
    pub const fn from_bits(bits: u128) -> Self {
        Self(bits, PhantomData)
    }

    /// The 128 bits.
    pub const fn bits(self) -> u128 {
        self.0
    }
}

impl<R> Clone for Id<R> {
    fn clone(&self) -> Self {
        *self
    }
}
impl<R> Copy for Id<R> {}
impl<R> PartialEq for Id<R> {
    fn eq(&self, other: &Self) -> bool {
        self.0 == other.0
    }
}
impl<R> Eq for Id<R> {}
impl<R> PartialOrd for Id<R> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl<R> Ord for Id<R> {
    fn cmp(&self, other: &Self) -> Ordering {
        self.0.cmp(&other.0)
    }
}
impl<R> hash::Hash for Id<R> {
    fn hash<H: hash::Hasher>(&self, state: &mut H) {
        self.0.hash(state);
    }
}
impl<R> fmt::Debug for Id<R> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "#{self}")
    }
}
impl<R> fmt::Display for Id<R> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut text = [b'0'; 26];
        let mut rest = self.0;
        let mut first = 25;
        for at in (0..26).rev() {
            if let (Some(slot), Some(digit)) = (text.get_mut(at), DIGITS.get((rest % 32) as usize)) {
                *slot = *digit;
            }
            if rest != 0 {
                first = at;
            }
            rest /= 32;
        }
        f.write_str(
            text.get(first..)
                .and_then(|t| std::str::from_utf8(t).ok())
                .unwrap_or("0"),
        )
    }
}

/// Why a text is not an id.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{text:?} is not an id: expected 1 to 26 of the digits 0-9 and letters a-z without i, l, o, u")]
pub struct IdError {
    text: String,
}

impl<R> FromStr for Id<R> {
    type Err = IdError;
    fn from_str(text: &str) -> Result<Self, IdError> {
        let error = || IdError {
            text: text.chars().take(40).collect(),
        };
        if text.is_empty() || text.len() > 26 || (text.len() > 1 && text.starts_with('0')) {
            return Err(error());
        }
        let mut bits: u128 = 0;
        for byte in text.bytes() {
            let digit = DIGITS.iter().position(|d| *d == byte).ok_or_else(error)?;
            bits = bits
                .checked_mul(32)
                .and_then(|b| b.checked_add(digit as u128))
                .ok_or_else(error)?;
        }
        Ok(Self::from_bits(bits))
    }
}

impl<R> serde::Serialize for Id<R> {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}
impl<'de, R> serde::Deserialize<'de> for Id<R> {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = <std::borrow::Cow<'de, str>>::deserialize(deserializer)?;
        text.parse().map_err(serde::de::Error::custom)
    }
}
impl<R> schemars::JsonSchema for Id<R> {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Id".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "type": "string",
            "pattern": "^(0|[1-9a-hjkmnp-tv-z][0-9a-hjkmnp-tv-z]{0,25})$",
            "description": "An id: base-32 digits (no i, l, o, u), made once, never reused."
        })
    }
}

/// Makes ids: 80 bits drawn once for this run, then a counter.
///
/// The random part comes from outside, since this crate has no entropy of its own.
#[derive(Debug, Clone)]
pub struct IdMaker {
    origin: u128,
    next: u64,
}

impl IdMaker {
    /// A maker whose ids share the 80 low bits of `seed`; give it fresh random bits at every start.
    pub fn new(seed: u128) -> Self {
        // The top bit of the origin is set so that made ids always have all 26 digits and never meet short hand-written ones.
        Self {
            origin: ((seed & ((1 << 80) - 1)) | (1 << 79)) << 48,
            next: 0,
        }
    }

    /// A new id.
    pub fn make<R>(&mut self) -> Id<R> {
        self.next += 1;
        Id::from_bits(self.origin | u128::from(self.next))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prints_without_leading_zeros_and_reads_back() {
        for text in ["0", "w44", "mca16", "7zzzzzzzzzzzzzzzzzzzzzzzzz"] {
            let id: Id<()> = text.parse().unwrap();
            assert_eq!(id.to_string(), text);
        }
    }

    #[test]
    fn refuses_what_would_not_print_back() {
        for text in ["", "00", "w-1", "W44", "8zzzzzzzzzzzzzzzzzzzzzzzzz", "loom"] {
            assert!(text.parse::<Id<()>>().is_err(), "{text}");
        }
    }

    #[test]
    fn makers_with_other_seeds_never_meet() {
        let (mut a, mut b) = (IdMaker::new(1), IdMaker::new(2));
        let first: Id<()> = a.make();
        assert_ne!(first, b.make());
        assert_ne!(first, a.make());
        assert_eq!(first.to_string().len(), 26);
    }
}
