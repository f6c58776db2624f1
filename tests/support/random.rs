//! Seeded random numbers, so that every run sees the same cases.

/// SplitMix64: Steele, Lea, Flood, OOPSLA 2014, doi:10.1145/2660193.2660195.
#[derive(Debug, Clone)]
pub(crate) struct Random(u64);

impl Random {
    /// The sequence that belongs to a seed.
    pub(crate) fn seeded(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Evenly spread over lo … hi.
    pub(crate) fn between(&mut self, lo: f64, hi: f64) -> f64 {
        let unit = (self.next() >> 11) as f64 / (1_u64 << 53) as f64;
        lo + (hi - lo) * unit
    }

    /// Evenly spread in the logarithm over lo … hi.
    pub(crate) fn between_log(&mut self, lo: f64, hi: f64) -> f64 {
        self.between(lo.ln(), hi.ln()).exp()
    }

    /// One of 0 … n − 1.
    pub(crate) fn below(&mut self, n: usize) -> usize {
        (self.between(0.0, n as f64) as usize).min(n - 1)
    }

    /// True with a chance.
    pub(crate) fn chance(&mut self, p: f64) -> bool {
        self.between(0.0, 1.0) < p
    }
}
