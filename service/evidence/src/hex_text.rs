//! Hex text for fixed-length byte strings; shared by the public newtypes.

use std::fmt;

/// Writes `bytes` as lower-case hex, two digits a byte.
pub(crate) fn write(out: &mut fmt::Formatter<'_>, bytes: &[u8]) -> fmt::Result {
    for byte in bytes {
        write!(out, "{byte:02x}")?;
    }
    Ok(())
}

/// Reads exactly `N` bytes of hex in either case, or nothing at all.
pub(crate) fn read<const N: usize>(text: &str) -> Option<[u8; N]> {
    let (pairs, rest) = text.as_bytes().as_chunks::<2>();
    if pairs.len() != N || !rest.is_empty() {
        return None;
    }
    let mut bytes = [0; N];
    for (byte, [high, low]) in bytes.iter_mut().zip(pairs) {
        *byte = digit(*high)?.checked_shl(4)? | digit(*low)?;
    }
    Some(bytes)
}

fn digit(character: u8) -> Option<u8> {
    u8::try_from(char::from(character).to_digit(16)?).ok()
}

#[cfg(test)]
mod tests {
    use super::read;

    #[test]
    fn reads_both_cases_and_nothing_else() {
        assert_eq!(read::<2>("0aFf"), Some([0x0a, 0xff]));
        for wrong in ["0aF", "0aFf0", "0aFf00", "0aFg", "+aFf", ""] {
            assert_eq!(read::<2>(wrong), None, "{wrong:?}");
        }
    }
}
