//! A key in a few letters, for eyes and telephones.

use std::{fmt, str::FromStr, sync::LazyLock};

use burrline_evidence::sign::PublicKey;
use data_encoding::{Encoding, Specification};
use sha2::{Digest as _, Sha256};
use thiserror::Error;

/// How many bytes of the digest it shows: nobody finds a second key with the same 80 bits.
pub(crate) const BYTES: usize = 10;

/// Letters and digits that nobody confuses (the alphabet of Crockford's base 32, from memory): no I, L, O,
/// U. What is read is taken in either case, I and L for 1, O for 0, and dashes and blanks are passed over.
#[allow(
    clippy::expect_used,
    reason = "the specification is a constant, and a test of this file makes it"
)]
pub(crate) static LETTERS: LazyLock<Encoding> = LazyLock::new(|| {
    let mut letters = Specification::new();
    letters.symbols.push_str("0123456789ABCDEFGHJKMNPQRSTVWXYZ");
    letters.translate.from.push_str("abcdefghjkmnpqrstvwxyzIiLlOo");
    letters.translate.to.push_str("ABCDEFGHJKMNPQRSTVWXYZ111100");
    letters.ignore.push_str("- ");
    letters.encoding().expect("an alphabet of 32 letters")
});

/// In groups of four letters.
pub(crate) fn grouped(letters: &str) -> String {
    let letters: Vec<char> = letters.chars().collect();
    let groups: Vec<String> = letters.chunks(4).map(|group| group.iter().collect()).collect();
    groups.join("-")
}

/// The first 80 bits of the SHA-256 of a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fingerprint(pub(crate) [u8; BYTES]);

/// It is no fingerprint.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("a fingerprint is 16 letters and digits, such as PW3D-9HJ2-V8QA-C4TZ")]
pub struct NoFingerprint;

impl Fingerprint {
    /// That of a key.
    pub fn of(key: PublicKey) -> Self {
        let digest = Sha256::digest([b"burrline key\n".as_slice(), &key.0].concat());
        let mut first = [0; BYTES];
        first.iter_mut().zip(digest).for_each(|(to, from)| *to = from);
        Self(first)
    }
}

impl Fingerprint {
    /// As five words that can be read aloud and compared: proquints (D. S. Wilkerson, "A Proposal for
    /// Proquints", 2009, arXiv:0901.4016), 16 bits a word.
    pub fn spoken(self) -> String {
        let words = self.0.chunks_exact(2).map(|pair| match pair {
            [high, low] => proquint(u16::from_be_bytes([*high, *low])),
            _ => String::new(),
        });
        words.collect::<Vec<_>>().join("-")
    }
}

/// Sixteen bits as consonant, vowel, consonant, vowel, consonant.
fn proquint(bits: u16) -> String {
    const CONSONANTS: &[u8; 16] = b"bdfghjklmnprstvz";
    const VOWELS: &[u8; 4] = b"aiou";
    let consonant = |at: u16| CONSONANTS.get(usize::from((bits >> at) & 15));
    let vowel = |at: u16| VOWELS.get(usize::from((bits >> at) & 3));
    let letters = [consonant(12), vowel(10), consonant(6), vowel(4), consonant(0)];
    letters.into_iter().flatten().map(|letter| char::from(*letter)).collect()
}

impl fmt::Display for Fingerprint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&grouped(&LETTERS.encode(&self.0)))
    }
}

impl FromStr for Fingerprint {
    type Err = NoFingerprint;

    fn from_str(text: &str) -> Result<Self, NoFingerprint> {
        let bytes = LETTERS.decode(text.as_bytes()).map_err(|_| NoFingerprint)?;
        bytes.try_into().map(Self).map_err(|_| NoFingerprint)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_shown_is_read_back_in_either_case_and_with_letters_that_look_alike() {
        let shown = Fingerprint::of(PublicKey([7; 32]));
        let text = shown.to_string();
        assert_eq!(text.len(), 19, "{text}");
        assert_eq!(text.parse(), Ok(shown));
        assert_eq!(text.to_lowercase().replace('-', "").parse(), Ok(shown));
        assert_eq!(text.replace('1', "l").replace('0', "o").parse(), Ok(shown));
        assert_eq!("PW3D-9HJ2-V8QA".parse::<Fingerprint>(), Err(NoFingerprint));
        assert_eq!("PW3D-9HJ2-V8QA-C4TU".parse::<Fingerprint>(), Err(NoFingerprint));
    }

    #[test]
    fn words_are_those_of_the_published_examples() {
        // Wilkerson 2009, its examples of IP addresses, quoted from memory: 127.0.0.1 is lusab-babad, 63.84.220.193 gutih-tugad,
        // 140.98.193.141 mudof-sakat, 255.255.255.255 zuzuz-zuzuz.
        let words = |a: u16, b: u16| format!("{}-{}", proquint(a), proquint(b));
        assert_eq!(words(0x7f00, 0x0001), "lusab-babad");
        assert_eq!(words(0x3f54, 0xdcc1), "gutih-tugad");
        assert_eq!(words(0x8c62, 0xc18d), "mudof-sakat");
        assert_eq!(words(0xffff, 0xffff), "zuzuz-zuzuz");
        assert_eq!(
            Fingerprint([0x7f, 0, 0, 1, 0x3f, 0x54, 0xdc, 0xc1, 0, 0]).spoken(),
            "lusab-babad-gutih-tugad-babab"
        );
    }

    #[test]
    fn two_keys_have_two_fingerprints() {
        assert_ne!(Fingerprint::of(PublicKey([1; 32])), Fingerprint::of(PublicKey([2; 32])));
    }
}
