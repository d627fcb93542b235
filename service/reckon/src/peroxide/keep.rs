//! How stock keeps, and how much of it is in the air.

use crate::{
    Absurd, Known, Value, Working,
    constants::{GAS, GRAMS_PER_MOLE, kelvin},
    peroxide::solution::Solution,
    quantity::{Celsius, Days, MilligramsPerCubicMetre, PartsPerMillion, PercentWv},
    working::six,
};

/// Litres of a mole of air at 25 degrees Celsius and 1 atmosphere, as exposure limits take it.
const MOLE_OF_AIR: f64 = 24.45;

/// From here on air is dangerous to life at once.
const DANGEROUS: PartsPerMillion = PartsPerMillion(75.0);
/// What a mole takes to go, in kJ, with no catalyst.
const ACTIVATION: f64 = 75.0;
/// The share of itself that clean closed stock loses in a year at 25 degrees, at most.
const YEARLY: f64 = 0.01;

/// From here on nobody should keep it, in degrees Celsius: a maker's limit for heating it.
const HOT: f64 = 45.0;

/// A peak in ppm that an average may hide: twice the British limit for a quarter of an hour (2 ppm),
/// from memory.
const HIGH: f64 = 4.0;

/// How strong clean closed stock still is, at least: a maker's bound of 1 per cent of itself a year at
/// 25 degrees, and by the activation energy at other temperatures.
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
    let (shelf, room) = (kelvin(at), kelvin(Celsius(25.0)));
    let faster = (ACTIVATION * 1000.0 / GAS * (1.0 / room - 1.0 / shelf)).exp();
    let yearly = -(1.0 - YEARLY).ln() * faster;
    let years = days.0 / 365.25;
    let left = PercentWv(stock.wv.0 * (-yearly * years).exp());
    let mut working = Working::new();
    if at.0 >= HOT {
        working = working.caution(
            "Never keep peroxide this hot: from about 120 \u{b0}F (50 \u{b0}C) strong stock can heat itself \
             out of control and burst what holds it. The label decides.",
        );
    }
    Ok(working
        .answer(format!(
            "at least {left} after {days} at {at}, if it is clean, with a vented cap; at most what it \
             was, {}. Opened, thinned or used stock has no bound: measure it",
            stock.wv
        ))
        .figure("percent_wv", left)
        .figure("half_life", Days(2.0_f64.ln() / yearly * 365.25))
        .value("faster", Value::Number(faster), "times")
        .step(
            "times as fast as at 25 \u{b0}C",
            format!(
                "e^({ACTIVATION} x 1000 / 8.31446 x (1 / {} - 1 / {})) = {}",
                six(room),
                six(shelf),
                six(faster)
            ),
        )
        .step("a year", format!("-ln 0.99 x {} = {}", six(faster), six(yearly)))
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
            "Blood, tissue, iron, copper, soda and light end a bath within hours: measure it. Vented \
             caps only.",
        )
        .source(
            "clean stock loses under 1 % a year: PeroxyChem, web page \u{201c}Safe storage & handling of \
             hydrogen peroxide\u{201d}", Known::Read)
        .source(
            "75 kJ/mol with no catalyst: Purdue University, chemistry demonstration 19.6; real stock \
             holds traces that make it less steep",
            Known::Read,
        ))
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
    let first = if peak >= DANGEROUS.0 {
        format!("LEAVE NOW: {DANGEROUS} is dangerous to life at once. ")
    } else if average.0 > 1.0 {
        "STOP and air the room. ".to_owned()
    } else {
        String::new()
    };
    let mut working = Working::new()
        .answer(format!("{first}{average} over 8 h, {over} the limit of 1 ppm"))
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
    if first.is_empty() && peak > HIGH {
        working = working.caution(
            "The average hides the peak: so much for minutes hurts eyes and lungs. Get out and air the room.",
        );
    }
    if average.0 > 1.0 || peak >= DANGEROUS.0 {
        working =
            working.caution("Anyone who coughs or whose eyes burn must leave and see a doctor.");
    }
    Ok(working.caution("A warm bath gives off more: lid loose, air moving, and ask a hygienist."))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::peroxide::solution::Solution;

    /// By arithmetic: 75 kJ/mol from 25 to 35 degrees is e^0.982 = 2.67 times as fast, and from 55 to
    /// 65 degrees e^0.813 = 2.25 times.
    #[test]
    fn stock_keeps_by_its_activation_energy() {
        let stock = Solution::mixed_by_volume(PercentWv(12.0)).unwrap();
        let faster =
            |at: f64| keep(&stock, Days(365.25), Celsius(at)).unwrap().number("faster").unwrap();
        assert!((faster(25.0) - 1.0).abs() < 1e-12);
        assert!((faster(35.0) - 2.67).abs() < 0.01, "{}", faster(35.0));
        let year = keep(&stock, Days(365.25), Celsius(25.0)).unwrap();
        assert!((year.number("percent_wv").unwrap() - 11.88).abs() < 1e-9);
        assert!(year.answer.starts_with("at least 11.88 % w/v after"), "{}", year.answer);
    }

    #[test]
    fn leave_now_stands_before_the_figure() {
        let said = |level: f64, hours: f64| air(&[(PartsPerMillion(level), hours)]).unwrap().answer;
        assert!(said(80.0, 0.1).starts_with("LEAVE NOW"));
        assert!(said(2.0, 8.0).starts_with("STOP and air the room."));
        assert!(said(0.5, 8.0).starts_with("0.5 ppm over 8 h, within"));
    }
}
