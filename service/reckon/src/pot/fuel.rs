//! What a boil burns, and what it costs.

use crate::{
    Absurd, Known, Value, Working,
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

/// What a heating burns: the heat into the pot by the share of the burner that reaches it. `price` is
/// for one unit: a kilogram, a cubic meter, a kilowatt hour.
///
/// # Errors
/// [`Absurd`] without water, or for a share that cannot be.
pub fn fuel(pot: &Pot, fuel: Fuel, share: Share, price: Option<f64>) -> Result<Working, Absurd> {
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
    let word = Fuel::WORDS.iter().find(|(_, other)| *other == fuel).map_or("", |(word, _)| *word);
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
        .source("lower heating values, rounded, engineering handbooks", Known::Memory);
    let mut answer = format!("{said} of {word} to heat it once, at {share} of the burner");
    if let Some(price) = price {
        let cost = burnt * price;
        working = working
            .value("cost", Value::Number(cost), "")
            .step("cost", format!("{} {unit} x {} = {cost:.2}", six(burnt), six(price)));
        answer = format!("{answer}; it costs {cost:.2}");
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
        let priced = fuel(&pot, Fuel::Propane, Share(40.0), Some(2.6)).unwrap().answer;
        assert!(priced.ends_with("; it costs 1.00"), "{priced}");
        assert!(fuel(&pot, Fuel::Propane, Share(0.0), None).is_err());
        assert!(Fuel::read("coal").is_err());
    }
}
