//! Chance from a seed: the same seed, the same throws. The generator is `SplitMix64` (Steele, Lea and
//! Flood, "Fast splittable pseudorandom number generators", 2014; constants from memory).

/// Throws.
#[derive(Debug, Clone)]
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) const fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From 0 up to, and without, `end`, which is not 0.
    pub(crate) fn below(&mut self, end: usize) -> usize {
        usize::try_from(self.next() % u64::try_from(end).unwrap()).unwrap()
    }

    /// From `from` up to and with `to`.
    pub(crate) fn between(&mut self, from: i64, to: i64) -> i64 {
        from + i64::try_from(self.below(usize::try_from(to - from + 1).unwrap())).unwrap()
    }

    /// Whether something happens that does so in `of_thousand` of a thousand cases.
    pub(crate) fn chance(&mut self, of_thousand: usize) -> bool {
        self.below(1000) < of_thousand
    }

    /// Bytes.
    pub(crate) fn bytes<const N: usize>(&mut self) -> [u8; N] {
        std::array::from_fn(|_| u8::try_from(self.next() >> 56).unwrap())
    }
}
