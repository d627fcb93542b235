//! A bath that is made stronger or weaker, and two solutions that are put together.

use burrline_terms::density::SOURCE;

use crate::{
    Absurd, Known, Working,
    peroxide::{
        dilute::{BLENDING, MIXING, THINNING, some, weak_enough},
        hazard,
        solution::Solution,
    },
    quantity::{Kilograms, Litres, PercentWv, PercentWw},
    working::six,
};

/// What to add to a bath for a wanted strength; and what to draw off and put back instead, so that
/// it stays as full as it is. Water makes it weaker.
///
/// # Errors
/// [`Absurd`] if there is no bath, or what is added is not on the other side of the target.
pub fn top_up(
    bath: Litres,
    now: &Solution,
    target: &Solution,
    with: &Solution,
) -> Result<Working, Absurd> {
    some(bath.0, "L")?;
    weak_enough(with)?;
    let (is, wants, adds) = (now.wv.0, target.wv.0, with.wv.0);
    if (wants - is).abs() < 1e-12 {
        return Err(Absurd::new(
            format!("it is at {} already", target.name()),
            "say another strength to come to",
        ));
    }
    if (wants - is) * (adds - wants) <= 0.0 {
        return Err(Absurd::new(
            format!("{} does not bring {} to {}", with.name(), now.name(), target.name()),
            "make it stronger with stronger stock (`with 12%`), weaker with water (`with water`)",
        ));
    }
    let add = Litres(bath.0 * (wants - is) / (adds - wants));
    let swap = Litres(bath.0 * (wants - is) / (adds - is));
    let full = Litres(bath.0 + add.0);
    let mut working = Working::new();
    for solution in [now, target, with] {
        if let Some(sum) = solution.step_by_volume() {
            working = working.step("by volume", sum);
        }
    }
    let (v, c0, ct, cs) = (six(bath.0), six(is), six(wants), six(adds));
    let working = working
        .answer(format!(
            "add {add} of {} ({full} in all), or draw off {swap} and put {swap} of {0} back",
            with.name()
        ))
        .figure("add", add)
        .figure("then", full)
        .figure("replace", swap)
        .step("add", format!("{v} L x ({ct} - {c0}) / ({cs} - {ct}) = {} L", six(add.0)))
        .step("replace", format!("{v} L x ({ct} - {c0}) / ({cs} - {c0}) = {} L", six(swap.0)))
        .caution(if adds < is { THINNING } else { MIXING })
        .caution(
            "A used bath is weaker than it was mixed, by how much nobody can reckon: measure first.",
        )
        .source("C1 V1 + C2 V2 = C3 (V1 + V2), volumes taken to add up", Known::Practice);
    Ok(hazard::with_classes(working, now.ww, target.ww).source(SOURCE, Known::Memory))
}

/// What two solutions give together: exact by mass, with the density of the mix for its volume.
///
/// # Errors
/// [`Absurd`] if there is nothing of one of them, or one is too strong.
pub fn blend(parts: [(Litres, &Solution); 2]) -> Result<Working, Absurd> {
    let (mut mass, mut peroxide, mut litres, mut working) = (0.0, 0.0, 0.0, Working::new());
    let mut names = Vec::new();
    for (volume, solution) in parts {
        some(volume.0, "L")?;
        weak_enough(solution)?;
        let weight = solution.kilograms(volume);
        let grams = volume.0 * solution.wv.0 * 10.0;
        let (amount, name) = (six(volume.0), solution.name());
        let heavy =
            format!("{amount} L x {} kg/L = {} kg", six(solution.density().0), six(weight.0));
        let pure = format!("{amount} L x {} % w/v x 10 = {} g", six(solution.wv.0), six(grams));
        working = working
            .step(format!("mass of {name}"), heavy)
            .step(format!("peroxide in {name}"), pure);
        mass += weight.0;
        peroxide += grams / 1000.0;
        litres += volume.0;
        names.push(format!("{volume} of {name}"));
    }
    let mix = Solution::mixed(PercentWw(100.0 * peroxide / mass))?;
    let volume = Litres(mass / mix.density().0);
    let strongest = parts.iter().map(|(_, solution)| solution.ww.0).fold(0.0, f64::max);
    let (heavy, pure) = (six(mass), six(peroxide));
    let working = working
        .answer(format!("{} give {volume} of {} ({})", names.join(" and "), mix.wv, mix.ww))
        .figure("percent_wv", mix.wv)
        .figure("percent_ww", mix.ww)
        .figure("volume", volume)
        .figure("mass", Kilograms(mass))
        .figure("simple_wv", PercentWv(100.0 * peroxide / litres))
        .step("by mass", format!("100 x {pure} kg / {heavy} kg = {} % w/w", six(mix.ww.0)))
        .step("volume", format!("{heavy} kg / {} kg/L = {} L", six(mix.density().0), six(volume.0)))
        .step(
            "by volume",
            format!("100 x {pure} kg / {} L = {} % w/v", six(volume.0), six(mix.wv.0)),
        )
        .caution(BLENDING)
        .source(
            "mass and peroxide add up exactly; the volume follows from the density",
            Known::Practice,
        );
    Ok(hazard::with_classes(working, PercentWw(strongest), mix.ww).source(SOURCE, Known::Memory))
}
