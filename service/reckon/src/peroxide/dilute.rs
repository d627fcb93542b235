//! Stock and water for a wanted strength.

use burrline_terms::density::SOURCE;

use crate::{
    Absurd, Known, Working,
    peroxide::{hazard, solution::Solution},
    quantity::{Kilograms, Litres, PercentWw},
    working::six,
};

/// What every mix wants said.
pub const MIXING: &str = "Peroxide into water, never water into peroxide; goggles and gloves; a clean \
                          plastic or glass vessel, no metal, no closed lid; the label and its data \
                          sheet decide.";

/// What a bath that is made weaker wants said: here the water, or the weaker one, is what goes in.
pub const THINNING: &str = "Add it slowly, stirring, with goggles and gloves; no metal, no closed lid; the \
                            label and its data sheet decide.";

/// What two solutions that are put together want said.
pub const BLENDING: &str = "Pour the stronger into the weaker, slowly; goggles and gloves; a clean plastic or \
                            glass vessel, no metal, no closed lid; the label and its data sheet decide.";

/// The strongest stock that this tool reckons with.
pub const STRONGEST_STOCK: PercentWw = PercentWw(35.0);

/// How much of a solution is wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Wanted {
    /// So many litres.
    Volume(Litres),
    /// So many kilograms.
    Mass(Kilograms),
    /// What so many litres of stock make.
    From(Litres),
}

/// Stock and water for so much of a strength: by volume, volumes taken to add up; by mass, exact.
///
/// # Errors
/// [`Absurd`] if nothing is wanted, the target is not below the stock, or the stock is too strong.
pub fn dilute(stock: &Solution, target: &Solution, wanted: Wanted) -> Result<Working, Absurd> {
    weak_enough(stock)?;
    fitting(stock, target)?;
    let working = match wanted {
        Wanted::Volume(litres) => by_volume(stock, target, litres, Working::new())?,
        Wanted::Mass(kilograms) => by_mass(stock, target, kilograms)?,
        Wanted::From(litres) => {
            some(litres.0, "L")?;
            let make = Litres(litres.0 * stock.wv.0 / target.wv.0);
            let (strong, weak) = (six(stock.wv.0), six(target.wv.0));
            let sum = format!("{} L x {strong} / {weak} = {} L", six(litres.0), six(make.0));
            by_volume(stock, target, make, Working::new().step("all of it makes", sum))?
        }
    };
    Ok(hazard::with_classes(working.caution(MIXING), stock.ww, target.ww)
        .source(SOURCE, Known::Memory))
}

/// Stock and a weaker solution, in the place of water, for so much of a strength between the two.
///
/// # Errors
/// [`Absurd`] if the target is not between the two, nothing is wanted, or the stock is too strong.
pub fn dilute_with(
    stock: &Solution,
    weak: &Solution,
    target: &Solution,
    wanted: Wanted,
) -> Result<Working, Absurd> {
    weak_enough(stock)?;
    if !(weak.ww.0 < target.ww.0 && target.ww.0 < stock.ww.0) {
        return Err(Absurd::new(
            format!("{} does not lie between {} and {}", target.name(), weak.name(), stock.name()),
            "say the stronger first, then what is wanted, then the weaker after `with`",
        ));
    }
    let (make, unit, [strong, middle, thin]) = match wanted {
        Wanted::Mass(mass) => (mass.0, "kg", [stock.ww.0, target.ww.0, weak.ww.0]),
        Wanted::Volume(litres) => (litres.0, "L", [stock.wv.0, target.wv.0, weak.wv.0]),
        Wanted::From(litres) => {
            some(litres.0, "L")?;
            let [strong, middle, thin] = [stock.wv.0, target.wv.0, weak.wv.0];
            (litres.0 * (strong - thin) / (middle - thin), "L", [strong, middle, thin])
        }
    };
    some(make, unit)?;
    let need = make * (middle - thin) / (strong - thin);
    let rest = make - need;
    let shown = |number: f64| match unit {
        "kg" => Kilograms(number).to_string(),
        _ => Litres(number).to_string(),
    };
    let mut working = Working::new();
    for solution in [stock, weak, target] {
        let step = if unit == "kg" { solution.step_by_mass() } else { solution.step_by_volume() };
        if let Some(sum) = step {
            working = working.step(if unit == "kg" { "by mass" } else { "by volume" }, sum);
        }
    }
    let (parts_strong, parts_weak) = (six(middle - thin), six(strong - middle));
    let working = working
        .answer(format!(
            "{} of {} and {} of {} make {} of {}",
            shown(need),
            stock.name(),
            shown(rest),
            weak.name(),
            shown(make),
            target.name()
        ))
        .value("stock", crate::Value::Number(need), unit)
        .value("weak", crate::Value::Number(rest), unit)
        .value("made", crate::Value::Number(make), unit)
        .words("parts", format!("{parts_strong} : {parts_weak}"))
        .step(
            "stock",
            format!(
                "{} {unit} x ({} - {}) / ({} - {2}) = {} {unit}",
                six(make),
                six(middle),
                six(thin),
                six(strong),
                six(need)
            ),
        )
        .step(
            "weaker",
            format!("{} {unit} - {} {unit} = {} {unit}", six(make), six(need), six(rest)),
        )
        .caution(BLENDING)
        .source(
            "alligation (Pearson's square), as in pharmacy texts; exact by mass",
            Known::Memory,
        );
    Ok(hazard::with_classes(working, stock.ww, target.ww).source(SOURCE, Known::Memory))
}

/// Turns down stock that has no place in a wash bay.
///
/// # Errors
/// [`Absurd`] above [`STRONGEST_STOCK`].
pub fn weak_enough(stock: &Solution) -> Result<(), Absurd> {
    if stock.ww.0 <= STRONGEST_STOCK.0 + 1e-9 {
        return Ok(());
    }
    Err(Absurd::new(
        format!(
            "stock of {} ({} % w/w) is over 35 % w/w, too strong for a wash bay",
            stock.name(),
            six(stock.ww.0)
        ),
        "use stock of 35%w/w or less, and leave stronger to licensed practice",
    ))
}

/// Turns down an amount of nothing.
///
/// # Errors
/// [`Absurd`] for 0 and less.
pub fn some(number: f64, unit: &str) -> Result<(), Absurd> {
    if number > 0.0 {
        return Ok(());
    }
    Err(Absurd::new(
        format!("{} {unit} is nothing to reckon with", six(number)),
        format!("say how much, such as {}", example(unit)),
    ))
}

fn example(unit: &str) -> &'static str {
    match unit {
        "kg" => "10kg",
        "L of titre" => "17.85mL",
        "L of sample" => "`in 1mL`",
        "mol/L of permanganate" => "`by 0.02mol/L`",
        "mg/L" => "300mg/L",
        "m3" => "`room 30m3`",
        "W" => "3kW or 30000BTU/h",
        "min" => "`in 44min`",
        "m across" => "`pot 40cm`",
        "mm to spare" => "`spare 30mm`",
        _ => "20L or 5gal",
    }
}

fn by_volume(
    stock: &Solution,
    target: &Solution,
    make: Litres,
    mut working: Working,
) -> Result<Working, Absurd> {
    some(make.0, "L")?;
    let need = Litres(make.0 * target.wv.0 / stock.wv.0);
    let water = Litres(make.0 - need.0);
    for (what, step) in [("stock", stock.step_by_volume()), ("wanted", target.step_by_volume())] {
        if let Some(sum) = step {
            working = working.step(format!("{what} by volume"), sum);
        }
    }
    let (stock_wv, target_wv) = (six(stock.wv.0), six(target.wv.0));
    Ok(working
        .answer(format!(
            "{need} of {} and {water} of water make {make} of {}",
            stock.name(),
            target.name()
        ))
        .figure("stock", need)
        .figure("water", water)
        .figure("made", make)
        .step("stock", format!("{} L x {target_wv} / {stock_wv} = {} L", six(make.0), six(need.0)))
        .step("water", format!("{} L - {} L = {} L", six(make.0), six(need.0), six(water.0)))
        .source("C1 V1 = C2 V2, volumes taken to add up", Known::Practice))
}

fn by_mass(stock: &Solution, target: &Solution, make: Kilograms) -> Result<Working, Absurd> {
    some(make.0, "kg")?;
    let need = Kilograms(make.0 * target.ww.0 / stock.ww.0);
    let water = Kilograms(make.0 - need.0);
    let mut working = Working::new();
    for (what, step) in [("stock", stock.step_by_mass()), ("wanted", target.step_by_mass())] {
        if let Some(sum) = step {
            working = working.step(format!("{what} by mass"), sum);
        }
    }
    let (stock_ww, target_ww) = (six(stock.ww.0), six(target.ww.0));
    let parts = format!("{target_ww} : {}", six(stock.ww.0 - target.ww.0));
    Ok(working
        .answer(format!(
            "{need} of {} and {water} of water make {make} of {}: {parts} parts by mass",
            stock.name(),
            target.name()
        ))
        .figure("stock", need)
        .figure("water", water)
        .figure("made", make)
        .words("parts", parts)
        .step(
            "stock",
            format!("{} kg x {target_ww} / {stock_ww} = {} kg", six(make.0), six(need.0)),
        )
        .step("water", format!("{} kg - {} kg = {} kg", six(make.0), six(need.0), six(water.0)))
        .source("w1 m1 = w2 m2, exact by mass (alligation, as in pharmacy texts)", Known::Memory))
}

fn fitting(stock: &Solution, target: &Solution) -> Result<(), Absurd> {
    if target.ww.0 <= 0.0 {
        return Err(Absurd::new("0 % is water", "say the strength that is wanted, such as 3%"));
    }
    if target.ww.0 > stock.ww.0 + 1e-9 {
        return Err(Absurd::new(
            format!("{} cannot be made from {}, which is weaker", target.name(), stock.name()),
            "take stronger stock, or a weaker target",
        ));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(ww: f64) -> Solution {
        Solution::mixed(PercentWw(ww)).unwrap()
    }

    /// Source: alligation, as in pharmacy texts: 35 and 3 to 12 are 9 : 23 parts; 10 kg are 2.8125 and
    /// 7.1875 kg, and 0.35 x 2.8125 + 0.03 x 7.1875 = 1.2 kg, 12 % of 10.
    #[test]
    fn a_weak_solution_takes_the_place_of_water() {
        let ten = Wanted::Mass(Kilograms(10.0));
        let said = dilute_with(&of(35.0), &of(3.0), &of(12.0), ten).unwrap();
        let figure = |name: &str| said.number(name).unwrap();
        assert!((figure("stock") - 2.8125).abs() < 1e-9 && (figure("weak") - 7.1875).abs() < 1e-9);
        assert!(dilute_with(&of(35.0), &of(13.0), &of(12.0), ten).is_err());
        assert!(dilute_with(&of(11.0), &of(3.0), &of(12.0), ten).is_err());
    }
}
