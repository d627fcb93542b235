//! Quantities that keep what was typed and know their unit.

use rust_decimal::Decimal;

use crate::{
    density,
    field::{BadWord, Kind, Typed, plain_fields},
    inches, number,
};

/// Makes a quantity: a number and one of the units of its kind, as typed.
macro_rules! quantity {
    ($($(#[$doc:meta])* $ty:ident in $units:ident as $kind:ident, $hint:literal, $example:literal, $base:ident $(#[$bdoc:meta])* {
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

            /// The unit that a word means. A full stop behind it does not count, nor do capitals
            /// where no other unit is written that way.
            pub fn read(word: &str) -> Option<Self> {
                let word = word.trim_end_matches('.');
                let exact = |word: &str| match word {
                    $($word $(| $alias)* => Some(Self::$unit),)+
                    _ => None,
                };
                exact(word).or_else(|| exact(&word.to_lowercase()))
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
            const KIND: $crate::field::Kind = $crate::field::Kind::$kind;

            fn read(word: &str) -> Result<Self, BadWord> {
                let wrong = || {
                    let units: Vec<&str> = $units::ALL.iter().map(|u| u.word()).collect();
                    BadWord::new(word, format!("a number with its unit ({}), such as {}", units.join(", "), $example))
                };
                let (number, unit) = split_unit(word).ok_or_else(wrong)?;
                // The noughts behind the point of a mass say how fine the scale is.
                let number = if matches!(Self::KIND, $crate::field::Kind::Mass) {
                    $crate::units::with_places(number, word)
                } else {
                    number
                };
                Ok(Self { number, unit: $units::read(&unit).ok_or_else(wrong)? })
            }

            fn show(&self) -> String {
                match $crate::units::mixed(self.number, self.unit.word()) {
                    Some(mixed) => mixed.replace(" in", "in").replace(" lb ", "lb").replace(" oz", "oz"),
                    None => format!("{}{}", self.number, self.unit.word()),
                }
            }
        }

        impl std::fmt::Display for $ty {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                match $crate::units::mixed(self.number, self.unit.word()) {
                    Some(mixed) => f.write_str(&mixed),
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
    Volume in VolumeUnit as Volume, "VOLUME", "18L", litres
    /// In litres.
    {
        /// Litres.
        Litre = 1 "L" | "l" | "litre" | "litres" | "liter" | "liters" => "1",
        /// Millilitres.
        Millilitre = 2 "mL" | "ml" | "millilitre" | "millilitres" | "milliliter" | "milliliters"
            => "0.001",
        /// US gallons of 231 cubic inches.
        UsGallon = 3 "gal" | "gals" | "gallon" | "gallons" | "usgal" | "usgallon" | "usgallons"
            => "3.785411784",
        /// US quarts.
        UsQuart = 4 "qt" | "qts" | "quart" | "quarts" => "0.946352946",
        /// US fluid ounces.
        UsFluidOunce = 5 "floz" | "fl.oz" | "fluidounce" | "fluidounces" => "0.0295735295625",
        /// Imperial gallons.
        ImperialGallon = 6 "impgal" | "impgallon" | "impgallons" | "imperialgal"
            | "imperialgallon" | "imperialgallons" => "4.54609",
        /// US cups of 8 fluid ounces.
        UsCup = 7 "cup" | "cups" => "0.2365882365",
        /// US liquid pints.
        UsPint = 8 "pint" | "pints" | "pt" | "pts" => "0.473176473",
        /// US tablespoons of half a fluid ounce.
        UsTablespoon = 9 "tbsp" | "tablespoon" | "tablespoons" => "0.01478676478125",
        /// US teaspoons of a sixth of a fluid ounce.
        UsTeaspoon = 10 "tsp" | "teaspoon" | "teaspoons" => "0.00492892159375",
    }
    /// A mass. Exact factors: the international pound of 1959 (from memory).
    Mass in MassUnit as Mass, "MASS", "1420g", grams
    /// In grams.
    {
        /// Grams.
        Gram = 1 "g" | "gram" | "grams" => "1",
        /// Kilograms.
        Kilogram = 2 "kg" | "kgs" | "kilo" | "kilos" | "kilogram" | "kilograms" => "1000",
        /// Pounds.
        Pound = 3 "lb" | "lbs" | "pound" | "pounds" => "453.59237",
        /// Ounces.
        Ounce = 4 "oz" | "ounce" | "ounces" => "28.349523125",
        /// Pounds and ounces, counted in ounces.
        PoundOunce = 5 "lboz" => "28.349523125",
    }
    /// A length.
    Length in LengthUnit as Length, "LENGTH", "21 7/8in or 21.5cm", millimetres
    /// In millimetres.
    {
        /// Millimetres.
        Millimetre = 1 "mm" => "1",
        /// Centimetres.
        Centimetre = 2 "cm" => "10",
        /// Inches.
        Inch = 3 "in" | "inch" | "inches" | "\"" => "25.4",
        /// Eighths of an inch.
        EighthInch = 4 "/8in" | "eighths" => "3.175",
        /// Sixteenths of an inch.
        SixteenthInch = 5 "/16in" | "sixteenths" => "1.5875",
    }
    /// A span of time.
    Span in SpanUnit as Span, "SPAN", "90min", minutes
    /// In minutes.
    {
        /// Minutes.
        Minute = 1 "min" | "m" | "mins" | "minute" | "minutes" => "1",
        /// Hours.
        Hour = 2 "h" | "hr" | "hrs" | "hour" | "hours" => "60",
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
    const KIND: Kind = Kind::Strength;

    fn read(word: &str) -> Result<Self, BadWord> {
        let wrong = || BadWord::new(word, "a strength such as 12% (w/v), 35%w/w or 40vol");
        let (number, unit) = split_unit(word).ok_or_else(wrong)?;
        let basis = match unit.to_lowercase().trim_end_matches('.') {
            "%" | "%w/v" | "%wv" | "percent" => Basis::PercentWv,
            "%w/w" | "%ww" => Basis::PercentWw,
            "vol" | "volume" | "volumes" => Basis::LabelVolume,
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
    const KIND: Kind = Kind::Temperature;

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
    const KIND: Kind = Kind::Amount;

    fn read(word: &str) -> Result<Self, BadWord> {
        if let Ok(volume) = Volume::read(word) {
            return Ok(Self::Volume(volume));
        }
        if let Ok(mass) = Mass::read(word) {
            return Ok(Self::Mass(mass));
        }
        number::read(word)
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
    const KIND: Kind = Kind::Number;

    fn read(word: &str) -> Result<Self, BadWord> {
        number::read(word).ok_or_else(|| BadWord::new(word, "a number, 0 or more"))
    }

    fn show(&self) -> String {
        self.to_string()
    }
}

plain_fields!(Strength, Temperature, Amount, Decimal);

/// Splits `18L`, `1,420.5 g` or `2lb3oz` into a number and a unit; numbers are 0 or more and below 10^9.
pub(crate) fn split_unit(word: &str) -> Option<(Decimal, String)> {
    let word = word.trim();
    if let Some((parts, unit)) = inches::mixed_parts(word) {
        return Some((parts, unit.to_owned()));
    }
    if let Some(ounces) = pounds_and_ounces(word) {
        return Some((ounces, MassUnit::PoundOunce.word().to_owned()));
    }
    let end =
        word.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ',')).unwrap_or(word.len());
    let (number, unit) = word.split_at_checked(end)?;
    let unit: String = unit.chars().filter(|c| !c.is_whitespace()).collect();
    if unit.is_empty() { None } else { Some((number::read(number)?, unit)) }
}

/// A number with as many figures behind the point as were typed: `1400.0g` was read to 0.1 g.
pub(crate) fn with_places(mut number: Decimal, word: &str) -> Decimal {
    let places = word
        .rsplit_once('.')
        .map_or(0, |(_, behind)| behind.chars().take_while(char::is_ascii_digit).count());
    let places = u32::try_from(places).unwrap_or(0);
    if places > number.scale() {
        number.rescale(places);
    }
    number
}

/// The ounces of `2 lb 3 oz`, `2 pounds 3 ounces`.
fn pounds_and_ounces(word: &str) -> Option<Decimal> {
    let word = word.to_lowercase();
    let (pounds, ounces) =
        ["pounds", "pound", "lbs", "lb"].iter().find_map(|unit| word.split_once(unit))?;
    let pounds: u32 = pounds.trim().parse().ok()?;
    let ounces =
        ["ounces", "ounce", "oz.", "oz"].iter().find_map(|unit| ounces.strip_suffix(unit))?;
    let ounces = number::read(ounces.trim_start_matches('.').trim())?;
    let sixteen = Decimal::from(16);
    let whole = Decimal::from(pounds).checked_mul(sixteen)?;
    (ounces < sixteen).then(|| whole.saturating_add(ounces).normalize())
}

/// A number of small units as it is spoken: `21 7/8 in`, `2 lb 3 oz`; none for any other unit.
pub(crate) fn mixed(number: Decimal, unit: &str) -> Option<String> {
    if let Some(inches) = inches::mixed_text(number, unit) {
        return Some(format!("{inches} in"));
    }
    let sixteen = Decimal::from(16);
    let pounds = number.checked_div(sixteen)?.trunc();
    let ounces = number.checked_rem(sixteen)?;
    (unit == MassUnit::PoundOunce.word()).then(|| format!("{pounds} lb {ounces} oz"))
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
        assert_eq!(Mass::read("1,420.0 g").unwrap().grams(), Decimal::from(1420));
    }

    /// Source: 1 lb = 16 oz = 453.59237 g; 1 US gallon = 4 qt = 8 pints = 16 cups = 128 fl oz = 256
    /// tablespoons = 768 teaspoons, NIST Handbook 44, appendix C (from memory).
    #[test]
    fn units_that_go_into_each_other_agree() {
        let mixed = Mass::read("2lb3oz").unwrap();
        assert_eq!((mixed.show().as_str(), mixed.to_string().as_str()), ("2lb3oz", "2 lb 3 oz"));
        assert_eq!(mixed.grams(), Mass::read("35 ounces").unwrap().grams());
        for same in ["2 lb 3 oz", "2lbs 3oz", "2 pounds 3 ounces", "2 LB 3 OZ", "2 lb. 3 oz."] {
            assert_eq!(Mass::read(same).unwrap(), mixed, "{same}");
        }
        assert!(Mass::read("2lb16oz").is_err(), "16 oz are a pound");
        let gallon = Volume::read("1gal").unwrap().litres();
        for same in ["4 Quarts", "8pt", "16 cups", "128 fl.oz", "256tbsp", "768 tsp", "1 Gal."] {
            assert_eq!(Volume::read(same).unwrap().litres(), gallon, "{same}");
        }
        assert!(Volume::read("1impgal").unwrap().litres() > gallon);
        assert_eq!(Strength::read("12 percent").unwrap(), Strength::read("12%").unwrap());
        assert_eq!(Strength::read("40 Vol").unwrap(), Strength::read("40vol").unwrap());
    }

    #[test]
    fn a_comma_that_could_be_a_decimal_one_is_not_read() {
        for word in ["1,402 kg", "3,0 %", "12,95"] {
            assert!(Mass::read(word).is_err() && Strength::read(word).is_err(), "{word}");
        }
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
