//! A quick hash for ids and labels of our own making. Not for keys that an enemy chooses: the worst they could do is to
//! make a workbook of theirs slow.

use std::{
    collections::HashMap,
    hash::{BuildHasherDefault, Hasher},
};

/// Multiplies and folds, eight bytes at a time.
#[derive(Debug, Default, Clone, Copy)]
pub struct Mix(u64);

/// A map by ids, or by what is made of ids.
pub type Quick<K, V> = HashMap<K, V, BuildHasherDefault<Mix>>;

/// The fraction of the golden ratio, in 64 bits.
const GOLDEN: u64 = 0x9e37_79b9_7f4a_7c15;

impl Mix {
    fn take(&mut self, word: u64) {
        let wide = u128::from(self.0 ^ word ^ GOLDEN) * u128::from(GOLDEN | 1);
        self.0 = (wide as u64) ^ ((wide >> 64) as u64);
    }
}

impl Hasher for Mix {
    fn write(&mut self, bytes: &[u8]) {
        for chunk in bytes.chunks(8) {
            let mut word = [0; 8];
            for (to, from) in word.iter_mut().zip(chunk) {
                *to = *from;
            }
            self.take(u64::from_le_bytes(word));
        }
    }
    fn write_u8(&mut self, word: u8) {
        self.take(word.into());
    }
    fn write_u64(&mut self, word: u64) {
        self.take(word);
    }
    fn write_u128(&mut self, word: u128) {
        self.take(word as u64);
        self.take((word >> 64) as u64);
    }
    fn write_usize(&mut self, word: usize) {
        self.take(word as u64);
    }
    fn write_isize(&mut self, word: isize) {
        self.take(word as u64);
    }
    fn finish(&self) -> u64 {
        self.0
    }
}
