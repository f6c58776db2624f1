//! Seeded random numbers: the same seed gives the same exercises, on every machine.

/// SplitMix64: Steele, Lea, Flood, OOPSLA 2014, doi:10.1145/2660193.2660195.
#[derive(Debug, Clone)]
pub(super) struct Random(u64);

impl Random {
    /// The sequence that belongs to a seed.
    pub(super) fn seeded(seed: u64) -> Self {
        Self(seed)
    }

    pub(super) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// One of 0 … n − 1; whole numbers only, so that no machine rounds otherwise.
    pub(super) fn below(&mut self, n: usize) -> usize {
        let n = u128::try_from(n).expect("a small number");
        usize::try_from((u128::from(self.next()) * n) >> 64).expect("below n")
    }

    /// One of a list.
    pub(super) fn pick<T: Copy>(&mut self, of: &[T]) -> T {
        of[self.below(of.len())]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// First outputs for seed 1234567, as published with the reference code of the generator
    /// (S. Vigna, splitmix64.c, public domain; from memory, check your copy).
    #[test]
    fn the_sequence_is_that_of_the_reference_code() {
        let mut random = Random::seeded(1_234_567);
        let first: Vec<u64> = (0..3).map(|_| random.next()).collect();
        assert_eq!(
            first,
            [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423]
        );
    }
}
