//! Stock and water for a wanted strength.

use crate::{
    Strength,
    reckon::{
        Absurd, Known, Step, Working,
        peroxide::{density, strength},
        quantity::{Kilograms, Litres, PercentWw},
        working::six,
    },
};

/// What every mix wants said.
pub const MIXING: &str = "Peroxide into water, never water into peroxide; goggles and gloves; a clean \
                          plastic or glass vessel, no metal; the label and its data sheet decide.";

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

/// Stock and water for `wanted` of a strength: by volume, volumes taken to add up; by mass, exact.
///
/// # Errors
/// [`Absurd`] if nothing is wanted, the target is not below the stock, or the stock is too strong.
pub fn dilute(stock: Strength, target: Strength, wanted: Wanted) -> Result<Working, Absurd> {
    fitting(stock, target)?;
    match wanted {
        Wanted::Volume(litres) => dilute_litres(stock, target, litres),
        Wanted::Mass(kilograms) => dilute_kilograms(stock, target, kilograms),
        Wanted::From(litres) => {
            let (strong, weak) = (strength::by_volume(stock)?, strength::by_volume(target)?);
            let make = Litres(litres.0 * strong.0 / weak.0);
            let sum = format!(
                "{} L x {} / {} = {} L",
                six(litres.0),
                six(strong.0),
                six(weak.0),
                six(make.0)
            );
            let mut working = dilute_litres(stock, target, make)?;
            working.steps.insert(0, Step { what: "all of it makes".to_owned(), sum });
            Ok(working)
        }
    }
}

fn dilute_litres(stock: Strength, target: Strength, make: Litres) -> Result<Working, Absurd> {
    some(make.0, "L")?;
    let (strong, weak) = (strength::by_volume(stock)?, strength::by_volume(target)?);
    let need = Litres(make.0 * weak.0 / strong.0);
    let water = Litres(make.0 - need.0);
    Ok(Working::new()
        .answer(format!("{need} of {stock} and {water} of water make {make} of {target}"))
        .figure("stock", need)
        .figure("water", water)
        .figure("made", make)
        .step("stock by volume", format!("{stock} = {} % w/v", six(strong.0)))
        .step("wanted by volume", format!("{target} = {} % w/v", six(weak.0)))
        .step(
            "stock",
            format!("{} L x {} / {} = {} L", six(make.0), six(weak.0), six(strong.0), six(need.0)),
        )
        .step("water", format!("{} L - {} L = {} L", six(make.0), six(need.0), six(water.0)))
        .caution(MIXING)
        .source("C1 V1 = C2 V2, volumes taken to add up", Known::Practice)
        .source(density::SOURCE, Known::Memory))
}

fn dilute_kilograms(stock: Strength, target: Strength, make: Kilograms) -> Result<Working, Absurd> {
    some(make.0, "kg")?;
    let (strong, weak) = (strength::by_mass(stock)?, strength::by_mass(target)?);
    let need = Kilograms(make.0 * weak.0 / strong.0);
    let water = Kilograms(make.0 - need.0);
    Ok(Working::new()
        .answer(format!("{need} of {stock} and {water} of water make {make} of {target}"))
        .figure("stock", need)
        .figure("water", water)
        .figure("made", make)
        .step("stock by mass", format!("{stock} = {} % w/w", six(strong.0)))
        .step("wanted by mass", format!("{target} = {} % w/w", six(weak.0)))
        .step(
            "stock",
            format!(
                "{} kg x {} / {} = {} kg",
                six(make.0),
                six(weak.0),
                six(strong.0),
                six(need.0)
            ),
        )
        .step("water", format!("{} kg - {} kg = {} kg", six(make.0), six(need.0), six(water.0)))
        .caution(MIXING)
        .source("w1 m1 = w2 m2, exact by mass (alligation)", Known::Memory)
        .source(density::SOURCE, Known::Memory))
}

fn some(number: f64, unit: &str) -> Result<(), Absurd> {
    if number > 0.0 {
        return Ok(());
    }
    Err(Absurd::new(
        format!("{number} {unit} is nothing to make"),
        "say how much is wanted, such as `make 20L` or `make 10kg`",
    ))
}

fn fitting(stock: Strength, target: Strength) -> Result<(), Absurd> {
    let (strong, weak) = (strength::by_mass(stock)?, strength::by_mass(target)?);
    if strong.0 > STRONGEST_STOCK.0 {
        return Err(Absurd::new(
            format!("stock of {stock} is over 35 % w/w, too strong for a wash bay"),
            "use stock of 35%w/w or less, and leave stronger to licensed practice",
        ));
    }
    if weak.0 <= 0.0 {
        return Err(Absurd::new("0 % is water", "say the strength that is wanted, such as 3%"));
    }
    if weak.0 > strong.0 {
        return Err(Absurd::new(
            format!("{target} cannot be made from {stock}, which is weaker"),
            "take stronger stock, or a weaker target",
        ));
    }
    Ok(())
}
