//! Short texts with a checksum behind them, so that a flipped bit is no other number and no other key.
//!
//! `12 0c8d1f3a`: the text, a space, and its CRC-32C. Older programs wrote the text alone.

/// What was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Checked {
    /// The text, which its checksum vouches for.
    Sound(String),
    /// A text alone, as older programs wrote it.
    Bare(String),
    /// Something else.
    Damaged,
}

/// A text with its checksum.
pub(super) fn with_sum(text: &str) -> String {
    format!("{text} {:08x}", crc32c::crc32c(text.as_bytes()))
}

/// Reads what [`with_sum`] made.
pub(super) fn read(bytes: &[u8]) -> Checked {
    let Ok(text) = std::str::from_utf8(bytes) else { return Checked::Damaged };
    match text.trim().split_once(' ') {
        None if text.trim().is_empty() => Checked::Damaged,
        None => Checked::Bare(text.trim().to_owned()),
        Some((text, _)) if with_sum(text).as_bytes() == bytes.trim_ascii() => {
            Checked::Sound(text.to_owned())
        }
        Some(_) => Checked::Damaged,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sum_is_crc_32c() {
        // RFC 3720, B.4, has no text; the check value of CRC-32C is that of "123456789": E3069283
        // (Williams' catalogue of parametrised CRC algorithms, from memory).
        assert_eq!(with_sum("123456789"), "123456789 e3069283");
    }

    #[test]
    fn a_flip_at_any_bit_is_damage() {
        let sound = with_sum("417");
        assert_eq!(read(format!("{sound}\n").as_bytes()), Checked::Sound("417".into()));
        assert_eq!(read(b"417\n"), Checked::Bare("417".into()));
        for at in 0..sound.len() {
            for bit in 0..8 {
                let mut bytes = sound.clone().into_bytes();
                bytes[at] ^= 1 << bit;
                let read = read(&bytes);
                // Without its space it is one word, and no number.
                let bare = matches!(&read, Checked::Bare(text) if text.parse::<u64>().is_err());
                assert!(read == Checked::Damaged || bare, "byte {at} bit {bit}: {read:?}");
            }
        }
        assert_eq!(read(b""), Checked::Damaged);
        assert_eq!(read(&[0xff, 0xfe]), Checked::Damaged);
    }
}
