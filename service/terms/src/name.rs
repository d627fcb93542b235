//! Names of things: entries, tags, places and hands, digests and keys.

use std::{
    cmp::Ordering,
    fmt,
    hash::{Hash, Hasher},
};

use crate::{
    checkdigit::{self, Scheme},
    field::{BadWord, Kind, Typed, plain_fields},
};

/// The name of an entry: which life of a bench said it, and its number there.
///
/// Whatever an entry makes (a job, a bath, a ticket, a customer, a quote) has this as its name,
/// so two benches that are away can never make the same one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct EntryName {
    /// One enrolment of a bench; 0 is the shop itself.
    pub life: u32,
    /// Counts from 1 without gaps within a life.
    pub n: u64,
}

impl EntryName {
    /// The entry `n` of a life.
    pub const fn new(life: u32, n: u64) -> Self {
        Self { life, n }
    }

    /// Whether a word has the shape of a job number, its check digit right or wrong: `3-41-7`.
    pub fn looks_like(word: &str) -> bool {
        let parts: Vec<&str> = word.split('-').collect();
        let digits = |part: &&str| {
            !part.is_empty() && part.len() <= 9 && part.chars().all(|c| c.is_ascii_digit())
        };
        // The day of a date has two digits, a check digit is one.
        matches!(parts.as_slice(), [_, _, check] if check.len() == 1) && parts.iter().all(digits)
    }

    /// The jobs that may be meant by a job number whose check digit is wrong: one digit wrong, or
    /// two neighbours swapped.
    pub fn near(word: &str) -> Vec<Self> {
        let parts: Vec<&str> = word.trim().split('-').collect();
        let [life, n, check] = parts.as_slice() else { return Vec::new() };
        let slips = checkdigit::slips(Scheme::Damm, &format!("{life}{n}{check}"));
        let parted = |number: &String| {
            let (life, rest) = number.split_at_checked(life.len())?;
            let (n, _) = rest.split_at_checked(n.len())?;
            let plain = !life.starts_with('0') && !n.starts_with('0');
            plain.then(|| Some(Self::new(life.parse().ok()?, n.parse().ok()?)))?
        };
        slips.unwrap_or_default().iter().filter_map(parted).take(8).collect()
    }

    /// The number of the job that this take-in made, with its Damm check digit: `3-41-7`.
    pub fn job_number(self) -> String {
        let digits = format!("{}{}", self.life, self.n);
        format!("{}-{}-{}", self.life, self.n, damm(&digits))
    }
}

impl fmt::Display for EntryName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.life, self.n)
    }
}

impl Typed for EntryName {
    const HINT: &'static str = "ENTRY";
    const KIND: Kind = Kind::Entry;

    fn read(word: &str) -> Result<Self, BadWord> {
        let wrong = || BadWord::new(word, "the name of an entry, such as 3:41, or a job number");
        if let Some((life, n)) = word.trim().split_once(':') {
            return Ok(Self {
                life: life.parse().map_err(|_| wrong())?,
                n: n.parse().map_err(|_| wrong())?,
            });
        }
        let mut parts = word.trim().split('-');
        let (Some(life), Some(n), Some(check), None) =
            (parts.next(), parts.next(), parts.next(), parts.next())
        else {
            return Err(wrong());
        };
        let name =
            Self { life: life.parse().map_err(|_| wrong())?, n: n.parse().map_err(|_| wrong())? };
        if damm(&format!("{life}{n}")).to_string() == check {
            Ok(name)
        } else {
            Err(BadWord::new(word, wrong_check(word)))
        }
    }

    fn show(&self) -> String {
        self.to_string()
    }
}

/// Says that a job number's check digit is wrong, with the numbers that are one slip away.
fn wrong_check(word: &str) -> String {
    let near: Vec<String> = EntryName::near(word).into_iter().map(EntryName::job_number).collect();
    if near.is_empty() {
        return "a job number: its check digit is wrong, read it again".to_owned();
    }
    format!(
        "a job number: its check digit is wrong, read it again; one typing mistake away are {}",
        near.join(", ")
    )
}

/// The check digit of Damm's quasigroup of order 10 over a string of decimal digits.
///
/// Source: H. M. Damm, *Total anti-symmetrische Quasigruppen*, 2004. Other characters count as 0.
pub fn damm(digits: &str) -> u8 {
    let digits: Vec<u32> = digits.chars().map(|c| c.to_digit(10).unwrap_or(0)).collect();
    u8::try_from(checkdigit::damm_of(&digits)).unwrap_or(0)
}

/// The number on a locking tag, as typed. Leading zeros do not count: 417 is 0417.
#[derive(Debug, Clone)]
pub struct Tag(String);

impl Tag {
    /// The most characters a tag may have.
    pub const MAX: usize = 12;

    /// As it was typed.
    pub fn as_typed(&self) -> &str {
        &self.0
    }

    /// What makes two tags the same one: the number without leading zeros.
    pub fn key(&self) -> &str {
        let bare = self.0.trim_start_matches('0');
        if bare.is_empty() { "0" } else { bare }
    }

    /// Whether a word at the prompt looks like a tag: digits only, with at most one letter before,
    /// and a hyphen between them or not.
    pub fn looks_like(word: &str) -> bool {
        let digits = word
            .strip_prefix(|c: char| c.is_ascii_alphabetic())
            .map_or(word, |digits| digits.strip_prefix('-').unwrap_or(digits));
        !digits.is_empty() && word.len() <= Self::MAX && digits.chars().all(|c| c.is_ascii_digit())
    }
}

impl PartialEq for Tag {
    fn eq(&self, other: &Self) -> bool {
        self.key() == other.key()
    }
}

impl Eq for Tag {}

impl Hash for Tag {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.key().hash(state);
    }
}

impl PartialOrd for Tag {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Tag {
    fn cmp(&self, other: &Self) -> Ordering {
        self.key().cmp(other.key())
    }
}

impl fmt::Display for Tag {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let key = self.key();
        // Noughts before a letter would make it no tag.
        let width = if key.starts_with(|c: char| c.is_ascii_alphabetic()) { 0 } else { 4 };
        write!(f, "{key:0>width$}")
    }
}

impl Typed for Tag {
    const HINT: &'static str = "TAG";
    const KIND: Kind = Kind::Tag;

    fn read(word: &str) -> Result<Self, BadWord> {
        let word = word.trim();
        if Self::looks_like(word) {
            // S-3 and S3 are one tag.
            Ok(Self(word.replace('-', "").to_ascii_uppercase()))
        } else {
            Err(BadWord::new(word, "a tag: up to 12 digits, at most one letter in front"))
        }
    }

    fn show(&self) -> String {
        self.0.clone()
    }
}

/// Makes a text value with a limit on its length.
macro_rules! text {
    ($(#[$doc:meta])* $ty:ident, $max:literal, $hint:literal, $kind:ident, $wanted:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $ty(String);

        impl $ty {
            /// The most bytes it may have.
            pub const MAX: usize = $max;

            /// Text made by the program: cut to fit, on one line, never empty.
            pub fn clipped(text: &str) -> Self {
                let line: String =
                    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
                let mut line = line.trim().to_owned();
                while line.len() > Self::MAX {
                    line.pop();
                }
                if line.is_empty() { Self("-".to_owned()) } else { Self(line) }
            }

            /// The text.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl AsRef<str> for $ty {
            fn as_ref(&self) -> &str {
                &self.0
            }
        }

        impl fmt::Display for $ty {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }

        impl Typed for $ty {
            const HINT: &'static str = $hint;
            const KIND: Kind = Kind::$kind;

            fn read(word: &str) -> Result<Self, BadWord> {
                let word = word.trim();
                let fits = !word.is_empty() && word.len() <= Self::MAX;
                if fits && !word.chars().any(char::is_control) {
                    Ok(Self(word.to_owned()))
                } else {
                    Err(BadWord::new(word, $wanted))
                }
            }

            fn show(&self) -> String {
                self.0.clone()
            }
        }
    };
}

text!(
    /// A short name: a place, a hand, a species, a recipe.
    Name, 48, "NAME", Open, "a short name of 1 to 48 characters on one line"
);
text!(
    /// A sentence or a few.
    Phrase, 2000, "WORDS", Text, "text of 1 to 2,000 characters on one line"
);

/// Makes a 32-byte value that is typed as 64 hexadecimal digits.
macro_rules! bytes32 {
    ($(#[$doc:meta])* $ty:ident, $hint:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $ty(pub [u8; 32]);

        impl fmt::Display for $ty {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
            }
        }

        impl Typed for $ty {
            const HINT: &'static str = $hint;
            const KIND: Kind = Kind::Digest;

            fn read(word: &str) -> Result<Self, BadWord> {
                let wrong = || BadWord::new(word, "64 hexadecimal digits");
                let word = word.trim();
                if word.len() != 64 || !word.is_ascii() {
                    return Err(wrong());
                }
                let mut bytes = [0; 32];
                for (i, byte) in bytes.iter_mut().enumerate() {
                    let at = i.saturating_mul(2);
                    let pair = word.get(at..at.saturating_add(2)).ok_or_else(wrong)?;
                    *byte = u8::from_str_radix(pair, 16).map_err(|_| wrong())?;
                }
                Ok(Self(bytes))
            }

            fn show(&self) -> String {
                self.to_string()
            }
        }
    };
}

bytes32!(
    /// A SHA-256 digest: of a script's source, of a photo.
    Digest, "DIGEST"
);
bytes32!(
    /// An Ed25519 public key of a bench.
    Key32, "KEY"
);

plain_fields!(EntryName, Tag, Name, Phrase, Digest, Key32);

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: the worked example 572 with check digit 4 of Damm's scheme, as given in the
    /// documentation of the python-stdnum library.
    #[test]
    fn damm_gives_the_published_check_digit() {
        assert_eq!(damm("572"), 4);
        assert_eq!(damm("5724"), 0);
    }

    #[test]
    fn leading_zeros_do_not_make_another_tag() {
        assert_eq!(Tag::read("417").unwrap(), Tag::read("0417").unwrap());
        assert_eq!(Tag::read("417").unwrap().to_string(), "0417");
        assert_eq!(Tag::read("s-3").unwrap(), Tag::read("S3").unwrap());
    }

    #[test]
    fn a_wrong_check_digit_is_answered_with_what_may_have_been_meant() {
        let meant = EntryName::new(3, 41).job_number();
        let typed = meant.replace("41", "14");
        let wrong = EntryName::read(&typed).unwrap_err();
        assert!(wrong.wanted.contains(&meant), "{wrong}");
        assert!(EntryName::looks_like(&typed) && !EntryName::looks_like("2026-12-18"));
    }

    #[test]
    fn a_job_number_with_a_slipped_digit_is_caught() {
        let job = EntryName::new(3, 41);
        assert_eq!(EntryName::read(&job.job_number()).unwrap(), job);
        assert!(EntryName::read("3-42-7").is_err() || EntryName::read("3-41-7").is_err());
    }
}
