//! Time to boil, and a burner's efficiency learnt from it.

use crate::{
    Absurd, Known, Value, Working,
    peroxide::dilute::some,
    quantity::{
        Celsius, Kilograms, Kilojoules, Litres, Minutes, Pascals, Share, Watts, WattsPerKelvin,
    },
    working::six,
};

use super::{boils::both, steam};

/// Heat that warms a kilogram of a raw head by a kelvin, in kJ: meat and bone.
pub const HEAD: f64 = 3.5;

/// A pot to be heated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pot {
    /// The water in it.
    pub water: Litres,
    /// How warm it is.
    pub from: Celsius,
    /// How warm it is to be.
    pub to: Celsius,
    /// The pressure of the air.
    pub pressure: Pascals,
    /// Raw heads in it, as cold as the water.
    pub heads: Kilograms,
}

/// What heats it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Burner {
    /// Its power.
    pub power: Watts,
    /// The share of it that goes into the water.
    pub efficiency: Share,
    /// What the pot loses for each degree that it is above the air.
    pub loss: WattsPerKelvin,
    /// How warm the air is.
    pub air: Celsius,
}

/// How long it takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Time {
    /// So long.
    After(Minutes),
    /// Never: it gets no warmer than this.
    Never(Celsius),
}

impl Pot {
    /// The heat that it takes.
    ///
    /// # Errors
    /// [`Absurd`] without water, or if it is to get no warmer.
    pub fn heat(&self) -> Result<Kilojoules, Absurd> {
        self.check()?;
        let heads = self.heads.0 * HEAD * (self.to.0 - self.from.0);
        Ok(Kilojoules(self.mass().0 * self.each() + heads))
    }

    /// The mass of its water.
    pub fn mass(&self) -> Kilograms {
        Kilograms(self.water.0 * steam::density(self.from, self.pressure).0)
    }

    /// kJ for each kilogram of water.
    fn each(&self) -> f64 {
        let heat = |temperature| steam::heat_in_water(temperature, self.pressure).0;
        heat(self.to) - heat(self.from)
    }

    fn check(&self) -> Result<(), Absurd> {
        some(self.water.0, "L")?;
        if self.from.0 < 0.0 || self.from.0 > 100.0 {
            return Err(Absurd::new(
                format!("{} is no water", both(self.from)),
                "say how warm the water is, such as `from 15C` or `from 60F`",
            ));
        }
        if self.to.0 <= self.from.0 {
            return Err(Absurd::new(
                format!("it is at {} and is to get no warmer", both(self.from)),
                "say how warm it is now, below what it is to be, such as `from 15C`",
            ));
        }
        let boil = steam::boiling(self.pressure);
        if self.to.0 > boil.0 + 0.05 {
            return Err(Absurd::new(
                format!("water boils at {} there", both(boil)),
                "leave `to` out for the boil, or say less",
            ));
        }
        Ok(())
    }

    pub(super) fn steps(&self, working: Working) -> Working {
        let (mass, each) = (self.mass(), self.each());
        let density = steam::density(self.from, self.pressure);
        let mut working = working.step(
            "water",
            format!("{} L x {} kg/L = {} kg", six(self.water.0), six(density.0), six(mass.0)),
        );
        let water = mass.0 * each;
        working = working.step(
            "heat",
            format!(
                "{} kg x {} kJ/kg from {} to {} \u{b0}C = {} kJ",
                six(mass.0),
                six(each),
                six(self.from.0),
                six(self.to.0),
                six(water)
            ),
        );
        if self.heads.0 > 0.0 {
            let rise = self.to.0 - self.from.0;
            let heads = self.heads.0 * HEAD * rise;
            let sum = format!(
                "{} kg x {HEAD} kJ/(kg K) x {} K = {} kJ; {} kJ in all",
                six(self.heads.0),
                six(rise),
                six(heads),
                six(water + heads)
            );
            working = working
                .step("heads", sum)
                .source("3.5 kJ/(kg K) for meat and bone, ASHRAE Refrigeration", Known::Memory);
        }
        working.source(steam::SOURCE, Known::Memory)
    }
}

impl Burner {
    /// What it puts into the water.
    pub fn net(&self) -> Watts {
        Watts(self.power.0 * self.efficiency.0 / 100.0)
    }

    /// How long it takes to heat a pot.
    ///
    /// # Errors
    /// [`Absurd`] without water, power or efficiency.
    pub fn time(&self, pot: &Pot) -> Result<Time, Absurd> {
        self.check()?;
        let heat = pot.heat()?.0 * 1000.0;
        let (net, loss, rise) = (self.net().0, self.loss.0, pot.to.0 - pot.from.0);
        if loss <= 0.0 {
            return Ok(Time::After(Minutes(heat / net / 60.0)));
        }
        let (start, end) =
            (net - loss * (pot.from.0 - self.air.0), net - loss * (pot.to.0 - self.air.0));
        if end <= 0.0 {
            return Ok(Time::Never(Celsius(self.air.0 + net / loss)));
        }
        Ok(Time::After(Minutes(heat / rise / loss * (start / end).ln() / 60.0)))
    }

    fn check(&self) -> Result<(), Absurd> {
        some(self.power.0, "W")?;
        if !(self.efficiency.0 > 0.0 && self.efficiency.0 <= 100.0) {
            return Err(Absurd::new(
                format!("an efficiency of {} cannot be", self.efficiency),
                "say a share over 0 % and up to 100 %, such as `efficiency 40%`",
            ));
        }
        Ok(())
    }
}

/// How long a pot takes, with its working.
///
/// # Errors
/// [`Absurd`] without water, power or efficiency.
pub fn heat(pot: &Pot, burner: &Burner) -> Result<Working, Absurd> {
    let (time, energy, net) = (burner.time(pot)?, pot.heat()?, burner.net());
    let mut working = pot
        .steps(Working::new())
        .figure("heat", energy)
        .figure("net", net)
        .step(
            "into the water",
            format!(
                "{} W x {} / 100 = {} W",
                six(burner.power.0),
                six(burner.efficiency.0),
                six(net.0)
            ),
        )
        .caution("Nobody leaves a lit pot; fresh air for the burner, a stable stand.");
    working = match time {
        Time::After(minutes) if burner.loss.0 <= 0.0 => working.step(
            "time",
            format!("{} kJ x 1000 / {} W / 60 = {} min", six(energy.0), six(net.0), six(minutes.0)),
        ),
        Time::After(minutes) => working.step(
            "time",
            format!(
                "{} kJ x 1000 / {} K / {3} W/K x ln(({2} - {3} x ({4} - {5})) / ({2} - {3} x ({6} - \
                 {5}))) / 60 = {7} min",
                six(energy.0),
                six(pot.to.0 - pot.from.0),
                six(net.0),
                six(burner.loss.0),
                six(pot.from.0),
                six(burner.air.0),
                six(pot.to.0),
                six(minutes.0)
            ),
        ),
        Time::Never(warmest) => working.step(
            "warmest",
            format!(
                "{} + {} W / {} W/K = {} \u{b0}C",
                six(burner.air.0),
                six(net.0),
                six(burner.loss.0),
                six(warmest.0)
            ),
        ),
    };
    Ok(match time {
        Time::After(minutes) => working
            .answer(format!(
                "{} min from {} to {}",
                six(minutes.0.round()),
                both(pot.from),
                both(pot.to)
            ))
            .figure("time", minutes)
            .value("boils", Value::Flag(true), ""),
        Time::Never(warmest) => working
            .answer(format!("this burner never gets it there: it stays at {}", both(warmest)))
            .figure("warmest", warmest)
            .value("boils", Value::Flag(false), "")
            .caution("A lid, a wind shield, less water or a stronger burner would."),
    })
}

/// A burner's efficiency from how long it took.
///
/// # Errors
/// [`Absurd`] without water or time, and if more came out than the burner gives.
pub fn efficiency(pot: &Pot, power: Watts, took: Minutes) -> Result<Working, Absurd> {
    some(power.0, "W")?;
    some(took.0, "min")?;
    let energy = pot.heat()?;
    let given = power.0 * took.0 * 60.0 / 1000.0;
    let share = Share(100.0 * energy.0 / given);
    if share.0 > 100.0 {
        return Err(Absurd::new(
            format!(
                "{} kJ went into the water, and the burner gave {} kJ",
                six(energy.0),
                six(given)
            ),
            "look at its power, the time and the water again",
        ));
    }
    Ok(pot
        .steps(Working::new())
        .answer(format!("{share} of the burner goes into the water"))
        .figure("efficiency", share)
        .figure("heat", energy)
        .step(
            "burnt",
            format!("{} W x {} min x 60 / 1000 = {} kJ", six(power.0), six(took.0), six(given)),
        )
        .step(
            "efficiency",
            format!("100 x {} / {} = {} %", six(energy.0), six(given), six(share.0)),
        )
        .source(
            "a small gas ring was measured at about 42 %; outdoors in wind 25 to 40 %",
            Known::Practice,
        ))
}
