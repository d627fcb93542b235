//! Chance from a seed: the same seed, the same throws. The generator is `SplitMix64` (Steele, Lea and
//! Flood, "Fast splittable pseudorandom number generators", 2014; constants from memory).

/// Throws.
#[derive(Debug, Clone)]
pub struct Dice(u64);

impl Dice {
    /// The throws of a seed.
    pub const fn new(seed: u64) -> Self {
        Self(seed)
    }

    const fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From 0 up to, and without, `end`; 0 if that is 0.
    pub fn below(&mut self, end: usize) -> usize {
        let end = u64::try_from(end).unwrap_or(u64::MAX);
        let thrown = self.next().checked_rem(end).unwrap_or(0);
        usize::try_from(thrown).unwrap_or(0)
    }

    /// From `from` up to and with `to`.
    pub fn between(&mut self, from: i64, to: i64) -> i64 {
        let span = usize::try_from(to.saturating_sub(from).saturating_add(1)).unwrap_or(1);
        from.saturating_add(i64::try_from(self.below(span)).unwrap_or(0))
    }

    /// Whether something happens that does so in `of_thousand` of a thousand cases.
    pub fn chance(&mut self, of_thousand: usize) -> bool {
        self.below(1000) < of_thousand
    }

    /// Bytes.
    pub fn bytes<const N: usize>(&mut self) -> [u8; N] {
        std::array::from_fn(|_| u8::try_from(self.next() >> 56).unwrap_or(0))
    }
}
