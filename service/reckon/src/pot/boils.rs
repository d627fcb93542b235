//! The local boil, and the simmer as a margin below it.

use crate::{
    Absurd, Known, Value, Working,
    quantity::{Celsius, KelvinApart, Metres, Pascals},
    working::{digits, six},
};

use super::{
    atmosphere::{self, Height},
    steam,
};

/// How far below the boil a pot simmers, at least and at most: 82 to 93 degrees at the sea.
pub const MARGIN: (KelvinApart, KelvinApart) = (KelvinApart(7.0), KelvinApart(18.0));

/// What is known of the air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Air {
    /// How high it is, in standard weather.
    Altitude(Metres, Height),
    /// How high it is, and what a weather report says, which is reduced to the sea.
    Report(Metres, Height, Pascals),
    /// What a barometer on the spot shows.
    Barometer(Pascals),
}

impl Air {
    /// Its pressure.
    ///
    /// # Errors
    /// [`Absurd`] where no pot stands.
    pub fn pressure(self) -> Result<Pascals, Absurd> {
        match self {
            Self::Altitude(altitude, by) => atmosphere::pressure(altitude, by),
            Self::Report(altitude, by, report) => atmosphere::reduced(altitude, by, report),
            Self::Barometer(pressure) => atmosphere::shown(pressure),
        }
    }

    /// Where water boils in it.
    ///
    /// # Errors
    /// [`Absurd`] where no pot stands.
    pub fn boiling(self) -> Result<Celsius, Absurd> {
        self.pressure().map(steam::boiling)
    }

    fn step(self, pressure: Pascals) -> String {
        let told = six(pressure.0 / 100.0);
        match self {
            Self::Altitude(altitude, by) => {
                let height = six(atmosphere::geopotential(altitude, by).0);
                format!("1013.25 hPa x (1 - 0.0065 x {height} / 288.15)^5.25588 = {told} hPa")
            }
            Self::Report(altitude, by, report) => {
                let height = six(atmosphere::geopotential(altitude, by).0);
                format!(
                    "1013.25 hPa x (({} / 1013.25)^0.190263 - 0.0065 x {height} / 288.15)^5.25588 = \
                     {told} hPa",
                    six(report.0 / 100.0)
                )
            }
            Self::Barometer(_) => format!("as shown, {told} hPa"),
        }
    }
}

/// Degrees Fahrenheit.
pub fn fahrenheit(temperature: Celsius) -> f64 {
    temperature.0 * 9.0 / 5.0 + 32.0
}

/// A temperature on both scales, to a tenth.
pub fn both(temperature: Celsius) -> String {
    let round = |number: f64| digits((number * 10.0).round() / 10.0, 6);
    format!("{} \u{b0}C ({} \u{b0}F)", round(temperature.0), round(fahrenheit(temperature)))
}

/// Where water boils, and between what it simmers: by the common margins, or by one's own.
///
/// # Errors
/// [`Absurd`] where no pot stands, or for a margin that is none.
pub fn boils(air: Air, margin: Option<KelvinApart>) -> Result<Working, Absurd> {
    let pressure = air.pressure()?;
    let boil = steam::boiling(pressure);
    let (least, most) = match margin {
        Some(margin) if !(1.0..=60.0).contains(&margin.0) => {
            return Err(Absurd::new(
                format!("{margin} below the boil is no simmer"),
                "say a margin from 1 to 60 degrees, such as `margin 10C`",
            ));
        }
        Some(margin) => (margin, margin),
        None => MARGIN,
    };
    let (low, high) = (Celsius(boil.0 - most.0), Celsius(boil.0 - least.0));
    let simmer = if margin.is_some() {
        format!("simmer at {}", both(low))
    } else {
        format!("simmer from {} to {}", both(low), both(high))
    };
    let mut working = Working::new()
        .answer(format!("water boils at {}; {simmer}", both(boil)))
        .figure("pressure", pressure)
        .figure("boiling", boil)
        .value("boiling_f", Value::Number(fahrenheit(boil)), "\u{b0}F")
        .figure("simmer_low", low)
        .figure("simmer_high", high)
        .step("pressure", air.step(pressure))
        .step(
            "boil",
            format!(
                "saturation at {} hPa = {} \u{b0}C; x 9 / 5 + 32 = {} \u{b0}F",
                six(pressure.0 / 100.0),
                six(boil.0),
                six(fahrenheit(boil))
            ),
        )
        .step(
            "simmer",
            format!(
                "{0} - {1} = {2} \u{b0}C; {0} - {3} = {4} \u{b0}C",
                six(boil.0),
                six(most.0),
                six(low.0),
                six(least.0),
                six(high.0)
            ),
        )
        .source(steam::SOURCE, Known::Memory)
        .source("simmer 7 to 18 degrees below the boil", Known::Practice);
    working = match air {
        Air::Barometer(_) => working.caution(
            "A weather report's pressure is reduced to the sea: with it, say the altitude and \
             `sea-level`.",
        ),
        Air::Altitude(..) | Air::Report(..) => working.source(atmosphere::SOURCE, Known::Memory),
    };
    if matches!(air, Air::Altitude(..)) {
        working = working.caution("Weather moves it: 20 hPa are half a degree.");
    }
    Ok(working.caution("Hot water scalds: long gloves, a stable stand, fresh air for the burner."))
}
