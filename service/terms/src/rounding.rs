//! How money is rounded, and to which digits.

use std::fmt;

use rust_decimal::{Decimal, RoundingStrategy};

use crate::field::{BadWord, Typed};

/// What becomes of an exact amount that is finer than the smallest coin.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Rounding {
    /// To the nearest, halves away from nothing: 0.005 to 0.01, -0.125 to -0.13. IEEE 754-2008
    /// calls it roundTiesToAway (from memory).
    #[default]
    HalfUp,
    /// To the nearest, halves to the even digit: 0.125 to 0.12. IEEE 754-2008 calls it
    /// roundTiesToEven (from memory).
    HalfEven,
    /// To the nearest, halves towards nothing.
    HalfDown,
    /// Towards nothing: what is finer is cut off.
    Down,
    /// Away from nothing: what is finer counts as a whole coin.
    Up,
}

impl Rounding {
    /// Every way.
    pub const ALL: [Self; 5] = [Self::HalfUp, Self::HalfEven, Self::HalfDown, Self::Down, Self::Up];

    /// The word that is typed for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::HalfUp => "half-up",
            Self::HalfEven => "half-even",
            Self::HalfDown => "half-down",
            Self::Down => "down",
            Self::Up => "up",
        }
    }

    /// Rounds to so many decimals.
    pub fn round(self, amount: Decimal, decimals: u32) -> Decimal {
        let strategy = match self {
            Self::HalfUp => RoundingStrategy::MidpointAwayFromZero,
            Self::HalfEven => RoundingStrategy::MidpointNearestEven,
            Self::HalfDown => RoundingStrategy::MidpointTowardZero,
            Self::Down => RoundingStrategy::ToZero,
            Self::Up => RoundingStrategy::AwayFromZero,
        };
        let mut rounded = amount.round_dp_with_strategy(decimals, strategy);
        if rounded.is_zero() {
            // Less than half a coin owed is nothing owed, not minus nothing.
            rounded.set_sign_positive(true);
        }
        rounded
    }

    /// Rounds to a multiple of a step, such as 0.05 for cash; the amount itself where the step is
    /// not above nothing.
    pub fn to_step(self, amount: Decimal, step: Decimal) -> Decimal {
        if step <= Decimal::ZERO {
            return amount;
        }
        let steps = amount.checked_div(step).map(|steps| self.round(steps, 0));
        steps.and_then(|steps| steps.checked_mul(step)).map_or(amount, |x| x.normalize())
    }
}

impl fmt::Display for Rounding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

impl Typed for Rounding {
    const HINT: &'static str = "ROUNDING";

    fn read(word: &str) -> Result<Self, BadWord> {
        let bare = word.trim().to_lowercase();
        Self::ALL.into_iter().find(|way| way.word() == bare).ok_or_else(|| {
            let all: Vec<&str> = Self::ALL.iter().map(|way| way.word()).collect();
            BadWord::new(word, format!("one of: {}", all.join(" ")))
        })
    }

    fn show(&self) -> String {
        self.word().to_owned()
    }
}

/// An amount with so many decimals, even where they are noughts.
pub fn written(amount: Decimal, decimals: u32) -> String {
    let mut amount = amount;
    if amount.scale() < decimals {
        amount.rescale(decimals);
    }
    amount.to_string()
}
