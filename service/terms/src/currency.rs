//! Currencies and how many digits their smallest unit has.
//!
//! The list is ISO 4217, list one, the minor-unit column (from memory; held against a copy of the
//! list in the reference checks). The CLDR of the Unicode Consortium gives other digits for some,
//! by what is used in daily life (MGA: 0 there, 2 here); this is ISO's.

use std::fmt;

use crate::field::{BadWord, Typed};

/// No minor unit.
const NONE: &str = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF";
/// Three digits.
const THREE: &str = "BHD IQD JOD KWD LYD OMR TND";
/// Two digits: every other currency of the list that people pay with.
const TWO: &str = "\
AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF CHF \
CNY COP CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL \
HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT \
MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB \
SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH \
USD UYU UZS VED VES WST XCD XCG YER ZAR ZMW ZWG";

/// A currency that people pay with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Currency {
    code: [u8; 3],
    digits: u32,
}

impl Currency {
    /// US dollars: what a shop has until it says otherwise.
    pub const USD: Self = Self { code: *b"USD", digits: 2 };

    /// The currency of a code in capitals; `None` if the list has none.
    pub fn of(code: &str) -> Option<Self> {
        let lists = [(NONE, 0), (TWO, 2), (THREE, 3)];
        let (_, digits) =
            lists.into_iter().find(|(list, _)| list.split(' ').any(|one| one == code))?;
        Some(Self { code: code.as_bytes().try_into().ok()?, digits })
    }

    /// Every currency of the list, by its digits.
    pub fn all() -> impl Iterator<Item = Self> {
        [NONE, TWO, THREE].into_iter().flat_map(|list| list.split(' ')).filter_map(Self::of)
    }

    /// Digits of the smallest unit: 0, 2 or 3.
    pub const fn digits(self) -> u32 {
        self.digits
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.code.iter().try_for_each(|letter| write!(f, "{}", char::from(*letter)))
    }
}

impl Default for Currency {
    fn default() -> Self {
        Self::USD
    }
}

impl Typed for Currency {
    const HINT: &'static str = "CURRENCY";

    fn read(word: &str) -> Result<Self, BadWord> {
        Self::of(&word.trim().to_uppercase()).ok_or_else(|| {
            BadWord::new(word, "a currency that people pay with, by its ISO 4217 code such as USD")
        })
    }

    fn show(&self) -> String {
        self.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_code_is_three_letters_and_listed_once() {
        let all: Vec<String> = Currency::all().map(|one| one.to_string()).collect();
        let mut once = all.clone();
        once.sort();
        once.dedup();
        assert_eq!(once.len(), all.len());
        assert!(all.iter().all(|code| code.len() == 3));
        assert!(all.len() > 140, "{}", all.len());
    }

    #[test]
    fn a_code_that_nobody_pays_with_is_told_apart() {
        for word in ["XYZ", "CLF", "XAU", "dollars", "", "US"] {
            assert!(Currency::read(word).is_err(), "{word}");
        }
        assert_eq!(Currency::read("jpy").unwrap().digits(), 0);
    }
}
