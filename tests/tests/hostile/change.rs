//! Ways to change bytes that damage, chance or somebody clever would find.

use fastrand::Rng;

/// What often breaks a reader.
const NASTY: [&[u8]; 16] = [
    b"",
    b"\0",
    b"\xff\xff\xff\xff\xff\xff\xff\xff\xff\x01",
    b"\x7f\xff\xff\xff",
    b"\x80\x80\x80\x80\x80\x80\x80\x80\x80\x80",
    b"\x1b]0;x\x07\x1b[2J",
    "\u{202e}\u{2066}\u{feff}".as_bytes(),
    b"\xed\xa0\x80",
    b"\xf0\x9f",
    b"\r\n\r\n",
    b"\"\"\"",
    b"-0",
    b"1e999",
    b"99999999999999999999999999999999",
    b"{{{{{{{{((((((((",
    b"../../../../etc/x",
];

/// The same bytes, changed in one to four places.
pub(super) fn changed(one: &[u8], other: &[u8], dice: &mut Rng) -> Vec<u8> {
    let mut bytes = one.to_vec();
    for _ in 0..dice.usize(1..=4) {
        let at = dice.usize(0..=bytes.len());
        let until = dice.usize(at..=bytes.len().min(at + 64));
        match dice.u8(0..8) {
            0 if at < bytes.len() => bytes[at] ^= 1 << dice.u8(0..8),
            1 if at < bytes.len() => bytes[at] = dice.u8(..),
            2 => bytes.truncate(at),
            3 => drop(bytes.drain(at..until)),
            4 => drop(bytes.splice(at..until, dice.choice(NASTY).unwrap().iter().copied())),
            5 => {
                let part = bytes[at..until].repeat(dice.usize(1..=8));
                drop(bytes.splice(at..at, part));
            }
            // One that goes on as another.
            6 => {
                bytes.truncate(at);
                bytes.extend(&other[dice.usize(0..=other.len())..]);
            }
            _ => drop(bytes.splice(at..at, (0..dice.usize(1..16)).map(|_| dice.u8(..)))),
        }
    }
    bytes
}
