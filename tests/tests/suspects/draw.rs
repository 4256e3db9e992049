//! Numbers by lot.

/// Numbers drawn by seed (xorshift).
#[derive(Debug, Clone)]
pub struct Draw(u64);

impl Draw {
    pub fn new(seed: u64) -> Self {
        let mut this = Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1);
        for _ in 0..8 {
            this.next();
        }
        this
    }

    pub fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    pub fn between(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * ((self.next() >> 11) as f64 / (1u64 << 53) as f64)
    }

    pub fn below(&mut self, count: usize) -> usize {
        (self.next() % count.max(1) as u64) as usize
    }
}
