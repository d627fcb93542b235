//! What a boil burns, and what it costs.

use crate::{
    Absurd, Known, Value, Working,
    constants::{gallon, pound},
    peroxide::dilute::some,
    pot::heat::Pot,
    quantity::{Kilograms, Share},
    working::six,
};

/// What is burnt; heats of combustion by lower heating value, as the steam leaves (from memory: engineering
/// handbooks, rounded).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fuel {
    /// Propane.
    Propane,
    /// Butane.
    Butane,
    /// Natural gas, by the cubic meter.
    NaturalGas,
    /// White gas, camp fuel, gasoline.
    WhiteGas,
    /// Kerosene, diesel.
    Kerosene,
    /// Dry wood.
    Wood,
    /// Electricity, by the kilowatt hour.
    Electricity,
}

impl Fuel {
    /// Every fuel, by its words.
    pub const WORDS: [(&'static str, Self); 11] = [
        ("propane", Self::Propane),
        ("butane", Self::Butane),
        ("natural-gas", Self::NaturalGas),
        ("white-gas", Self::WhiteGas),
        ("camp-fuel", Self::WhiteGas),
        ("gasoline", Self::WhiteGas),
        ("kerosene", Self::Kerosene),
        ("diesel", Self::Kerosene),
        ("wood", Self::Wood),
        ("electric", Self::Electricity),
        ("electricity", Self::Electricity),
    ];

    /// Megajoules in one unit of it, and that unit.
    const fn holds(self) -> (f64, &'static str) {
        match self {
            Self::Propane => (46.4, "kg"),
            Self::Butane => (45.7, "kg"),
            Self::NaturalGas => (35.8, "m\u{b3}"),
            Self::WhiteGas => (44.0, "kg"),
            Self::Kerosene => (43.0, "kg"),
            Self::Wood => (15.0, "kg"),
            Self::Electricity => (3.6, "kWh"),
        }
    }

    /// As it is said.
    fn name(self) -> String {
        let mut words = Self::WORDS.iter().filter(|(_, other)| *other == self);
        let word = if self == Self::Electricity { words.next_back() } else { words.next() };
        word.map_or(String::new(), |(word, _)| word.replace('-', " "))
    }

    /// Kilograms of a liter of what is sold as a liquid.
    ///
    /// Source: 4.24 lb in a gallon of propane, as suppliers' conversion tables print it; the others
    /// rounded (from memory).
    fn kilograms_in_a_litre(self) -> Option<f64> {
        match self {
            Self::Propane => Some(4.24 * pound() / 1000.0 / gallon()),
            Self::Butane => Some(0.58),
            Self::WhiteGas => Some(0.72),
            Self::Kerosene => Some(0.82),
            Self::NaturalGas | Self::Wood | Self::Electricity => None,
        }
    }

    /// How much of its own unit (a kilogram, a cubic meter, a kilowatt hour) is in one of another that
    /// it is sold by; none where nobody sells it so.
    ///
    /// Source: 1 ft is 0.3048 m and a therm 100,000 Btu, NIST SP 811, appendix B; 1,030 Btu in a cubic
    /// foot of natural gas, as suppliers' conversion tables print it.
    fn in_one(self, sold_by: &str) -> Option<f64> {
        const CUBIC_FOOT: f64 = 0.3048 * 0.3048 * 0.3048;
        let by_mass = matches!(
            self,
            Self::Propane | Self::Butane | Self::WhiteGas | Self::Kerosene | Self::Wood
        );
        match (self, sold_by) {
            (Self::Electricity, "kWh") | (Self::NaturalGas, "m3") => Some(1.0),
            (Self::NaturalGas, "ft3") => Some(CUBIC_FOOT),
            (Self::NaturalGas, "ccf") => Some(100.0 * CUBIC_FOOT),
            (Self::NaturalGas, "therm") => Some(100_000.0 / 1030.0 * CUBIC_FOOT),
            (_, "kg") if by_mass => Some(1.0),
            (_, "lb") if by_mass => Some(pound() / 1000.0),
            (_, "L") => self.kilograms_in_a_litre(),
            (_, "gal") => self.kilograms_in_a_litre().map(|kilograms| kilograms * gallon()),
            _ => None,
        }
    }

    /// The units that it is sold by.
    fn sold_by(self) -> Vec<&'static str> {
        const ALL: [&str; 9] = ["gal", "lb", "L", "kg", "therm", "ccf", "ft3", "m3", "kWh"];
        ALL.into_iter().filter(|unit| self.in_one(unit).is_some()).collect()
    }

    /// The fuel of a word.
    ///
    /// # Errors
    /// [`Absurd`] for any other.
    pub fn read(word: &str) -> Result<Self, Absurd> {
        let found = Self::WORDS.iter().find(|(name, _)| *name == word).map(|(_, fuel)| *fuel);
        found.ok_or_else(|| {
            Absurd::new(
                format!("\u{201c}{word}\u{201d} is no fuel that is known here"),
                "say propane, butane, natural-gas, white-gas, kerosene, wood or electric",
            )
        })
    }
}

/// What one unit of a fuel costs.
#[derive(Debug, Clone, PartialEq)]
pub struct Price {
    /// How much.
    pub amount: f64,
    /// A unit that it is sold by, such as `gal`; empty where it was not said.
    pub per: String,
}

impl Price {
    /// What one of the fuel's own units costs, and the price as it is said.
    fn of(&self, fuel: Fuel) -> Result<(f64, f64, String), Absurd> {
        let units = fuel.sold_by();
        // One unit is no question.
        let per = match (self.per.as_str(), units.as_slice()) {
            ("", [only]) => only,
            (per, _) => per,
        };
        let said = |unit: &str| format!("`price {}/{unit}`", self.shown());
        let holds = fuel.in_one(per).ok_or_else(|| {
            let all: Vec<String> = units.iter().map(|unit| said(unit)).collect();
            let why = if per.is_empty() {
                format!("a price of {} says for how much of it", fuel.name())
            } else {
                format!("{} is not sold by the \u{201c}{per}\u{201d} here", fuel.name())
            };
            Absurd::new(why, format!("say {}", all.join(" or ")))
        })?;
        Ok((self.amount / holds, holds, format!("{}/{per}", self.shown())))
    }

    /// As money is written: 3.10, and finer where it was said finer.
    fn shown(&self) -> String {
        let shown = six(self.amount);
        let places = shown.split_once('.').map_or(0, |(_, places)| places.len());
        if places == 1 { format!("{:.2}", self.amount) } else { shown }
    }
}

/// What a heating burns: the heat into the pot by the share of the burner that reaches it.
///
/// # Errors
/// [`Absurd`] without water, for a share that cannot be, or for a price of nobody knows how much.
pub fn fuel(pot: &Pot, fuel: Fuel, share: Share, price: Option<&Price>) -> Result<Working, Absurd> {
    if !(share.0 > 0.0 && share.0 <= 100.0) {
        return Err(Absurd::new(
            format!("an efficiency of {share} cannot be"),
            "say a share over 0 % and up to 100 %, such as `efficiency 40%`",
        ));
    }
    let heat = pot.heat()?;
    let (holds, unit) = fuel.holds();
    let burnt = heat.0 / 1000.0 / (share.0 / 100.0) / holds;
    some(burnt, unit)?;
    let said = match unit {
        "kg" => Kilograms(burnt).to_string(),
        unit => format!("{} {unit}", crate::working::digits(burnt, 4)),
    };
    let mut working = pot
        .steps(Working::new())
        .figure("heat", heat)
        .value("fuel", Value::Number(burnt), unit)
        .step(
            "burnt",
            format!(
                "{} kJ / 1000 / ({} / 100) / {holds} MJ/{unit} = {} {unit}",
                six(heat.0),
                six(share.0),
                six(burnt)
            ),
        )
        .caution("To the boil alone; a simmer goes on burning. Fresh air for the burner.")
        .source(
            "lower heating values, rounded, within 3 % of: Hydrogen Analysis Resource Center, Lower and \
             Higher Heating Values of Hydrogen and Fuels (read in a copy), as LPG, naphtha, diesel and natural gas",
            Known::Read,
        )
        .source(
            "dry firewood 16 MJ/kg: World Nuclear Association, Heat Values of Various Fuels, August 2018; \
             15 for wood dried in air is from memory",
            Known::Read,
        );
    let mut answer = format!("{said} of {} to heat it once, at {share} of the burner", fuel.name());
    if let Some(price) = price {
        let (each, holds, said) = price.of(fuel)?;
        let cost = burnt * each;
        working = working.value("cost", Value::Number(cost), "").step(
            "cost",
            format!(
                "{} {unit} / {} {unit} each x {} = {cost:.2}",
                six(burnt),
                six(holds),
                six(price.amount)
            ),
        );
        answer = format!("{answer}; it costs {cost:.2} at {said}");
    }
    Ok(working.answer(answer))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        pot::atmosphere::SEA,
        quantity::{Celsius, Litres},
    };

    /// By arithmetic: 20 L from 15 to 100 degrees take about 7.1 MJ; at 40 % that is 17.8 MJ, 0.38 kg of
    /// propane at 46.4 MJ/kg, and at 95 % 2.08 kWh.
    #[test]
    fn a_boil_burns_what_its_heat_says() {
        let pot = Pot {
            water: Litres(20.0),
            from: Celsius(15.0),
            to: Celsius(99.9),
            pressure: SEA,
            heads: Kilograms(0.0),
        };
        let burnt = |what: Fuel, share: f64| {
            fuel(&pot, what, Share(share), None).unwrap().number("fuel").unwrap()
        };
        assert!((burnt(Fuel::Propane, 40.0) - 0.382).abs() < 0.005);
        assert!((burnt(Fuel::Electricity, 95.0) - 2.077).abs() < 0.02);
        let priced = |what: Fuel, amount: f64, per: &str| {
            let price = Price { amount, per: per.to_owned() };
            fuel(&pot, what, Share(40.0), Some(&price)).map(|said| said.answer)
        };
        let said = priced(Fuel::Propane, 2.6, "kg").unwrap();
        assert!(said.ends_with("; it costs 1.00 at 2.60/kg"), "{said}");
        // 0.383 kg are 0.199 gal of 1.923 kg each.
        let said = priced(Fuel::Propane, 3.1, "gal").unwrap();
        assert!(said.ends_with("; it costs 0.62 at 3.10/gal"), "{said}");
        let asked = priced(Fuel::Propane, 3.1, "").unwrap_err().to_string();
        assert!(asked.contains("`price 3.10/gal` or `price 3.10/lb`"), "{asked}");
        assert!(priced(Fuel::Wood, 3.1, "gal").is_err());
        assert!(priced(Fuel::Electricity, 0.15, "").is_ok());
        assert!(fuel(&pot, Fuel::Propane, Share(0.0), None).is_err());
        assert!(Fuel::read("coal").is_err());
    }
}
