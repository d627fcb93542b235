//! Schemes that weigh each digit from the right: Luhn and GS1.

use super::Walk;

/// Luhn: every second digit from the right is doubled, and its own digits are summed.
pub(super) fn luhn(digits: &[u32]) -> Walk {
    weighed(digits, |digit, even| {
        let weighed = if even { digit.saturating_mul(2) } else { digit };
        if weighed > 9 { weighed.saturating_sub(9) } else { weighed }
    })
}

/// GS1: weights 3 and 1 by turns from the right.
pub(super) fn gs1(digits: &[u32]) -> Walk {
    weighed(digits, |digit, even| digit.saturating_mul(if even { 3 } else { 1 }))
}

/// Sums what the digits weigh, from the right; the check digit is missing to the next full ten.
fn weighed(digits: &[u32], weigh: impl Fn(u32, bool) -> u32) -> Walk {
    let walk = Walk::over(digits.iter().rev().enumerate(), 0, |sum, (at, digit)| {
        sum.saturating_add(weigh(*digit, at % 2 == 0))
    });
    let check = 10_u32.saturating_sub(walk.last(0) % 10) % 10;
    walk.ends(check)
}
