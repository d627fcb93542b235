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
