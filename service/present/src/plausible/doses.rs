//! How much goes into a water: too little to cover what lies in it, and too much soap or soda.

use burrline_terms::{Name, Stuff, Volume, units::Amount};
use rust_decimal::Decimal;

use super::{Doubts, Line, called, figure, some, usual};
use crate::units::Units;

/// So little water that it covers nothing.
pub(super) fn too_little(line: &Line<'_>, place: &Name, litres: Decimal, out: &mut Doubts) {
    if litres.is_zero() {
        return;
    }
    let units = Units::of(line.state);
    let mut heads: Vec<String> = Vec::new();
    let mut wanted = Decimal::ZERO;
    for job in line.state.here(place).filter(|job| job.place() == Some(place)) {
        heads.push(called(line.state, job));
        wanted = wanted.saturating_add(usual::covers(line.state.animal(job).size));
    }
    if litres < wanted {
        let (is, many) = if heads.len() == 1 { ("is", "it") } else { ("are", "them") };
        out.add(
            "little",
            format!(
                "{}: {} {is} in {place}, and less than {} does not cover {many}",
                units.litres(litres),
                some(&heads),
                units.litres(wanted)
            ),
        );
        return;
    }
    let Some(volume) = line.state.shop().places.get(place).and_then(|known| known.volume) else {
        return;
    };
    if litres.saturating_mul(Decimal::from(usual::LEAST_FILL)) < volume.litres() {
        out.add(
            "little",
            format!("{}: {place} holds {}", units.litres(litres), units.litres(volume.litres())),
        );
    }
}

/// More soap or soda than anybody puts into so much water.
pub(super) fn too_much_of_it(
    line: &Line<'_>,
    place: &Name,
    litres: Decimal,
    add: &[Stuff],
    out: &mut Doubts,
) {
    // Where nobody said how much water there is, the place is taken for full.
    let known = line.state.shop().places.get(place);
    let holds = known.and_then(|known| known.volume).map(Volume::litres);
    let added = add.iter().fold(Decimal::ZERO, |sum, stuff| sum.saturating_add(stuff.litres()));
    let water = if litres > added { Some(litres) } else { holds };
    let Some(water) = water.filter(|water| !water.is_zero()) else { return };
    let units = Units::of(line.state);
    for stuff in add {
        let name = stuff.what.as_str().to_lowercase();
        let is = |words: &[&str]| words.iter().any(|word| name.contains(word));
        let soap = is(&["soap", "detergent", "washing-up"]);
        let powder = is(&["soda", "borax", "salt"]);
        let amount = match stuff.amount {
            Amount::Volume(volume) => volume.litres(),
            Amount::Mass(mass) => {
                mass.grams().checked_div(Decimal::ONE_THOUSAND).unwrap_or_default()
            }
            Amount::Count(_) => continue,
        };
        let most = if soap {
            water.saturating_mul(usual::ratio(usual::MOST_SOAP))
        } else if powder {
            let grams = water.saturating_mul(Decimal::from(usual::MOST_POWDER));
            grams.checked_div(Decimal::ONE_THOUSAND).unwrap_or_default()
        } else {
            continue;
        };
        if amount > most {
            let share = amount.saturating_mul(Decimal::ONE_HUNDRED).checked_div(water);
            let share = figure(share.unwrap_or_default().round_dp(0));
            let usual = most.saturating_mul(Decimal::ONE_HUNDRED).checked_div(water);
            let usual = figure(usual.unwrap_or_default().round_dp(0));
            out.add(
                "dose",
                format!(
                    "{} of {}: {share} % of the {} in {place}, and {usual} % is much",
                    said(stuff),
                    stuff.what,
                    units.litres(water)
                ),
            );
        }
    }
}

fn said(stuff: &Stuff) -> String {
    match stuff.amount {
        Amount::Volume(volume) => volume.to_string(),
        Amount::Mass(mass) => mass.to_string(),
        Amount::Count(number) => number.to_string(),
    }
}
