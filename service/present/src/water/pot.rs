//! A pot on the heat: when it boils, where it simmers, when to top it up.

use std::f64::consts::PI;

use burrline_domain::{
    State,
    fold::{Bath, Key},
};
use burrline_reckon::{
    pot::{
        boil_off::{Over, face, simmering},
        shop::{across, air, burner, margins},
        steam,
    },
    quantity::{Celsius, Metres, MetresPerSecond, Minutes, Share, SquareMetres},
};
use burrline_terms::{Moment, Name, Temperature, words::Flame};
use rust_decimal::prelude::ToPrimitive as _;

use super::burner::{Net, between, heat, later, net, pressure};
use crate::brief::Brief;
use crate::{
    units::{Units, decimal},
    view::Zone,
};

/// How far the level may fall before the burr or the skull is no longer where it was put, in mm
/// (common practice, no source).
const SPARE_MM: f64 = 25.0;

/// The air over a pot outdoors, where nobody said it (common practice, no source).
const OVER: Over = Over { air: Celsius(15.0), humidity: Share(50.0), wind: MetresPerSecond(0.5) };

/// A pot as it stands after a line.
#[derive(Debug, Clone)]
pub struct Pot<'a> {
    state: &'a State,
    place: &'a Name,
    bath: &'a Bath,
    upto: Key,
    boil: Celsius,
    net: Option<Net>,
    units: Units,
}

impl<'a> Pot<'a> {
    /// A pot as it stood after a line.
    pub fn at(state: &'a State, place: &'a Name, bath: &'a Bath, upto: Key) -> Self {
        let boil = steam::boiling(pressure(state));
        let net = net(state, place, upto.at);
        Self { state, place, bath, upto, boil, net, units: Units::of(state) }
    }

    /// What was done to the flame by then, in order.
    fn flames(&self) -> impl DoubleEndedIterator<Item = (Moment, Flame)> {
        let upto = self.upto.at;
        self.bath
            .heat
            .iter()
            .filter(move |(when, ..)| when.at <= upto)
            .filter_map(|(when, flame, _)| Some((when.at, (*flame)?)))
    }

    /// When it was lit, if it has been heating up since.
    fn lit(&self) -> Option<Moment> {
        let mut lit = None;
        for (at, flame) in self.flames() {
            match flame {
                Flame::Lit => lit = lit.or(Some(at)),
                Flame::Boil | Flame::Down | Flame::Off => lit = None,
            }
        }
        lit
    }

    /// When it is expected to boil, if it is heating up and the burner is known.
    pub fn boils_at(&self) -> Option<Moment> {
        let lit = self.lit()?;
        let heat = heat(self.bath, lit, self.upto.at, pressure(self.state))?;
        later(lit, heat.0 * 1000.0 / self.net?.watts.0 / 60.0)
    }

    /// From when what is in it has been hot: since it boiled, or from when it is expected to.
    pub fn hot_from(&self) -> Option<Moment> {
        let boiled = self.flames().rev().find(|(_, flame)| *flame == Flame::Boil).map(|(at, _)| at);
        self.boils_at().or(boiled)
    }

    /// Between what temperatures it simmers.
    pub fn simmer(&self) -> (Celsius, Celsius) {
        let (least, most) = margins(self.state.settings());
        (Celsius(self.boil.0 - most.0), Celsius(self.boil.0 - least.0))
    }

    /// When so much has gone off since water last went in that it is to be topped up.
    pub fn top_up_at(&self) -> Option<Moment> {
        let filled =
            self.bath.went_in.iter().rev().map(|went| went.key).find(|k| *k <= self.upto)?;
        let face = self.face()?;
        // A millimetre on a square metre is a litre, near enough a kilogram.
        let mut spare = SPARE_MM * face.0 * steam::density(self.boil, pressure(self.state)).0;
        let (mut from, mut rate) = (filled.at, 0.0);
        for (at, now) in self.rates(face) {
            if at > from {
                let gone = rate * between(from, at) / 60.0;
                if gone >= spare {
                    break;
                }
                spare -= gone;
                from = at;
            }
            rate = now;
        }
        if rate > 0.0 { later(from, spare / rate * 60.0) } else { None }
    }

    /// Kilograms an hour that go off from each moment on.
    fn rates(&self, face: SquareMetres) -> Vec<(Moment, f64)> {
        let latent = steam::latent(self.boil).0;
        let boiling = self.net.map_or(0.0, |net| net.watts.0 / 1000.0 / latent * 3600.0);
        let (low, high) = self.simmer();
        let middle = Celsius(f64::midpoint(low.0, high.0));
        let simmer = simmering(face, middle, &OVER).0;
        let mut rates: Vec<(Moment, f64)> = self
            .flames()
            .map(|(at, flame)| match flame {
                Flame::Boil => (at, boiling),
                Flame::Down => (at, simmer),
                Flame::Lit | Flame::Off => (at, 0.0),
            })
            .collect();
        rates.extend(self.boils_at().map(|at| (at, boiling)));
        rates
    }

    /// The water's face: as set, else of a pot that is as wide as it is deep.
    fn face(&self) -> Option<SquareMetres> {
        let known = across(self.state.settings(), self.place);
        let wide = known.or_else(|| {
            let holds = self.state.shop().places.get(self.place).and_then(|place| place.volume);
            let litres = holds.map(burrline_terms::Volume::litres);
            let litres =
                litres.or_else(|| self.bath.level().map(|level| level.litres))?.to_f64()?;
            Some(Metres((4.0 * litres / 1000.0 / PI).cbrt()))
        })?;
        Some(face(wide)).filter(|face| face.0 > 0.0)
    }

    /// What a hand reads after it lit, boiled, turned down or read the pot.
    pub fn lines(&self) -> Brief {
        let mut lines = Brief::default();
        let zone = Zone::of(self.state);
        let time = |at: Moment| zone.time(at, Some(self.upto.at));
        let last = self.flames().next_back().map(|(_, flame)| flame);
        match last {
            Some(Flame::Lit) => lines.need(self.boil_line(&time)),
            Some(Flame::Boil) => {
                lines = lines.and(Brief::beside(self.boiled()));
                lines.need(self.simmer_line("turn it down: simmer at"));
            }
            Some(Flame::Down) => lines.need(self.simmer_line("simmer at")),
            Some(Flame::Off) | None => {}
        }
        // That it simmers as it should is nothing to act on.
        match self.read_line() {
            Some((words, true)) => lines.add(words),
            Some((words, false)) => lines.need(words),
            None => {}
        }
        if matches!(last, Some(Flame::Boil | Flame::Down))
            && let Some(at) = self.top_up_at()
        {
            lines.need(format!("top up by {}: {} will have gone off", time(at), self.spare()));
        }
        lines
    }

    /// How far the level may fall before it is to be topped up.
    pub fn spare(&self) -> String {
        self.units.millimetres(decimal(SPARE_MM))
    }

    fn degrees(&self, temperature: Celsius) -> String {
        self.units.degrees(temperature)
    }

    fn boil_line(&self, time: &impl Fn(Moment) -> String) -> String {
        let place = if air(self.state.settings()).is_some() {
            ""
        } else {
            " at the sea (burrline set-shop altitude 1600m)"
        };
        let boil = self.degrees(self.boil);
        match (self.boils_at(), self.net) {
            (Some(at), Some(net)) if net.boils > 0 => format!(
                "boils at {boil}{place} about {}, learnt from {} of its boils; then turn it down",
                time(at),
                net.boils
            ),
            (Some(at), _) => format!(
                "boils at {boil}{place} about {}, if 40 % of the burner reaches it; say when it boils",
                time(at)
            ),
            (None, _) => format!(
                "boils at {boil}{place}; say when it does, and the next time is learnt from it"
            ),
        }
    }

    /// How long it took, and what that teaches.
    fn boiled(&self) -> Option<String> {
        let at = self.flames().next_back().map(|(at, _)| at);
        let boils = super::burner::boils(self.state, self.place);
        let boil = boils.iter().find(|boil| Some(boil.at) == at)?;
        let Minutes(took) = boil.took;
        let power = burner(self.state.settings(), self.place);
        let share = power.map(|power| 100.0 * boil.watts.0 / power.0);
        let share = match share {
            Some(share) if share > 100.0 => {
                ", more than its burner has: is burner, water or time wrong?".to_owned()
            }
            Some(share) => format!(", {share:.0} % of the burner"),
            None => String::new(),
        };
        let kilowatts = boil.watts.0 / 1000.0;
        Some(format!("boiled in {took:.0} min: {kilowatts:.1} kW into the water{share}"))
    }

    fn simmer_line(&self, start: &str) -> String {
        let (low, high) = self.simmer();
        if (high.0 - low.0).abs() < 0.05 {
            return format!("{start} {}", self.degrees(low));
        }
        format!("{start} {} to {}", self.degrees(low), self.degrees(high))
    }

    /// A temperature that was just read, held against the local boil; and whether it is as it should be.
    fn read_line(&self) -> Option<(String, bool)> {
        let (when, _, temperature) =
            self.bath.heat.iter().rev().find(|(when, ..)| when.at <= self.upto.at)?;
        let read = temperature.filter(|_| when.at == self.upto.at).map(Temperature::celsius)?;
        let read = Celsius(read.to_f64()?);
        let (low, high) = self.simmer();
        let words = if read.0 > self.boil.0 + 2.0 {
            format!(
                "water boils at {} here: is the thermometer, or the altitude, wrong?",
                self.degrees(self.boil)
            )
        } else if read.0 > high.0 + 0.05 {
            format!(
                "too hot for bone: simmer at {} or less; it boils at {}",
                self.degrees(high),
                self.degrees(self.boil)
            )
        } else if read.0 >= low.0 - 0.05 {
            let words = format!("a simmer: it boils at {} here", self.degrees(self.boil));
            return Some((words, true));
        } else {
            return None;
        };
        Some((words, false))
    }
}
