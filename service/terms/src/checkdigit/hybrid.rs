//! The systems of ISO/IEC 7064: hybrid ones with two moduli, pure ones with one.

use super::Walk;

/// A hybrid system mod (m + 1), m: the check value is 0 to m - 1.
pub(super) fn hybrid(values: &[u32], m: u32) -> Walk {
    let more = m.saturating_add(1);
    let walk = Walk::over(values.iter(), m, |product, value| {
        let sum = product.saturating_add(*value).checked_rem(m).unwrap_or(0);
        let sum = if sum == 0 { m } else { sum };
        sum.saturating_mul(2).checked_rem(more).unwrap_or(0)
    });
    // The check value makes the last sum 1.
    let check = more.saturating_sub(walk.last(m)).checked_rem(m).unwrap_or(0);
    walk.ends(check)
}

/// A pure system with one check character: the value that makes the whole 1 by the modulus.
pub(super) fn pure(values: &[u32], modulus: u32, radix: u32) -> Walk {
    let walk = Walk::over(values.iter(), 0, |rest, value| {
        rest.saturating_add(*value).saturating_mul(radix).checked_rem(modulus).unwrap_or(0)
    });
    let to_one = modulus.saturating_add(1).saturating_sub(walk.last(0));
    walk.ends(to_one.checked_rem(modulus).unwrap_or(0))
}

/// The pure system mod 97-10, with two check digits: 98 less the rest of a hundred times the
/// number by 97; 2 to 98, as account numbers use it.
pub(super) fn pure_two(values: &[u32]) -> Walk {
    let walk = Walk::over(values.iter(), 0, |rest, value| {
        rest.saturating_mul(10).saturating_add(*value).checked_rem(97).unwrap_or(0)
    });
    let rest = walk.last(0).saturating_mul(100).checked_rem(97).unwrap_or(0);
    walk.ends(98_u32.saturating_sub(rest))
}
