//! Quantities that keep what was typed and know their unit.

use rust_decimal::Decimal;

use crate::{
    field::{BadWord, Typed, plain_fields},
    reckon::{inches, peroxide::density},
};

/// Makes a quantity: a number and one of the units of its kind, as typed.
macro_rules! quantity {
    ($($(#[$doc:meta])* $ty:ident in $units:ident, $hint:literal, $example:literal, $base:ident $(#[$bdoc:meta])* {
        $($(#[$udoc:meta])* $unit:ident = $number:literal $word:literal $(| $alias:literal)* => $factor:literal),+ $(,)?
    })+) => {$(
        /// The units of its quantity.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum $units { $($(#[$udoc])* $unit),+ }

        impl $units {
            /// Every unit of the kind.
            pub const ALL: &'static [Self] = &[$(Self::$unit),+];

            /// The number that stands for the unit on the wire; never 0.
            pub const fn number(self) -> i32 {
                match self { $(Self::$unit => $number),+ }
            }

            /// The unit that a number stands for.
            pub const fn from_number(number: i32) -> Option<Self> {
                match number { $($number => Some(Self::$unit),)+ _ => None }
            }

            /// The unit as it is written.
            pub const fn word(self) -> &'static str {
                match self { $(Self::$unit => $word),+ }
            }

            pub(crate) fn read(word: &str) -> Option<Self> {
                match word { $($word $(| $alias)* => Some(Self::$unit),)+ _ => None }
            }

            fn factor(self) -> Decimal {
                let text = match self { $(Self::$unit => $factor),+ };
                Decimal::from_str_exact(text).unwrap_or(Decimal::ONE)
            }
        }

        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub struct $ty {
            /// The number as typed.
            pub number: Decimal,
            /// The unit as typed.
            pub unit: $units,
        }

        impl $ty {
            /// A quantity as typed.
            pub const fn new(number: Decimal, unit: $units) -> Self {
                Self { number, unit }
            }

            $(#[$bdoc])*
            pub fn $base(self) -> Decimal {
                self.number.saturating_mul(self.unit.factor()).normalize()
            }
        }

        impl Typed for $ty {
            const HINT: &'static str = $hint;

            fn read(word: &str) -> Result<Self, BadWord> {
                let wrong = || {
                    let units: Vec<&str> = $units::ALL.iter().map(|u| u.word()).collect();
                    BadWord::new(word, format!("a number with its unit ({}), such as {}", units.join(", "), $example))
                };
                let (number, unit) = split_unit(word).ok_or_else(wrong)?;
                Ok(Self { number, unit: $units::read(&unit).ok_or_else(wrong)? })
            }

            fn show(&self) -> String {
                match $crate::reckon::inches::mixed_text(self.number, self.unit.word()) {
                    Some(mixed) => format!("{mixed}in"),
                    None => format!("{}{}", self.number, self.unit.word()),
                }
            }
        }

        impl std::fmt::Display for $ty {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                match $crate::reckon::inches::mixed_text(self.number, self.unit.word()) {
                    Some(mixed) => write!(f, "{mixed} in"),
                    None => write!(f, "{} {}", self.number, self.unit.word()),
                }
            }
        }

        plain_fields!($ty);
    )+};
}

pub(crate) use quantity;

quantity! {
    /// A volume. Exact factors: NIST Handbook 44, appendix C (from memory).
    Volume in VolumeUnit, "VOLUME", "18L", litres
    /// In litres.
    {
        /// Litres.
        Litre = 1 "L" | "l" | "litre" | "litres" | "liter" | "liters" => "1",
        /// Millilitres.
        Millilitre = 2 "mL" | "ml" => "0.001",
        /// US gallons of 231 cubic inches.
        UsGallon = 3 "gal" | "usgal" => "3.785411784",
        /// US quarts.
        UsQuart = 4 "qt" => "0.946352946",
        /// US fluid ounces.
        UsFluidOunce = 5 "floz" => "0.0295735295625",
        /// Imperial gallons.
        ImperialGallon = 6 "impgal" => "4.54609",
    }
    /// A mass. Exact factors: the international pound of 1959 (from memory).
    Mass in MassUnit, "MASS", "1420g", grams
    /// In grams.
    {
        /// Grams.
        Gram = 1 "g" => "1",
        /// Kilograms.
        Kilogram = 2 "kg" => "1000",
        /// Pounds.
        Pound = 3 "lb" | "lbs" => "453.59237",
        /// Ounces.
        Ounce = 4 "oz" => "28.349523125",
    }
    /// A length.
    Length in LengthUnit, "LENGTH", "21 7/8in or 21.5cm", millimetres
    /// In millimetres.
    {
        /// Millimetres.
        Millimetre = 1 "mm" => "1",
        /// Centimetres.
        Centimetre = 2 "cm" => "10",
        /// Inches.
        Inch = 3 "in" => "25.4",
        /// Eighths of an inch.
        EighthInch = 4 "/8in" | "eighths" => "3.175",
        /// Sixteenths of an inch.
        SixteenthInch = 5 "/16in" | "sixteenths" => "1.5875",
    }
    /// A span of time.
    Span in SpanUnit, "SPAN", "90min", minutes
    /// In minutes.
    {
        /// Minutes.
        Minute = 1 "min" | "m" => "1",
        /// Hours.
        Hour = 2 "h" => "60",
        /// Days of 24 hours.
        Day = 3 "d" | "days" | "day" => "1440",
    }
}

/// The basis of a peroxide strength.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Basis {
    /// Grams in 100 mL of solution.
    PercentWv,
    /// Grams in 100 g of solution.
    PercentWw,
    /// Label volumes of oxygen: 40 volume is labelled 12 % w/v.
    LabelVolume,
}

impl Basis {
    /// The number that stands for the basis on the wire; never 0.
    pub const fn number(self) -> i32 {
        match self {
            Self::PercentWv => 1,
            Self::PercentWw => 2,
            Self::LabelVolume => 3,
        }
    }

    /// The basis that a number stands for.
    pub const fn from_number(number: i32) -> Option<Self> {
        match number {
            1 => Some(Self::PercentWv),
            2 => Some(Self::PercentWw),
            3 => Some(Self::LabelVolume),
            _ => None,
        }
    }
}

/// The strength of a peroxide solution, with its basis as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Strength {
    /// The number as typed.
    pub number: Decimal,
    /// What it is per.
    pub basis: Basis,
}

impl Strength {
    /// In grams per 100 mL.
    ///
    /// "Volume" is taken at its label (10 volume = 3 %, common practice, no source). Per cent by
    /// mass is turned with the density of the solution, linear between rows of the International
    /// Critical Tables, vol. III, at 18 degrees Celsius (from memory), and is good to 60 %.
    pub fn percent_wv(self) -> Decimal {
        match self.basis {
            Basis::PercentWv => self.number,
            Basis::LabelVolume => self.number.saturating_mul(Decimal::new(3, 1)).normalize(),
            Basis::PercentWw => {
                self.number.saturating_mul(density_at(self.number)).round_dp(4).normalize()
            }
        }
    }
}

impl std::fmt::Display for Strength {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.basis {
            Basis::PercentWv => write!(f, "{} % w/v", self.number),
            Basis::PercentWw => write!(f, "{} % w/w", self.number),
            Basis::LabelVolume => write!(f, "{} volume", self.number),
        }
    }
}

impl Typed for Strength {
    const HINT: &'static str = "STRENGTH";

    fn read(word: &str) -> Result<Self, BadWord> {
        let wrong = || BadWord::new(word, "a strength such as 12% (w/v), 35%w/w or 40vol");
        let (number, unit) = split_unit(word).ok_or_else(wrong)?;
        let basis = match unit.as_str() {
            "%" | "%w/v" | "%wv" => Basis::PercentWv,
            "%w/w" | "%ww" => Basis::PercentWw,
            "vol" | "volume" => Basis::LabelVolume,
            _ => return Err(wrong()),
        };
        let strength = Self { number, basis };
        let most = if basis == Basis::PercentWw { number } else { strength.percent_wv() };
        if most > Decimal::ONE_HUNDRED {
            return Err(BadWord::new(word, "possible: no peroxide solution is that strong"));
        }
        Ok(strength)
    }

    fn show(&self) -> String {
        match self.basis {
            Basis::PercentWv => format!("{}%", self.number),
            Basis::PercentWw => format!("{}%w/w", self.number),
            Basis::LabelVolume => format!("{}vol", self.number),
        }
    }
}

/// A temperature, in the scale as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Temperature {
    /// The number as typed.
    pub number: Decimal,
    /// Whether it is in degrees Fahrenheit; else in degrees Celsius.
    pub fahrenheit: bool,
}

impl Temperature {
    /// In degrees Celsius.
    pub fn celsius(self) -> Decimal {
        if self.fahrenheit {
            self.number
                .saturating_sub(Decimal::from(32))
                .saturating_mul(Decimal::from(5))
                .checked_div(Decimal::from(9))
                .unwrap_or_default()
        } else {
            self.number
        }
    }
}

impl Typed for Temperature {
    const HINT: &'static str = "TEMP";

    fn read(word: &str) -> Result<Self, BadWord> {
        let wrong = || BadWord::new(word, "a temperature such as 88C or 190F");
        let bare = word.trim();
        let (sign, bare) = bare.strip_prefix('-').map_or((1, bare), |rest| (-1, rest));
        let (number, unit) = split_unit(bare).ok_or_else(wrong)?;
        let fahrenheit = match unit.trim_start_matches('\u{b0}') {
            "C" | "c" => false,
            "F" | "f" => true,
            _ => return Err(wrong()),
        };
        Ok(Self { number: number.saturating_mul(Decimal::from(sign)), fahrenheit })
    }

    fn show(&self) -> String {
        format!("{}{}", self.number, if self.fahrenheit { "F" } else { "C" })
    }
}

/// An amount of stuff: by volume, by mass, or counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Amount {
    /// By volume.
    Volume(Volume),
    /// By mass.
    Mass(Mass),
    /// Counted.
    Count(Decimal),
}

impl Typed for Amount {
    const HINT: &'static str = "AMOUNT";

    fn read(word: &str) -> Result<Self, BadWord> {
        if let Ok(volume) = Volume::read(word) {
            return Ok(Self::Volume(volume));
        }
        if let Ok(mass) = Mass::read(word) {
            return Ok(Self::Mass(mass));
        }
        read_number(word)
            .map(Self::Count)
            .ok_or_else(|| BadWord::new(word, "an amount such as 2L, 250g or 6"))
    }

    fn show(&self) -> String {
        match self {
            Self::Volume(volume) => volume.show(),
            Self::Mass(mass) => mass.show(),
            Self::Count(number) => number.to_string(),
        }
    }
}

/// A bare number, such as a pH.
impl Typed for Decimal {
    const HINT: &'static str = "NUMBER";

    fn read(word: &str) -> Result<Self, BadWord> {
        read_number(word).ok_or_else(|| BadWord::new(word, "a number, 0 or more"))
    }

    fn show(&self) -> String {
        self.to_string()
    }
}

plain_fields!(Strength, Temperature, Amount, Decimal);

/// Splits `18L` or `1,420 g` into a number and a unit; numbers are 0 or more and below 10^9.
pub(crate) fn split_unit(word: &str) -> Option<(Decimal, String)> {
    let word = word.trim();
    if let Some((parts, unit)) = inches::mixed_parts(word) {
        return Some((parts, unit.to_owned()));
    }
    let end =
        word.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ',')).unwrap_or(word.len());
    let (number, unit) = word.split_at_checked(end)?;
    let unit: String = unit.chars().filter(|c| !c.is_whitespace()).collect();
    if unit.is_empty() { None } else { Some((read_number(number)?, unit)) }
}

fn read_number(word: &str) -> Option<Decimal> {
    let bare = word.trim().replace(',', "");
    let number = Decimal::from_str_exact(&bare).ok()?.normalize();
    let fits = !number.is_sign_negative() || number.is_zero();
    (fits && number < Decimal::from(1_000_000_000_u64) && number.scale() <= 6).then_some(number)
}

/// Density in g/mL by per cent w/w at 18 degrees Celsius.
fn density_at(percent_ww: Decimal) -> Decimal {
    let mut below = (Decimal::ZERO, Decimal::ONE);
    for (percent, tenths) in density::ROWS {
        let row = (Decimal::from(percent), Decimal::new(i64::from(tenths), 4));
        if percent_ww <= row.0 {
            let step = row.0.saturating_sub(below.0);
            let part = percent_ww.saturating_sub(below.0).checked_div(step).unwrap_or_default();
            return below.1.saturating_add(row.1.saturating_sub(below.1).saturating_mul(part));
        }
        below = row;
    }
    below.1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_typed_is_kept_and_its_base_is_exact() {
        let gallon = Volume::read("1 gal").unwrap();
        assert_eq!(gallon.show(), "1gal");
        // Source: 1 US gallon = 231 cubic inches = 3.785411784 L, NIST Handbook 44 (from memory).
        assert_eq!(gallon.litres().to_string(), "3.785411784");
        assert_eq!(Mass::read("1,420 g").unwrap().grams(), Decimal::from(1420));
    }

    #[test]
    fn a_missing_or_foreign_unit_is_told_apart() {
        for word in ["18", "18 kg", "L", "-3L", "1e3L", ""] {
            assert!(Volume::read(word).is_err(), "{word}");
        }
    }

    /// Source: 68 degF = 20 degC and -40 = -40, by the definition of the scales.
    #[test]
    fn fahrenheit_turns_into_celsius() {
        assert_eq!(Temperature::read("68F").unwrap().celsius(), Decimal::from(20));
        assert_eq!(Temperature::read("-40F").unwrap().celsius(), Decimal::from(-40));
    }

    /// Source: 30 % w/w at 1.1122 g/mL is 33.366 % w/v, International Critical Tables vol. III
    /// (density from memory).
    #[test]
    fn strength_by_mass_uses_the_density() {
        let strength = Strength::read("30%w/w").unwrap();
        assert_eq!(strength.percent_wv().to_string(), "33.366");
        assert_eq!(Strength::read("40vol").unwrap().percent_wv(), Decimal::from(12));
        assert!(Strength::read("200%").is_err());
    }
}
