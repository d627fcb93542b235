//! How stock keeps, and how much of it is in the air.

use crate::{
    Absurd, Known, Working,
    peroxide::{solution::Solution, strength::GRAMS_PER_MOLE},
    quantity::{Celsius, Days, MilligramsPerCubicMetre, PartsPerMillion, PercentWv},
    working::six,
};

/// Litres of a mole of air at 25 degrees Celsius and 1 atmosphere, as exposure limits take it.
const MOLE_OF_AIR: f64 = 24.45;

/// How strong clean closed stock still is, at most: 1 per cent of itself a year at 25 degrees, and
/// 2.2 times as fast for each 10 degrees more.
///
/// # Errors
/// [`Absurd`] for a temperature at which nobody keeps it.
pub fn keep(stock: &Solution, days: Days, at: Celsius) -> Result<Working, Absurd> {
    if !(-30.0..=60.0).contains(&at.0) {
        return Err(Absurd::new(
            format!("nobody keeps peroxide at {at}"),
            "say a shelf's temperature, such as `at 25C`",
        ));
    }
    let yearly = -0.99_f64.ln() * 2.2_f64.powf((at.0 - 25.0) / 10.0);
    let years = days.0 / 365.25;
    let left = PercentWv(stock.wv.0 * (-yearly * years).exp());
    Ok(Working::new()
        .answer(format!("at best {left} after {days} at {at}, clean and closed"))
        .figure("percent_wv", left)
        .figure("half_life", Days(2.0_f64.ln() / yearly * 365.25))
        .step("a year", format!("-ln 0.99 x 2.2^(({} - 25) / 10) = {}", six(at.0), six(yearly)))
        .step(
            "left",
            format!(
                "{} x e^(-{} x {} years) = {} % w/v",
                six(stock.wv.0),
                six(yearly),
                six(years),
                six(left.0)
            ),
        )
        .caution(
            "For clean stock in its own vented container alone. Blood, tissue, iron, copper, soda and \
             light end a bath within hours: measure it.",
        )
        .source("clean stock loses under 1 % a year: a maker's page on safe storage", Known::Read)
        .source("2.2 times as fast for 10 degrees: Schumb, Satterfield, Wentworth, 1955", Known::Memory))
}

/// The eight-hour average of peroxide in air, from spans of so many ppm for so many hours.
///
/// # Errors
/// [`Absurd`] if nothing was said, or more hours than a day has.
pub fn air(spans: &[(PartsPerMillion, f64)]) -> Result<Working, Absurd> {
    let hours: f64 = spans.iter().map(|(_, hours)| hours).sum();
    if spans.is_empty() || !(0.0..=24.0).contains(&hours) {
        return Err(Absurd::new(
            format!("{} h is no working day", six(hours)),
            "say each level and its time, such as `air 1.5ppm 2h 0.5ppm 4h`",
        ));
    }
    let sum: f64 = spans.iter().map(|(level, hours)| level.0 * hours).sum();
    let average = PartsPerMillion(sum / 8.0);
    let peak = spans.iter().map(|(level, _)| level.0).fold(0.0, f64::max);
    let mass = MilligramsPerCubicMetre(average.0 * GRAMS_PER_MOLE / MOLE_OF_AIR);
    let parts: Vec<String> =
        spans.iter().map(|(level, hours)| format!("{} x {}", six(level.0), six(*hours))).collect();
    let over = if average.0 > 1.0 { "over" } else { "within" };
    let mut working = Working::new()
        .answer(format!("{average} over 8 h, {over} the limit of 1 ppm"))
        .figure("average", average)
        .figure("mass", mass)
        .step("average", format!("({}) / 8 = {} ppm", parts.join(" + "), six(average.0)))
        .step(
            "by mass",
            format!(
                "{} ppm x {GRAMS_PER_MOLE} / {MOLE_OF_AIR} = {} mg/m3",
                six(average.0),
                six(mass.0)
            ),
        )
        .source("1 ppm over 8 h: 29 CFR 1910.1000, table Z-1", Known::Read)
        .source("75 ppm is immediately dangerous: US OSHA sampling sheet", Known::Read)
        .source("average of the shift: 29 CFR 1910.1000(d)(1)", Known::Memory);
    if average.0 > 1.0 || peak >= 75.0 {
        working =
            working.caution("Stop and air the room; who coughs or whose eyes burn sees a doctor.");
    }
    Ok(working.caution("A warm bath gives off more: lid loose, air moving, and ask a hygienist."))
}
