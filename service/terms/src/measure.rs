//! Quantities of heat, air and height as they are typed: a number and its unit.

use rust_decimal::Decimal;

use crate::{
    field::{BadWord, Typed, plain_fields},
    units::{quantity, split_unit},
};

quantity! {
    /// The power of a burner. A Btu is 1055.05585262 J (international table): NIST SP 811,
    /// appendix B (from memory).
    Power in PowerUnit as Other, "POWER", "3kW", watts
    /// In watts.
    {
        /// Watts.
        Watt = 1 "W" | "w" => "1",
        /// Kilowatts.
        Kilowatt = 2 "kW" | "kw" | "KW" => "1000",
        /// British thermal units an hour.
        BtuPerHour = 3 "BTU/h" | "Btu/h" | "btu/h" | "BTU/hr" | "btu/hr" | "BTUH" | "btuh" | "BTU" | "btu"
            => "0.2930710701722222222222222",
    }
    /// A pressure, absolute. Exact factors but for inches and millimetres of mercury, which are the
    /// conventional ones: NIST SP 811, appendix B (from memory).
    Pressure in PressureUnit as Other, "PRESSURE", "850hPa", pascals
    /// In pascals.
    {
        /// Pascals.
        Pascal = 1 "Pa" | "pa" => "1",
        /// Hectopascals.
        Hectopascal = 2 "hPa" | "hpa" => "100",
        /// Millibars.
        Millibar = 3 "mbar" | "mb" => "100",
        /// Kilopascals.
        Kilopascal = 4 "kPa" | "kpa" => "1000",
        /// Bars.
        Bar = 5 "bar" => "100000",
        /// Inches of mercury.
        InchOfMercury = 6 "inHg" | "inhg" => "3386.389",
        /// Millimetres of mercury.
        MillimetreOfMercury = 7 "mmHg" | "mmhg" => "133.322387415",
        /// Standard atmospheres.
        Atmosphere = 8 "atm" => "101325",
        /// Pounds on a square inch.
        PoundPerSquareInch = 9 "psi" => "6894.757293168",
    }
    /// A height without its sign.
    Height in HeightUnit as Other, "HEIGHT", "1600m", metres
    /// In metres.
    {
        /// Metres.
        Metre = 1 "m" | "metres" | "meters" => "1",
        /// Feet.
        Foot = 2 "ft" | "feet" => "0.3048",
        /// Kilometres.
        Kilometre = 3 "km" => "1000",
        /// Miles.
        Mile = 4 "mi" | "mile" | "miles" => "1609.344",
    }
    /// Moles in a litre.
    Molarity in MolarityUnit as Other, "MOLARITY", "0.02mol/L", moles_per_litre
    /// In moles a litre.
    {
        /// Moles a litre.
        MolePerLitre = 1 "mol/L" | "mol/l" | "M" => "1",
        /// Millimoles a litre.
        MillimolePerLitre = 2 "mmol/L" | "mmol/l" | "mM" => "0.001",
    }
    /// What a strip reads in water.
    StripReading in StripUnit as Other, "READING", "400mg/L", milligrams_per_litre
    /// In milligrams a litre.
    {
        /// Milligrams a litre.
        MilligramPerLitre = 1 "mg/L" | "mg/l" | "ppm" => "1",
        /// Grams a litre.
        GramPerLitre = 2 "g/L" | "g/l" => "1000",
        /// Grams in 100 mL.
        Percent = 3 "%" => "10000",
    }
    /// A share of air.
    AirShare in AirShareUnit as Other, "SHARE", "1.5ppm", parts_per_million
    /// In parts per million.
    {
        /// Parts per million.
        PartPerMillion = 1 "ppm" => "1",
    }
    /// A wind.
    Wind in WindUnit as Other, "WIND", "2m/s", metres_per_second
    /// In metres a second.
    {
        /// Metres a second.
        MetrePerSecond = 1 "m/s" => "1",
        /// Kilometres an hour.
        KilometrePerHour = 2 "km/h" | "kph" => "0.2777777777777777777777777778",
        /// Miles an hour.
        MilePerHour = 3 "mph" => "0.44704",
    }
    /// A share in per cent.
    Percentage in PercentageUnit as Other, "PERCENT", "40%", percent
    /// In per cent.
    {
        /// Per cent.
        Percent = 1 "%" => "1",
    }
    /// A room.
    Room in RoomUnit as Other, "ROOM", "30m3", cubic_metres
    /// In cubic metres.
    {
        /// Cubic metres.
        CubicMetre = 1 "m3" => "1",
        /// Cubic feet.
        CubicFoot = 2 "ft3" | "cuft" => "0.028316846592",
    }
    /// Heat lost for each degree above the air.
    HeatLoss in HeatLossUnit as Other, "LOSS", "15W/K", watts_per_kelvin
    /// In watts for each kelvin.
    {
        /// Watts a kelvin.
        WattPerKelvin = 1 "W/K" | "w/k" => "1",
        /// British thermal units an hour for each degree Fahrenheit: 0.29307107 W over 5/9 K.
        BtuPerHourFahrenheit = 2 "BTU/h/F" | "Btu/h/F" | "btu/h/f" | "BTU/hr/F" | "btu/hr/f"
            | "BTU/h/\u{b0}F" | "Btu/h/\u{b0}F" => "0.5275279262867396",
    }
}

/// A height above the sea, or below it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Altitude {
    /// Whether it is below the sea.
    pub below: bool,
    /// How far.
    pub height: Height,
}

impl Altitude {
    /// In metres; negative below the sea.
    pub fn metres(self) -> Decimal {
        let metres = self.height.metres();
        if self.below { Decimal::ZERO.saturating_sub(metres) } else { metres }
    }
}

impl Typed for Altitude {
    const HINT: &'static str = "ALTITUDE";

    fn read(word: &str) -> Result<Self, BadWord> {
        let bare = word.trim().strip_prefix('-');
        let height = Height::read(bare.unwrap_or(word))
            .map_err(|_| BadWord::new(word, "a height above the sea, such as 1600m or 5280ft"))?;
        Ok(Self { below: bare.is_some(), height })
    }

    fn show(&self) -> String {
        format!("{}{}", if self.below { "-" } else { "" }, self.height.show())
    }
}

plain_fields!(Altitude);

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: NIST SP 811, appendix B (from memory): 1 Btu/h is 0.2930711 W, an inch of mercury
    /// 3386.389 Pa, a mile 1609.344 m.
    #[test]
    fn units_turn_into_the_si() {
        let watts = Power::read("30000 BTU/h").unwrap().watts().round_dp(1);
        assert_eq!(watts.to_string(), "8792.1");
        assert_eq!(
            Pressure::read("29.92inHg").unwrap().pascals().round_dp(0).to_string(),
            "101321"
        );
        assert_eq!(Altitude::read("1mi").unwrap().metres().to_string(), "1609.344");
        assert_eq!(Altitude::read("-430m").unwrap().metres().to_string(), "-430");
        assert_eq!(Altitude::read("-430m").unwrap().show(), "-430m");
        let loss = HeatLoss::read("20 BTU/h/F").unwrap().watts_per_kelvin().round_dp(4);
        assert_eq!(loss.to_string(), "10.5506");
        assert!(Altitude::read("1600").is_err());
    }
}
