//! In which units a hand reads figures: the shop's setting `units`, in one place.
//!
//! What was typed stays as typed where it is said back. A figure that is reckoned (a level, a boil) is
//! shown in the shop's units, and so is one that was typed in the other system. Where the shop set
//! nothing, levels are in litres and the rest is as it was typed.

use burrline_domain::{State, fold::Measure, house::UnitSystem};
use burrline_reckon::{
    pot::boils::{both, fahrenheit},
    quantity::Celsius,
};
use burrline_terms::{
    Length, Mass, Temperature, Volume,
    units::{LengthUnit, MassUnit, VolumeUnit},
};
use rust_decimal::{Decimal, RoundingStrategy};

/// The units that a shop reads, if it said so.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Units(Option<UnitSystem>);

impl Units {
    /// Those of a shop.
    pub fn of(state: &State) -> Self {
        Self(state.settings().units())
    }

    /// Those of one system, or none that was set.
    pub const fn in_system(system: Option<UnitSystem>) -> Self {
        Self(system)
    }

    /// Whether the shop set gallons, pounds and the like.
    pub fn is_us(self) -> bool {
        self.0 == Some(UnitSystem::Us)
    }

    /// How much water: `20 L`, `5.28 gal`.
    pub fn litres(self, litres: Decimal) -> String {
        if self.0 != Some(UnitSystem::Us) {
            return format!("{} L", rounded(litres, 2));
        }
        let size = |unit: VolumeUnit| Volume::new(Decimal::ONE, unit).litres();
        let unit = [VolumeUnit::UsGallon, VolumeUnit::UsQuart]
            .into_iter()
            .find(|unit| litres.abs() >= size(*unit) || litres.is_zero())
            .unwrap_or(VolumeUnit::UsFluidOunce);
        let places = if unit == VolumeUnit::UsFluidOunce { 1 } else { 2 };
        let number = litres.checked_div(size(unit)).unwrap_or_default();
        let word = if unit == VolumeUnit::UsFluidOunce { "fl oz" } else { unit.word() };
        format!("{} {word}", rounded(number, places))
    }

    /// A volume that was typed.
    pub fn volume(self, typed: Volume) -> String {
        let us = matches!(
            typed.unit,
            VolumeUnit::UsGallon | VolumeUnit::UsQuart | VolumeUnit::UsFluidOunce
        );
        let metric = matches!(typed.unit, VolumeUnit::Litre | VolumeUnit::Millilitre);
        if self.keeps(us, metric) { typed.to_string() } else { self.litres(typed.litres()) }
    }

    /// A mass that was typed: `1420 g`, `3 lb 2.1 oz`.
    pub fn mass(self, typed: Mass) -> String {
        let us = matches!(typed.unit, MassUnit::Pound | MassUnit::Ounce);
        if self.keeps(us, !us) { typed.to_string() } else { self.grams(typed.grams()) }
    }

    /// How heavy.
    pub fn grams(self, grams: Decimal) -> String {
        if self.0 != Some(UnitSystem::Us) {
            return format!("{} g", rounded(grams, 1));
        }
        let size = |unit: MassUnit| Mass::new(Decimal::ONE, unit).grams();
        let ounces = grams.checked_div(size(MassUnit::Ounce)).unwrap_or_default();
        // Under an ounce a tenth is too coarse: a scale's step, what water is left.
        let places = if ounces.abs() < Decimal::ONE { 3 } else { 1 };
        let ounces = rounded(ounces, places);
        let sixteen = Decimal::from(16);
        let pounds = ounces.checked_div(sixteen).unwrap_or_default().trunc();
        let rest = ounces.saturating_sub(pounds.saturating_mul(sixteen)).normalize();
        match (pounds.is_zero(), rest.is_zero()) {
            (true, _) => format!("{rest} oz"),
            (false, true) => format!("{} lb", pounds.normalize()),
            (false, false) => format!("{} lb {} oz", pounds.normalize(), rest.abs()),
        }
    }

    /// A temperature that was typed: `88 °C`, `190 °F`.
    pub fn temperature(self, typed: Temperature) -> String {
        let fahrenheit = match self.0 {
            Some(UnitSystem::Us) => true,
            Some(UnitSystem::Metric) => false,
            None => typed.fahrenheit,
        };
        let number = if fahrenheit == typed.fahrenheit {
            typed.number
        } else if fahrenheit {
            let ninths = typed.number.saturating_mul(Decimal::from(9));
            let above = ninths.checked_div(Decimal::from(5)).unwrap_or_default();
            above.saturating_add(Decimal::from(32))
        } else {
            typed.celsius()
        };
        format!("{} \u{b0}{}", rounded(number, 1), if fahrenheit { 'F' } else { 'C' })
    }

    /// A temperature that was reckoned: on both scales where the shop set neither.
    pub fn degrees(self, reckoned: Celsius) -> String {
        match self.0 {
            Some(UnitSystem::Us) => format!("{:.0} \u{b0}F", fahrenheit(reckoned)),
            Some(UnitSystem::Metric) => {
                format!("{} \u{b0}C", rounded(decimal(reckoned.0), 1))
            }
            None => both(reckoned),
        }
    }

    /// Between what a pot simmers, to whole degrees: `180 to 200 °F`.
    pub fn simmer(self, low: Celsius, high: Celsius) -> String {
        if self.0 == Some(UnitSystem::Us) {
            return format!("{:.0} to {:.0} \u{b0}F", fahrenheit(low), fahrenheit(high));
        }
        format!("{:.0} to {:.0} \u{b0}C", low.0, high.0)
    }

    /// How long.
    pub fn millimetres(self, millimetres: Decimal) -> String {
        let (unit, word) = match self.0 {
            Some(UnitSystem::Us) => (LengthUnit::Inch, "in"),
            Some(UnitSystem::Metric) | None if millimetres.abs() < Decimal::ONE_HUNDRED => {
                (LengthUnit::Millimetre, "mm")
            }
            Some(UnitSystem::Metric) | None => (LengthUnit::Centimetre, "cm"),
        };
        let size = Length::new(Decimal::ONE, unit).millimetres();
        let number = millimetres.checked_div(size).unwrap_or_default();
        format!("{} {word}", rounded(number, 1))
    }

    /// How much of a stock that is kept in litres, grams or pieces.
    pub fn stock(self, measure: Measure, amount: Decimal) -> String {
        match measure {
            Measure::Litres => self.litres(amount),
            Measure::Grams => self.grams(amount),
            Measure::Pieces => format!("{} {}", rounded(amount, 3), measure.unit()),
        }
    }

    /// Whether a figure that was typed in this system is shown as it was typed.
    const fn keeps(self, us: bool, metric: bool) -> bool {
        match self.0 {
            Some(UnitSystem::Us) => us,
            Some(UnitSystem::Metric) => metric,
            None => true,
        }
    }
}

/// A figure with so many places at most, half away from nothing.
fn rounded(number: Decimal, places: u32) -> Decimal {
    number.round_dp_with_strategy(places, RoundingStrategy::MidpointAwayFromZero).normalize()
}

/// Litres of a float, for sums that are physical.
pub(crate) fn decimal(number: f64) -> Decimal {
    Decimal::try_from(number).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use burrline_terms::Typed as _;

    use super::*;

    const US: Units = Units(Some(UnitSystem::Us));
    const METRIC: Units = Units(Some(UnitSystem::Metric));
    const UNSET: Units = Units(None);

    /// Source: NIST Handbook 44, appendix C (from memory): a US gallon is 231 cubic inches,
    /// 3.785 411 784 L, of 4 quarts or 128 fluid ounces.
    #[test]
    fn volumes_are_in_gallons_quarts_and_fluid_ounces() {
        for (typed, us, metric, unset) in [
            ("5gal", "5 gal", "18.93 L", "5 gal"),
            ("20L", "5.28 gal", "20 L", "20 L"),
            ("1L", "1.06 qt", "1 L", "1 L"),
            ("30mL", "1 fl oz", "30 mL", "30 mL"),
            ("1impgal", "1.2 gal", "4.55 L", "1 impgal"),
        ] {
            let typed = Volume::read(typed).unwrap();
            let shown = [US, METRIC, UNSET].map(|units| units.volume(typed));
            assert_eq!(shown, [us, metric, unset], "{typed}");
        }
        let gallon_and_quart =
            Volume::read("5gal").unwrap().litres() + Volume::read("1qt").unwrap().litres();
        assert_eq!(US.litres(gallon_and_quart), "5.25 gal");
        assert_eq!(US.litres(Decimal::ZERO), "0 gal");
    }

    /// Source: NIST Handbook 44, appendix C (from memory): an avoirdupois pound is 453.592 37 g, of
    /// 16 ounces.
    #[test]
    fn masses_are_in_pounds_and_ounces() {
        for (typed, us, metric, unset) in [
            ("1420g", "3 lb 2.1 oz", "1420 g", "1420 g"),
            ("3lb", "3 lb", "1360.8 g", "3 lb"),
            ("12.5oz", "12.5 oz", "354.4 g", "12.5 oz"),
            ("1kg", "2 lb 3.3 oz", "1 kg", "1 kg"),
            // Not 0 lb 16 oz.
            ("453.592g", "1 lb", "453.592 g", "453.592 g"),
            ("5g", "0.176 oz", "5 g", "5 g"),
        ] {
            let typed = Mass::read(typed).unwrap();
            let shown = [US, METRIC, UNSET].map(|units| units.mass(typed));
            assert_eq!(shown, [us, metric, unset], "{typed}");
        }
    }

    /// Source: 32 and 212 degrees Fahrenheit are 0 and 100 Celsius, by the definition of the scales.
    #[test]
    fn temperatures_are_on_the_shops_scale() {
        for (typed, us, metric, unset) in [
            ("212F", "212 \u{b0}F", "100 \u{b0}C", "212 \u{b0}F"),
            ("190F", "190 \u{b0}F", "87.8 \u{b0}C", "190 \u{b0}F"),
            ("0C", "32 \u{b0}F", "0 \u{b0}C", "0 \u{b0}C"),
            ("-40C", "-40 \u{b0}F", "-40 \u{b0}C", "-40 \u{b0}C"),
        ] {
            let typed = Temperature::read(typed).unwrap();
            let shown = [US, METRIC, UNSET].map(|units| units.temperature(typed));
            assert_eq!(shown, [us, metric, unset]);
        }
        assert_eq!(US.degrees(Celsius(95.04)), "203 \u{b0}F");
        assert_eq!(METRIC.degrees(Celsius(95.04)), "95 \u{b0}C");
        assert_eq!(UNSET.degrees(Celsius(95.0)), "95 \u{b0}C (203 \u{b0}F)");
    }

    /// Source: NIST Handbook 44, appendix C (from memory): an inch is 25.4 mm.
    #[test]
    fn a_depth_is_in_inches_or_millimetres() {
        for (millimetres, us, metric) in
            [(25, "1 in", "25 mm"), (254, "10 in", "25.4 cm"), (99, "3.9 in", "99 mm")]
        {
            let shown = [US, METRIC, UNSET].map(|units| units.millimetres(millimetres.into()));
            assert_eq!(shown, [us, metric, metric]);
        }
        assert_eq!(US.simmer(Celsius(82.0), Celsius(93.0)), "180 to 199 \u{b0}F");
        assert_eq!(UNSET.simmer(Celsius(82.0), Celsius(93.0)), "82 to 93 \u{b0}C");
    }
}
