//! Check digits: what a slip of the finger in a number gives away.
//!
//! Nine published schemes over digits, or digits and letters. Spaces and hyphens in what is typed
//! do not count. A check digit catches mistyping, not a wrong number that happens to be right.

mod hybrid;
mod quasigroup;
mod slips;
mod weighted;

pub use slips::slips;

use std::fmt;

use thiserror::Error;

use crate::field::{BadWord, Typed};

/// A published scheme.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Scheme {
    /// Damm's quasigroup of order 10: H. M. Damm, *Total anti-symmetrische Quasigruppen*, 2004.
    Damm,
    /// Verhoeff's dihedral scheme: J. Verhoeff, *Error detecting decimal codes*, 1969.
    Verhoeff,
    /// Luhn's scheme: ISO/IEC 7812-1, annex B (from memory).
    Luhn,
    /// The last digit of GS1 numbers, weights 3 and 1 from the right.
    Gs1,
    /// ISO/IEC 7064 mod 11,10: digits, one check digit.
    Mod11And10,
    /// ISO/IEC 7064 mod 11-2: digits, one check character of 0 to 9 or X.
    Mod11Radix2,
    /// ISO/IEC 7064 mod 37-2: digits and letters, one check character, also `*`.
    Mod37Radix2,
    /// ISO/IEC 7064 mod 37,36: digits and letters, one check character.
    Mod37And36,
    /// ISO/IEC 7064 mod 97-10: digits, two check digits.
    Mod97Radix10,
}

/// Why a number cannot be checked.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum NoCheck {
    /// Nothing is left once spaces and hyphens are taken away.
    #[error("there is no number; type its digits, such as 572")]
    Empty,
    /// Too short to carry its own check characters.
    #[error("{0} is too short to carry a check digit of its own; type the whole number")]
    Short(String),
    /// Longer than any number that people type.
    #[error("the number is longer than {MOST} characters; type one number alone")]
    Long,
    /// A character that the scheme does not know.
    #[error("{character} is no character of {scheme}, which takes {alphabet}")]
    Character {
        /// The character.
        character: char,
        /// The scheme.
        scheme: Scheme,
        /// What it takes.
        alphabet: &'static str,
    },
}

/// The most characters of a number.
pub const MOST: usize = 64;

const DIGITS: &str = "0123456789";
const DIGITS_X: &str = "0123456789X";
const LETTERS: &str = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
const LETTERS_STAR: &str = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*";

impl Scheme {
    /// Every scheme, the one of job numbers first.
    pub const ALL: [Self; 9] = [
        Self::Damm,
        Self::Verhoeff,
        Self::Luhn,
        Self::Gs1,
        Self::Mod11And10,
        Self::Mod11Radix2,
        Self::Mod37Radix2,
        Self::Mod37And36,
        Self::Mod97Radix10,
    ];

    /// The word that is typed for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Damm => "damm",
            Self::Verhoeff => "verhoeff",
            Self::Luhn => "luhn",
            Self::Gs1 => "gs1",
            Self::Mod11And10 => "mod11,10",
            Self::Mod11Radix2 => "mod11-2",
            Self::Mod37Radix2 => "mod37-2",
            Self::Mod37And36 => "mod37,36",
            Self::Mod97Radix10 => "mod97-10",
        }
    }

    /// Where it is published.
    pub const fn source(self) -> &'static str {
        match self {
            Self::Damm => "H. M. Damm, Total anti-symmetrische Quasigruppen, 2004",
            Self::Verhoeff => "J. Verhoeff, Error detecting decimal codes, 1969",
            Self::Luhn => "ISO/IEC 7812-1, annex B",
            Self::Gs1 => "GS1 General Specifications, check digit calculation",
            Self::Mod11And10
            | Self::Mod11Radix2
            | Self::Mod37Radix2
            | Self::Mod37And36
            | Self::Mod97Radix10 => "ISO/IEC 7064",
        }
    }

    /// How many check characters it adds: 1, or 2 for mod 97-10.
    pub const fn check_length(self) -> usize {
        match self {
            Self::Mod97Radix10 => 2,
            Self::Damm
            | Self::Verhoeff
            | Self::Luhn
            | Self::Gs1
            | Self::Mod11And10
            | Self::Mod11Radix2
            | Self::Mod37Radix2
            | Self::Mod37And36 => 1,
        }
    }

    /// The characters of the number itself.
    const fn alphabet(self) -> &'static str {
        match self {
            Self::Damm
            | Self::Verhoeff
            | Self::Luhn
            | Self::Gs1
            | Self::Mod11And10
            | Self::Mod11Radix2
            | Self::Mod97Radix10 => DIGITS,
            Self::Mod37Radix2 | Self::Mod37And36 => LETTERS,
        }
    }

    /// The characters that a check character can be.
    const fn check_alphabet(self) -> &'static str {
        match self {
            Self::Mod11Radix2 => DIGITS_X,
            Self::Mod37Radix2 => LETTERS_STAR,
            Self::Damm
            | Self::Verhoeff
            | Self::Luhn
            | Self::Gs1
            | Self::Mod11And10
            | Self::Mod37And36
            | Self::Mod97Radix10 => self.alphabet(),
        }
    }

    const fn alphabet_words(self) -> &'static str {
        match self {
            Self::Mod37Radix2 | Self::Mod37And36 => "digits and letters A to Z",
            Self::Damm
            | Self::Verhoeff
            | Self::Luhn
            | Self::Gs1
            | Self::Mod11And10
            | Self::Mod11Radix2
            | Self::Mod97Radix10 => "digits",
        }
    }

    /// The check characters of a number that does not carry them yet.
    ///
    /// # Errors
    /// [`NoCheck`] if it is empty, too long, or has a character that the scheme does not know.
    pub fn check(self, number: &str) -> Result<String, NoCheck> {
        let values = self.values(&bare(number)?)?;
        Ok(self.check_of(&values))
    }

    /// Whether a number that ends in its check characters agrees with them.
    ///
    /// # Errors
    /// [`NoCheck`], as for [`Scheme::check`]; also if nothing is left before the check characters.
    pub fn agrees(self, whole: &str) -> Result<bool, NoCheck> {
        let (number, check) = self.parted(whole)?;
        Ok(self.check_of(&self.values(&number)?) == check)
    }

    /// A whole number, parted into itself and its check characters.
    ///
    /// # Errors
    /// [`NoCheck`], as for [`Scheme::agrees`].
    pub fn parted(self, whole: &str) -> Result<(String, String), NoCheck> {
        let bare = bare(whole)?;
        let at = bare.chars().count().saturating_sub(self.check_length());
        if at == 0 {
            return Err(NoCheck::Short(bare));
        }
        let number: String = bare.chars().take(at).collect();
        let check: String = bare.chars().skip(at).collect();
        match check.chars().find(|c| !self.check_alphabet().contains(*c)) {
            Some(character) => Err(self.unknown(character)),
            None => Ok((number, check)),
        }
    }

    /// How the scheme comes to the check value of a number that has none yet.
    ///
    /// # Errors
    /// [`NoCheck`] if it holds a character that the scheme does not know.
    pub fn walked(self, bare: &str) -> Result<Walk, NoCheck> {
        Ok(self.walk(&self.values(bare)?))
    }

    fn values(self, bare: &str) -> Result<Vec<u32>, NoCheck> {
        bare.chars().map(|c| place_in(self.alphabet(), c).ok_or_else(|| self.unknown(c))).collect()
    }

    fn unknown(self, character: char) -> NoCheck {
        NoCheck::Character { character, scheme: self, alphabet: self.alphabet_words() }
    }

    fn walk(self, values: &[u32]) -> Walk {
        match self {
            Self::Damm => quasigroup::damm(values),
            Self::Verhoeff => quasigroup::verhoeff(values),
            Self::Luhn => weighted::luhn(values),
            Self::Gs1 => weighted::gs1(values),
            Self::Mod11And10 => hybrid::hybrid(values, 10),
            Self::Mod37And36 => hybrid::hybrid(values, 36),
            Self::Mod11Radix2 => hybrid::pure(values, 11, 2),
            Self::Mod37Radix2 => hybrid::pure(values, 37, 2),
            Self::Mod97Radix10 => hybrid::pure_two(values),
        }
    }

    fn check_of(self, values: &[u32]) -> String {
        let check = self.walk(values).check;
        match self.check_length() {
            1 => character_at(self.check_alphabet(), check).to_string(),
            _ => format!("{check:02}"),
        }
    }
}

/// The check digit of digits by Damm's scheme.
pub(crate) fn damm_of(digits: &[u32]) -> u32 {
    quasigroup::damm(digits).check
}

/// How a scheme came to its check value: what it stood at after each character.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Walk {
    /// After each character, in the order in which the scheme goes.
    pub after: Vec<u32>,
    /// The check value.
    pub check: u32,
}

impl Walk {
    /// Walks over all characters from where a scheme starts.
    fn over<T>(all: impl Iterator<Item = T>, start: u32, step: impl Fn(u32, T) -> u32) -> Self {
        let after = all
            .scan(start, |at, one| {
                *at = step(*at, one);
                Some(*at)
            })
            .collect();
        Self { after, check: 0 }
    }

    fn last(&self, start: u32) -> u32 {
        self.after.last().copied().unwrap_or(start)
    }

    fn ends(self, check: u32) -> Self {
        Self { check, ..self }
    }
}

impl fmt::Display for Scheme {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Damm => "Damm's scheme",
            Self::Verhoeff => "Verhoeff's scheme",
            Self::Luhn => "Luhn's scheme",
            Self::Gs1 => "the GS1 check digit",
            Self::Mod11And10 => "ISO 7064 mod 11,10",
            Self::Mod11Radix2 => "ISO 7064 mod 11-2",
            Self::Mod37Radix2 => "ISO 7064 mod 37-2",
            Self::Mod37And36 => "ISO 7064 mod 37,36",
            Self::Mod97Radix10 => "ISO 7064 mod 97-10",
        })
    }
}

impl Typed for Scheme {
    const HINT: &'static str = "SCHEME";

    fn read(word: &str) -> Result<Self, BadWord> {
        let bare = word.trim().to_lowercase();
        Self::ALL.into_iter().find(|scheme| scheme.word() == bare).ok_or_else(|| {
            let all: Vec<&str> = Self::ALL.iter().map(|scheme| scheme.word()).collect();
            BadWord::new(word, format!("one of: {}", all.join(" ")))
        })
    }

    fn show(&self) -> String {
        self.word().to_owned()
    }
}

/// The characters that count: no spaces, no hyphens, letters large.
///
/// # Errors
/// [`NoCheck`] if there are none, or too many.
pub fn bare(number: &str) -> Result<String, NoCheck> {
    let bare: String = number
        .chars()
        .filter(|c| !c.is_whitespace() && *c != '-')
        .map(|c| c.to_ascii_uppercase())
        .collect();
    match bare.chars().count() {
        0 => Err(NoCheck::Empty),
        1..=MOST => Ok(bare),
        _ => Err(NoCheck::Long),
    }
}

fn place_in(alphabet: &str, character: char) -> Option<u32> {
    alphabet.chars().position(|c| c == character).and_then(|at| u32::try_from(at).ok())
}

/// The character at a place of an alphabet; callers stay below its length.
fn character_at(alphabet: &str, place: u32) -> char {
    usize::try_from(place).ok().and_then(|at| alphabet.chars().nth(at)).unwrap_or('?')
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every three-digit number under a scheme, with its check digits.
    fn all_of_three(scheme: Scheme) -> Vec<String> {
        (0..1000)
            .map(|n| format!("{n:03}"))
            .map(|number| format!("{number}{}", scheme.check(&number).unwrap()))
            .collect()
    }

    /// ISO/IEC 7064 and the two authors promise it; tried here over every case.
    #[test]
    fn every_single_wrong_digit_is_caught() {
        for scheme in Scheme::ALL {
            for whole in all_of_three(scheme) {
                for (at, was) in whole.char_indices() {
                    for digit in '0'..='9' {
                        let mut wrong = whole.clone();
                        wrong.replace_range(at..=at, &digit.to_string());
                        let same = digit == was;
                        assert_eq!(scheme.agrees(&wrong).unwrap(), same, "{scheme} {wrong}");
                    }
                }
            }
        }
    }

    #[test]
    fn damm_verhoeff_and_mod_97_10_catch_every_swap_of_neighbours() {
        for scheme in [Scheme::Damm, Scheme::Verhoeff, Scheme::Mod97Radix10] {
            for whole in all_of_three(scheme) {
                for at in 0..whole.len() - 1 {
                    let mut swapped: Vec<char> = whole.chars().collect();
                    swapped.swap(at, at + 1);
                    let swapped: String = swapped.into_iter().collect();
                    assert_eq!(scheme.agrees(&swapped).unwrap(), swapped == whole, "{scheme}");
                }
            }
        }
    }

    #[test]
    fn a_slip_is_offered_back() {
        assert_eq!(slips(Scheme::Damm, "5724").unwrap(), [""; 0]);
        assert!(slips(Scheme::Damm, "5742").unwrap().contains(&"5724".to_owned()));
        assert!(slips(Scheme::Damm, "5824").unwrap().contains(&"5724".to_owned()));
    }

    #[test]
    fn what_is_no_number_is_told_apart() {
        assert_eq!(Scheme::Damm.check(" - "), Err(NoCheck::Empty));
        assert_eq!(Scheme::Damm.agrees("7"), Err(NoCheck::Short("7".into())));
        assert!(matches!(Scheme::Luhn.check("12A4"), Err(NoCheck::Character { .. })));
        assert_eq!(Scheme::Luhn.check(&"1".repeat(65)), Err(NoCheck::Long));
        assert_eq!(Scheme::Mod11Radix2.check("0000-0002-1825-009").unwrap(), "7");
    }
}
