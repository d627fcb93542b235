//! Chance from a seed: the same seed, the same throws.

/// Throws.
#[derive(Debug, Clone)]
pub struct Dice(fastrand::Rng);

impl Dice {
    /// The throws of a seed.
    pub fn new(seed: u64) -> Self {
        Self(fastrand::Rng::with_seed(seed))
    }

    /// From 0 up to, and without, `end`; 0 if that is 0.
    pub fn below(&mut self, end: usize) -> usize {
        if end == 0 { 0 } else { self.0.usize(..end) }
    }

    /// From `from` up to and with `to`.
    pub fn between(&mut self, from: i64, to: i64) -> i64 {
        if from < to { self.0.i64(from..=to) } else { from }
    }

    /// Whether something happens that does so in `of_thousand` of a thousand cases.
    pub fn chance(&mut self, of_thousand: usize) -> bool {
        self.below(1000) < of_thousand
    }

    /// Bytes.
    pub fn bytes<const N: usize>(&mut self) -> [u8; N] {
        std::array::from_fn(|_| self.0.u8(..))
    }
}
