//! Schemes that walk a table: Damm and Verhoeff.

use super::Walk;

/// Damm's table, totally anti-symmetric, with 0 on the diagonal.
const DAMM: [[u32; 10]; 10] = [
    [0, 3, 1, 7, 5, 9, 8, 6, 4, 2],
    [7, 0, 9, 2, 1, 5, 4, 8, 6, 3],
    [4, 2, 0, 6, 8, 7, 1, 3, 5, 9],
    [1, 7, 5, 0, 9, 8, 3, 4, 2, 6],
    [6, 1, 2, 3, 0, 4, 5, 9, 7, 8],
    [3, 6, 7, 4, 2, 0, 9, 5, 8, 1],
    [5, 8, 6, 9, 7, 2, 0, 1, 3, 4],
    [8, 9, 4, 5, 3, 6, 2, 0, 1, 7],
    [9, 4, 3, 8, 6, 1, 7, 2, 0, 5],
    [2, 5, 8, 1, 4, 3, 6, 7, 9, 0],
];

/// How Verhoeff's scheme moves a digit at the second place from the right.
const MOVED: [u32; 10] = [1, 5, 7, 6, 2, 8, 3, 0, 9, 4];

/// The check digit is the row in which the walk ends.
pub(super) fn damm(digits: &[u32]) -> Walk {
    let walk = Walk::over(digits.iter(), 0, |row, digit| look_up(&DAMM, row, *digit));
    let check = walk.last(0);
    walk.ends(check)
}

/// The check digit is the inverse, in the dihedral group of the pentagon, of the product of the
/// moved digits.
pub(super) fn verhoeff(digits: &[u32]) -> Walk {
    let walk = Walk::over(digits.iter().rev().zip(1_u32..), 0, |product, (digit, place)| {
        let moved = (0..place % 8).fold(*digit, |digit, _| moved(digit));
        turned(product, moved)
    });
    let product = walk.last(0);
    // A turn is undone by the turn that completes it; a flip undoes itself.
    walk.ends(if product < 5 { 5_u32.saturating_sub(product) % 5 } else { product })
}

/// The product of two elements of the dihedral group of order 10: 0 to 4 turn, 5 to 9 flip.
fn turned(a: u32, b: u32) -> u32 {
    let (turn_a, turn_b) = (a % 5, b % 5);
    match (a < 5, b < 5) {
        (true, true) => turn_a.saturating_add(turn_b) % 5,
        (true, false) => (turn_a.saturating_add(turn_b) % 5).saturating_add(5),
        (false, true) => (turn_a.saturating_add(5).saturating_sub(turn_b) % 5).saturating_add(5),
        (false, false) => turn_a.saturating_add(5).saturating_sub(turn_b) % 5,
    }
}

fn moved(digit: u32) -> u32 {
    usize::try_from(digit).ok().and_then(|at| MOVED.get(at)).copied().unwrap_or(0)
}

fn look_up(table: &[[u32; 10]; 10], row: u32, column: u32) -> u32 {
    let (row, column) = (usize::try_from(row).ok(), usize::try_from(column).ok());
    row.and_then(|row| table.get(row)).and_then(|row| row.get(column?)).copied().unwrap_or(0)
}
