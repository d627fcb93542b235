//! `reckon boils`, `reckon heat`, `reckon burner` and `reckon boil-off`.

use burrline_reckon::{
    Working,
    pot::{
        atmosphere::{Height, SEA},
        boil_off::{Losing, Over, boil_off},
        boils::{Air, boils},
        heat::{Burner, Pot, efficiency, heat},
        steam,
    },
    quantity::{
        Celsius, KelvinApart, Kilograms, Metres, MetresPerSecond, Millimetres, Minutes, Pascals,
        Share, Watts, WattsPerKelvin,
    },
};
use burrline_terms::{
    Length, Mass, Span, Temperature, Volume,
    measure::{Altitude, HeatLoss, Percentage, Power, Pressure, Wind},
};

use super::{
    Choice, Topic,
    asked::{Asked, Phrases},
    figures::{celsius, litres, number},
};
use crate::Error;

const HEIGHT: Choice = Choice {
    name: "height",
    help: "What an altitude is measured by: a map, or the tables of the standard atmosphere",
    values: &["geometric", "geopotential"],
};

const FILLERS: &[&str] = &["of", "the", "a", "is", "and", "water", "burner"];

/// The local boil.
pub(super) static BOILS: Topic = Topic {
    name: "boils",
    about: "Tell where water boils and simmers at an altitude",
    more: "Takes an altitude, or what a barometer on the spot shows. A weather report's pressure is \
           reduced to the sea: say it after `sea-level`, with the altitude. `margin` says how far below \
           the boil the pot is to simmer (7 to 18 C, 13 to 32 F, unless said).",
    examples: &[
        "boils 1600m",
        "boils 5280ft margin 10C",
        "boils 850hPa",
        "boils 1600m sea-level 1020hPa",
    ],
    choices: &[HEIGHT],
    run: run_boils,
};

/// Time to boil.
pub(super) static HEAT: Topic = Topic {
    name: "heat",
    about: "Reckon how long a pot takes to boil",
    more: "Takes the water, after `from` how warm it is, and after `with` the burner's power. \
           `efficiency` is the share that goes into the water (40 %, unless said; `reckon burner` learns \
           it), `loss` what the pot loses, `air` how warm the air is (20 C, 68 F), `heads` the raw heads in \
           it, `to` a temperature below the boil, `at` the altitude or the barometer.",
    examples: &[
        "heat 20L from 15C with 3kW efficiency 90%",
        "heat 5gal from 60F with 30000BTU/h at 5280ft",
        "heat 40L from 10C to 88C with 2kW loss 15W/K air 0C heads 9kg",
    ],
    choices: &[HEIGHT],
    run: run_heat,
};

/// A burner's efficiency.
pub(super) static BURNER: Topic = Topic {
    name: "burner",
    about: "Learn a burner's efficiency from how long a pot took",
    more: "Takes the burner's power and the water, after `from` how warm it was, and after `in` how \
           long it took to boil. `to`, `heads` and `at` as for `reckon heat`.",
    examples: &[
        "burner 30000BTU/h 5gal from 60F in 32min",
        "burner 3kW 20L from 15C in 44min at 1600m",
    ],
    choices: &[HEIGHT],
    run: run_burner,
};

/// Boil-off.
pub(super) static BOIL_OFF: Topic = Topic {
    name: "boil-off",
    about: "Reckon how fast a pot loses water, and when to top up",
    more: "Takes, after `pot`, how far it is across. On the boil: the burner, as for `reckon heat`. Below \
           it: how warm the water is, after `at`, with `air`, `humidity` (50 %) and `wind` (0.1 m/s, 0.2 mph). \
           `spare` is how far the level may fall (25 mm, 1 in).",
    examples: &[
        "boil-off pot 40cm with 3kW efficiency 40% spare 30mm",
        "boil-off pot 16in at 190F air 50F humidity 60%",
    ],
    choices: &[HEIGHT],
    run: run_boil_off,
};

fn run_boils(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "boils 1600m";
    let mut phrases =
        asked.phrases(&["sea-level", "margin"], &["at", "altitude", "of", "water"])?;
    let margin: Option<Temperature> = phrases.maybe("margin", "boils 1600m margin 10C")?;
    let Some(air) = air(asked, &mut phrases, "")? else {
        // Says what is wrong with what was typed there, if anything was.
        let _: Altitude = phrases.want("", EXAMPLE)?;
        return Err(Error::usage("boils: say it like `burrline reckon boils 1600m`"));
    };
    phrases.done(EXAMPLE)?;
    Ok(boils(air, margin.map(apart))?)
}

fn run_heat(asked: &Asked) -> Result<Working, Error> {
    let example = asked.example("heat 20L from 15C with 3kW", "heat 5gal from 60F with 30000BTU/h");
    let keys = ["from", "to", "with", "efficiency", "loss", "air", "heads", "at", "sea-level"];
    let mut phrases = asked.phrases(&keys, FILLERS)?;
    let place = place(asked, &mut phrases)?;
    let water: Volume = phrases.want("", example)?;
    let pot = pot(&mut phrases, water, &place, example)?;
    let (burner, taken) = burner(&mut phrases, example)?;
    phrases.done(example)?;
    Ok(place.told(taken_share(heat(&pot, &burner)?, taken)))
}

fn run_burner(asked: &Asked) -> Result<Working, Error> {
    let example = asked
        .example("burner 3kW 20L from 15C in 44min", "burner 30000BTU/h 5gal from 60F in 32min");
    let keys = ["from", "to", "in", "heads", "at", "sea-level"];
    let mut phrases = asked.phrases(&keys, FILLERS)?;
    let place = place(asked, &mut phrases)?;
    let power: Power = phrases.want("", example)?;
    let water: Volume = phrases.want("", example)?;
    let pot = pot(&mut phrases, water, &place, example)?;
    let took: Span = phrases.want("in", example)?;
    phrases.done(example)?;
    let took = Minutes(number(took.minutes()));
    Ok(place.told(efficiency(&pot, Watts(number(power.watts())), took)?))
}

fn run_boil_off(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "boil-off pot 40cm with 3kW efficiency 40%";
    let keys = [
        "pot",
        "with",
        "efficiency",
        "loss",
        "air",
        "at",
        "sea-level",
        "spare",
        "humidity",
        "wind",
    ];
    let mut phrases = asked.phrases(&keys, FILLERS)?;
    let place = place(asked, &mut phrases)?;
    let across: Length = phrases.want("pot", EXAMPLE)?;
    let spare: Option<Length> = phrases.maybe("spare", EXAMPLE)?;
    let (losing, taken) = if phrases.has("with") {
        let (burner, taken) = burner(&mut phrases, EXAMPLE)?;
        (Losing::Boiling(burner), taken)
    } else {
        let water: Temperature = phrases.want("at", EXAMPLE)?;
        let air: Option<Temperature> = phrases.maybe("air", EXAMPLE)?;
        let humidity: Option<Percentage> = phrases.maybe("humidity", EXAMPLE)?;
        let wind: Option<Wind> = phrases.maybe("wind", EXAMPLE)?;
        let over = Over {
            air: air.map_or(Celsius(20.0), celsius),
            humidity: Share(humidity.map_or(50.0, |said| number(said.percent()))),
            wind: MetresPerSecond(wind.map_or(0.1, |said| number(said.metres_per_second()))),
        };
        (Losing::Simmering(celsius(water), over), false)
    };
    phrases.done(EXAMPLE)?;
    let millimetres = |length: Length| number(length.millimetres());
    let across = Metres(millimetres(across) / 1000.0);
    let usual = if asked.in_us() { 25.4 } else { 25.0 };
    let spare = Millimetres(spare.map_or(usual, millimetres));
    Ok(place.told(taken_share(boil_off(losing, across, place.pressure, spare)?, taken)))
}

/// Where a pot stands.
struct Place {
    pressure: Pascals,
    /// Whether it was said.
    said: bool,
}

impl Place {
    fn told(&self, working: Working) -> Working {
        if self.said {
            return working;
        }
        working.caution("Reckoned for the sea: higher up it boils cooler; say `at 1600m`.")
    }
}

fn place(asked: &Asked, phrases: &mut Phrases) -> Result<Place, Error> {
    match air(asked, phrases, "at")? {
        Some(air) => Ok(Place { pressure: air.pressure()?, said: true }),
        None => Ok(Place { pressure: SEA, said: false }),
    }
}

/// What is said of the air after a key word.
fn air(asked: &Asked, phrases: &mut Phrases, key: &str) -> Result<Option<Air>, Error> {
    let by = match asked.option(HEIGHT.name) {
        "geopotential" => Height::Geopotential,
        _ => Height::Geometric,
    };
    let report: Option<Pressure> = phrases.maybe("sea-level", "boils 1600m sea-level 1020hPa")?;
    let report = report.map(|pressure| Pascals(number(pressure.pascals())));
    let altitude = phrases.find::<Altitude>(key).map(|said| Metres(number(said.metres())));
    let barometer = phrases.find::<Pressure>(key).map(|said| Pascals(number(said.pascals())));
    match (altitude, barometer, report) {
        (Some(altitude), None, None) => Ok(Some(Air::Altitude(altitude, by))),
        (Some(altitude), None, Some(report)) => Ok(Some(Air::Report(altitude, by, report))),
        (None, Some(barometer), None) => Ok(Some(Air::Barometer(barometer))),
        (None, None, None) => Ok(None),
        (Some(_), Some(_), _) => Err(Error::usage(
            "say the altitude or the barometer's own reading, not both; a weather report goes after \
             `sea-level`",
        )),
        (None, _, Some(_)) => Err(Error::usage(
            "a pressure at `sea-level` needs the altitude too, as in `boils 1600m sea-level 1020hPa`",
        )),
    }
}

/// The pressure of the air at an altitude.
pub(super) fn pressure_at(altitude: Altitude) -> Result<Pascals, Error> {
    let altitude = Metres(number(altitude.metres()));
    Ok(Air::Altitude(altitude, Height::Geometric).pressure()?)
}

fn pot(phrases: &mut Phrases, water: Volume, place: &Place, example: &str) -> Result<Pot, Error> {
    let from: Temperature = phrases.want("from", example)?;
    let to: Option<Temperature> = phrases.maybe("to", "heat 20L from 15C to 88C with 3kW")?;
    let heads: Option<Mass> = phrases.maybe("heads", "heat 20L from 15C with 3kW heads 9kg")?;
    Ok(Pot {
        water: litres(water),
        from: celsius(from),
        to: to.map_or_else(|| steam::boiling(place.pressure), celsius),
        pressure: place.pressure,
        heads: Kilograms(heads.map_or(0.0, |mass| number(mass.grams()) / 1000.0)),
    })
}

/// The burner, and whether its efficiency was taken and not said.
fn burner(phrases: &mut Phrases, example: &str) -> Result<(Burner, bool), Error> {
    let power: Power = phrases.want("with", example)?;
    let said: Option<Percentage> =
        phrases.maybe("efficiency", "heat 20L from 15C with 3kW efficiency 40%")?;
    let loss: Option<HeatLoss> = phrases.maybe("loss", "heat 20L from 15C with 3kW loss 15W/K")?;
    let air: Option<Temperature> = phrases.maybe("air", "heat 20L from 15C with 3kW air 0C")?;
    let burner = Burner {
        power: Watts(number(power.watts())),
        efficiency: Share(said.map_or(40.0, |said| number(said.percent()))),
        loss: WattsPerKelvin(loss.map_or(0.0, |loss| number(loss.watts_per_kelvin()))),
        air: air.map_or(Celsius(20.0), celsius),
    };
    Ok((burner, said.is_none()))
}

fn taken_share(working: Working, taken: bool) -> Working {
    if taken {
        working.caution(
            "40 % of the burner was taken to reach the water: `reckon burner` learns yours.",
        )
    } else {
        working
    }
}

/// A difference of temperatures, which knows no zero.
fn apart(typed: Temperature) -> KelvinApart {
    let kelvin = number(typed.number);
    KelvinApart(if typed.fahrenheit { kelvin * 5.0 / 9.0 } else { kelvin })
}
