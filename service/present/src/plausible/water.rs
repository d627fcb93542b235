//! Water: more than a place holds, hotter than it boils here, a strength that is not the mix's.

use burrline_domain::{
    Verb,
    fold::{Bath, Key, Rests},
    verb::{Dump, Out},
};
use burrline_proto::v1;
use burrline_reckon::{
    mixes::{self, Grade},
    pot::{boils::fahrenheit, steam},
};
use burrline_terms::{
    Name, Skull, Stuff, Volume,
    units::{Strength, Temperature},
    words::{Flame, Piece},
};
use rust_decimal::{Decimal, prelude::ToPrimitive as _};

use super::{Doubts, Line, called, doses, figure, said_out, usual, warmth};
use crate::{
    units::Units,
    view::{Zone, kind_of},
    water::burner::pressure,
};

/// How the table of mixtures is told that a bath is on the heat.
const HOT: &str = "hot";

/// A pH that is none.
pub(super) fn refused(verb: &Verb) -> Option<String> {
    let Verb::Reading(reading) = verb else { return None };
    let ph = reading.ph.filter(|ph| *ph > Decimal::from(14) || *ph < Decimal::ZERO)?;
    Some(format!("pH {ph} was said, and pH goes from 0 to 14"))
}

pub(super) fn doubts(line: &Line<'_>, out: &mut Doubts) {
    match line.verb {
        Verb::Fill(fill) => {
            let key = Key::end_of(line.now);
            let (water, add) =
                line.state.shop().make_up(fill.recipe.as_ref(), fill.water, &fill.add, key);
            let litres = litres(water, &add);
            if fill.water.is_some_and(|water| water.litres().is_zero()) {
                out.add("volume", "0 L of water is none");
            }
            filled_already(line, &fill.place, out);
            holds(line, &fill.place, litres, None, out);
            doses::too_little(line, &fill.place, litres, out);
            doses::too_much_of_it(line, &fill.place, litres, &add, out);
            strengths(&add, out);
            mixed(line, &fill.place, names(&add), fill.recipe.is_some(), out);
        }
        Verb::TopUp(top_up) => {
            let added = litres(top_up.water, &top_up.add);
            match bath(line, &top_up.place) {
                Some(bath) => {
                    if !top_up.add.is_empty() {
                        mixed(line, &top_up.place, with_bath(names(&top_up.add), bath), false, out);
                    }
                    let there = bath.level_at(line.now).map(|level| level.litres);
                    holds(line, &top_up.place, added, there, out);
                    let all = added.saturating_add(there.unwrap_or_default());
                    doses::too_much_of_it(line, &top_up.place, all, &top_up.add, out);
                }
                None => no_water(line, &top_up.place, out),
            }
            strengths(&top_up.add, out);
        }
        Verb::Heat(heat) => {
            dry(line, &heat.place, "nothing is heated in it", out);
            if matches!(heat.how, Some(Flame::Lit | Flame::Boil))
                && let Some(bath) = bath(line, &heat.place)
            {
                heated_with(bath, out);
            }
            if heat.how == Some(Flame::Boil) {
                warmth::boiled(line, &heat.place, out);
            }
            heated(line, &heat.place, heat.temperature, out);
        }
        Verb::Reading(reading) => {
            if reading.strength.is_some() || reading.ph.is_some() {
                dry(line, &reading.place, "there is nothing in it to read", out);
            } else if reading.temperature.is_some() {
                let so = "how warm it is, is said with `observe`";
                dry(line, &reading.place, so, out);
            }
            heated(line, &reading.place, reading.temperature, out);
            if let Some(strength) = reading.strength {
                read(line, &reading.place, strength, out);
            }
        }
        Verb::Observe(seen) => {
            if let Some(temperature) = seen.temperature {
                warmth::doubts(line, &seen.place, temperature, out);
            }
        }
        Verb::Change(change) if bath(line, &change.place).is_none() => {
            no_water(line, &change.place, out);
        }
        Verb::Dump(dump) => {
            if bath(line, &dump.place).is_none() {
                no_water(line, &dump.place, out);
            }
            still_in(line, &dump.place, out);
        }
        Verb::Whiten(whiten) => too_strong("the cream", whiten.strength, out),
        Verb::ReceiveStock(stock) => strengths(std::slice::from_ref(&stock.stuff), out),
        Verb::Spent(spent) => strengths(spent.stuff.as_slice(), out),
        Verb::CountStock(stock) => strengths(std::slice::from_ref(&stock.stuff), out),
        _ => {}
    }
}

fn bath<'a>(line: &Line<'a>, place: &Name) -> Option<&'a Bath> {
    line.state.waters().get(place).and_then(|water| water.bath_at(line.now))
}

/// A place that holds water is dumped before it is filled anew.
fn filled_already(line: &Line<'_>, place: &Name, out: &mut Doubts) {
    let goes = |verb: &Verb| matches!(verb, Verb::Dump(dump) if dump.place == *place);
    if line.before.iter().any(goes) {
        return;
    }
    let level =
        bath(line, place).and_then(|bath| bath.level_at(line.now)).map(|level| level.litres);
    let Some(litres) = level.filter(|litres| !litres.is_zero()) else { return };
    let dump = Verb::from(Dump { place: place.clone(), old: None });
    out.0.push(v1::Objection {
        rule: "filled".to_owned(),
        words: format!(
            "{place} holds {} L already: `top-up` adds to it, `change` fills it alike",
            figure(litres)
        ),
        missing: vec![v1::Verb::from(&dump)],
        ..v1::Objection::default()
    });
}

/// A rack, a freezer and the like, of which only water could be said.
fn dry(line: &Line<'_>, place: &Name, so: &str, out: &mut Doubts) {
    let Some(known) = line.state.shop().places.get(place) else { return };
    if known.volume.is_none() && usual::litres(known.kind) == 0 {
        out.add("no-water", format!("{place} is a {}: {so}", known.kind));
    }
}

/// What stands in a place that nobody filled; one that nobody added is asked about anyway.
fn no_water(line: &Line<'_>, place: &Name, out: &mut Doubts) {
    if line.state.shop().places.contains_key(place) {
        out.add("no-water", format!("nobody filled {place}: say the fill first"));
    }
}

/// Skulls in a place whose water goes, and nobody said them out.
fn still_in(line: &Line<'_>, place: &Name, out: &mut Doubts) {
    let mut names: Vec<String> = Vec::new();
    let mut missing = Vec::new();
    for job in line.state.here(place) {
        for stay in job.stays.iter().filter(|stay| stay.open() && stay.place == *place) {
            if stay.from.at > line.now || said_out(line, job, stay.piece) {
                continue;
            }
            let tag = line.state.tag_of(job.id).cloned();
            let skull = Skull { tag, job: Some(job.id), piece: stay.piece };
            let piece = (stay.piece != Piece::Skull).then(|| format!("/{}", stay.piece));
            names.push(format!("{}{}", called(line.state, job), piece.unwrap_or_default()));
            missing.push(v1::Verb::from(&Verb::from(Out { skull })));
        }
    }
    if !names.is_empty() {
        let are = if names.len() == 1 { "is" } else { "are" };
        out.0.push(v1::Objection {
            rule: "still-in".to_owned(),
            words: format!("{} {are} still in {place}", all(&names)),
            missing,
            ..v1::Objection::default()
        });
    }
}

/// "0425, 0433 and 0440".
fn all(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

fn names(add: &[Stuff]) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for stuff in add {
        let name = stuff.what.to_string();
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

/// What goes in with what is in the bath already, and hot if it is.
fn with_bath(mut names: Vec<String>, bath: &Bath) -> Vec<String> {
    for there in &bath.stuff {
        let there = there.to_string();
        if !names.contains(&there) {
            names.push(there);
        }
    }
    if bath.hot() {
        names.push(HOT.to_owned());
    }
    names
}

/// What must not come together in one bath. A recipe is the owner's: what is not known in it is not
/// asked about each time.
fn mixed(line: &Line<'_>, place: &Name, names: Vec<String>, by_recipe: bool, out: &mut Doubts) {
    let several = names.iter().filter(|name| *name != HOT).count() > 1;
    let material = line.state.shop().places.get(place).and_then(|known| known.material);
    let vessel = material.map(|material| material.word().to_owned());
    let all: Vec<String> = names.into_iter().chain(vessel).collect();
    if all.len() < 2 {
        return;
    }
    for found in mixes::known(&all) {
        let asks = match found.grade {
            Grade::Fine => false,
            Grade::Unknown => !by_recipe && several,
            Grade::Spoils | Grade::Injures | Grade::Deadly => true,
        };
        if asks {
            out.add("mix", format!("{}: {}", found.of, found.words()));
        }
    }
}

/// What must not be heated.
fn heated_with(bath: &Bath, out: &mut Doubts) {
    for name in &bath.stuff {
        let pair = [name.to_string(), HOT.to_owned()];
        for found in mixes::known(&pair) {
            if found.grade >= Grade::Injures {
                out.add("mix", format!("{}: {}", found.of, found.words()));
            }
        }
    }
}

fn litres(water: Option<Volume>, add: &[Stuff]) -> Decimal {
    let water = water.map(Volume::litres).unwrap_or_default();
    add.iter().fold(water, |sum, stuff| sum.saturating_add(stuff.litres()))
}

/// A place that is filled beyond what it holds, with what stands in it already.
fn holds(line: &Line<'_>, place: &Name, added: Decimal, there: Option<Decimal>, out: &mut Doubts) {
    let Some(known) = line.state.shop().places.get(place) else { return };
    let all = added.saturating_add(there.unwrap_or_default());
    let units = Units::of(line.state);
    let with = match there {
        Some(there) if !there.is_zero() => {
            format!("{} on top of {}", units.litres(added), units.litres(there))
        }
        Some(_) | None => units.litres(added),
    };
    if let Some(volume) = known.volume {
        let most = volume.litres();
        if all > most.saturating_mul(usual::ratio(usual::OVER_THE_BRIM)) {
            out.add("volume", format!("{with}: {place} holds {}", volume_words(units, volume)));
        }
        return;
    }
    let most = usual::litres(known.kind);
    if most == 0 {
        out.add("volume", format!("{place} is a {}: it holds no water", known.kind));
    } else if all > Decimal::from(most) {
        out.add("volume", format!("{with} in {place}: nobody said that it holds so much"));
    }
}

/// What a place holds in the shop's units, and as it was typed where that is another.
fn volume_words(units: Units, typed: Volume) -> String {
    let (shown, said) = (units.litres(typed.litres()), typed.to_string());
    if shown == said { said } else { format!("{said} ({shown})") }
}

/// Water that is hotter than it boils here, or colder than ice.
fn heated(line: &Line<'_>, place: &Name, temperature: Option<Temperature>, out: &mut Doubts) {
    if bath(line, place).is_none() && line.state.waters().contains_key(place) {
        no_water(line, place, out);
    }
    let Some(temperature) = temperature else { return };
    let celsius = temperature.celsius();
    let boil = steam::boiling(pressure(line.state));
    let shown = |celsius: f64, fahrenheit: f64| {
        let (number, unit) =
            if temperature.fahrenheit { (fahrenheit, "F") } else { (celsius, "C") };
        format!("{number:.1} {unit}")
    };
    let typed =
        format!("{} {}", temperature.number, if temperature.fahrenheit { "F" } else { "C" });
    if celsius.to_f64().is_some_and(|read| read > boil.0 + usual::ABOVE_THE_BOIL) {
        let boils = shown(boil.0, fahrenheit(boil));
        out.add("boil", format!("{typed} was said, and water boils at {boils} here"));
    }
    warmth::doubts(line, place, temperature, out);
    let wet = kind_of(line.state, place).is_some_and(|kind| usual::litres(kind) > 0);
    if wet && celsius <= Decimal::from(usual::ICE) {
        out.add("ice", format!("{typed} was said, and water is ice then"));
    }
}

/// A strength far from what went in, or from what was read last.
fn read(line: &Line<'_>, place: &Name, strength: Strength, out: &mut Doubts) {
    too_strong("the bath", Some(strength), out);
    let Some(bath) = bath(line, place) else { return };
    let Some(level) = bath.level_at(line.now) else { return };
    let Some(mix) = level.percent_wv() else { return };
    let read = strength.percent_wv();
    let how = match bath.rests(level) {
        Rests::Mixed => "the mix gives".to_owned(),
        Rests::Measured(key) => {
            format!("the reading of {} gave", Zone::of(line.state).time(key.at, Some(line.now)))
        }
        Rests::MixedOn(key) => format!(
            "the mix on the reading of {} gives",
            Zone::of(line.state).time(key.at, Some(line.now))
        ),
    };
    let off = usual::ratio(usual::READ_OFF);
    let above = read > mix.saturating_mul(usual::ratio(usual::READ_ABOVE)).saturating_add(off);
    // From the last reading or addition on: after that it may have lost anything.
    let fresh = line.now.since(level.from.at) <= usual::FRESH_HOURS.saturating_mul(3_600_000);
    let below =
        fresh && read.saturating_add(off) < mix.saturating_mul(usual::ratio(usual::READ_BELOW));
    if above && mix.is_zero() {
        out.add(
            "strength",
            format!("{} % was read, and no peroxide went into {place}", figure(read)),
        );
    } else if above || below {
        out.add("strength", format!("{} % was read, {how} {} %", figure(read), figure(mix)));
    }
}

fn strengths(add: &[Stuff], out: &mut Doubts) {
    // Alcohol is sold stronger.
    for stuff in add.iter().filter(|stuff| stuff.is_peroxide()) {
        too_strong(stuff.what.as_str(), stuff.strength, out);
    }
}

/// A strength that nobody sells.
fn too_strong(what: &str, strength: Option<Strength>, out: &mut Doubts) {
    let Some(strength) = strength else { return };
    let most = Decimal::from(usual::STRONGEST_SOLD);
    if strength.percent_wv() > most {
        out.add("too-strong", format!("{what} at {strength}: none that is sold is above {most} %"));
    }
}
